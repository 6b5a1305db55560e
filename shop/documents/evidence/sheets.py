"""The printed summary in a package: what is known of an assembly, or of a recall."""

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.assemblies.models import Assembly, Measurement, ProofTest, Recall, Trouble
from shop.assemblies.recalls import progress_of
from shop.documents.evidence.choosing import Asked
from shop.documents.pdf import render_pdf
from shop.engineering.lengths import LengthUnit, show_length
from shop.engineering.pressures import show_rating
from shop.ledger.actors import PROGRAM_NUMBER
from shop.policy.models import Workshop
from shop.policy.services import get_workshop
from shop.stock.models import Lot
from shop.trace.cautions import BEFORE_USE
from shop.trace.dossier import AssemblyRecord, MadeCrimp, MadeEnd, MeasuredCrimp, Reasoned, record_of
from shop.trace.story import ERASED, Person, Story, Told

TEMPLATE = "documents/evidence/sheet.html"
WITHHELD = "withheld"

Row = tuple[str, str]


@dataclass(frozen=True)
class Section:
    """A heading with what stands under it: rows of a name and words."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Table:
    """A table with its heads."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Sheet:
    """Everything that the summary says."""

    workshop: Workshop
    title: str
    lead: str
    sections: tuple[Section, ...]
    tables: tuple[Table, ...]
    cautions: tuple[str, ...] = BEFORE_USE


@dataclass(frozen=True)
class Words:
    """How things are said on the sheet: in the workshop's unit and zone, with what was asked for."""

    workshop: Workshop
    asked: Asked

    def length(self, mm: Decimal) -> str:
        return show_length(mm, LengthUnit(self.workshop.length_unit))

    def clock(self, moment: datetime.datetime) -> str:
        return f"{moment.astimezone(self.workshop.zone_info):%Y-%m-%d %H:%M}"

    def person(self, person: Person) -> str:
        is_nobody = person.number == PROGRAM_NUMBER
        return str(person) if self.asked.people or is_nobody else f"staff number {person.number}"

    def who(self, told: Told) -> str:
        """Who did it and when, and who wrote it down if somebody else."""
        entered = f", entered by {self.person(told.entered_by)}" if told.entered_by else ""
        return f"{self.person(told.by)}, {self.clock(told.happened_at)}{entered}"

    def own(self, text: str) -> str:
        """What somebody wrote in words of his own; that it was erased is no secret."""
        return text if self.asked.words or text in ("", ERASED) else WITHHELD

    def customers(self, text: str) -> str:
        return text if self.asked.customers or not text else WITHHELD


def render_sheet(about: Assembly | Recall, asked: Asked) -> bytes:
    """The summary as PDF, A4. Raises `PdfNotInstalled`."""
    sheet = recall_sheet(about, asked) if isinstance(about, Recall) else assembly_sheet(about, asked)
    return render_pdf(TEMPLATE, {"sheet": sheet})


def assembly_sheet(assembly: Assembly, asked: Asked) -> Sheet:
    """What is known of an assembly."""
    record, say = record_of(assembly), Words(get_workshop(), asked)
    state = record.assembly.get_state_display()
    if record.assembly.trouble != Trouble.NONE:
        state += f"; {record.assembly.get_trouble_display()}"
    if record.is_recalled:
        state += "; recalled: do not use"
    if record.has_failed:
        state += "; failed in service: do not use"
    if not record.independently_checked:
        state += "; not independently checked"
    sections = [
        Section("Ordered and confirmed", tuple(_ordered(record, say))),
        Section("Cut", tuple(_cut(record, say))),
        *(Section(_capital(end.end.label), tuple(_end(end, say))) for end in record.ends),
        Section("Decided and inspected", tuple(_judged(record, say))),
        Section("Proof tested", tuple(_tested(record, say))),
        Section("Tagged and out", tuple(_out(record, say))),
        Section("Recalled", tuple(_recalled(record, say))),
        Section("Reported as failed", tuple(_failures(record, say))),
    ]
    return Sheet(
        workshop=say.workshop,
        title=f"What is known of assembly {assembly.serial}",
        lead=f"{assembly.printed_code}: {state}.",
        sections=tuple(section for section in sections if section.rows),
        tables=(_entries(record.entries, say),),
    )


def recall_sheet(recall: Recall, asked: Asked) -> Sheet:
    """What is known of a recall."""
    say, progress = Words(get_workshop(), asked), progress_of(recall)
    answers, findings = list(recall.answers.all()), list(recall.findings.select_related("assembly"))
    additions, closing = list(recall.additions.all()), getattr(recall, "closing", None)
    parts = [recall, *answers, *findings, *additions, *([closing] if closing else [])]
    story = Story({part.pk for part in parts}, [])
    rows = [
        ("Suspected", " ".join(recall.says)),
        ("Why", say.own(story.of(recall).told.private("reason"))),
        ("Opened", say.who(story.of(recall).told)),
        *(("Taken in later", f"{len(m.members)}; {say.who(story.of(m).told)}") for m in additions),
        ("Left out", f"{len(recall.spared)} that it came to as well"),
        ("Made safe", f"{progress.made_safe} of {progress.members}"),
    ]
    if closing is not None:
        told = story.of(closing).told
        rows.append(("Closed", f"{say.own(told.private('reason'))}; {say.who(told)}"))
    answered = tuple(
        (say.customers(str(one.customer)), say.customers(told.private("answer")), say.who(told))
        for one in answers
        for told in [story.of(one).told]
    )
    found = tuple(
        (str(one.assembly.serial), one.get_kind_display(), say.own(told.private("words")), say.who(told))
        for one in findings
        for told in [story.of(one).told]
    )
    return Sheet(
        workshop=say.workshop,
        title=f"What is known of recall {recall.number}",
        lead=f"{progress.members} assemblies that may share a weakness. None is used until found right.",
        sections=(Section("The recall", tuple(rows)),),
        tables=(
            Table("Answers of customers", ("Customer", "Answer", "Written down"), answered),
            Table("Members", ("Assembly", "Code", "State", "Known of it"), tuple(_members(recall))),
            Table("Found out", ("Assembly", "What", "In words", "By"), found),
        ),
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _members(recall: Recall) -> Iterator[tuple[str, ...]]:
    for member in recall.memberships.select_related("assembly").order_by("assembly__serial"):
        one = member.assembly
        yield str(one.serial), one.printed_code, one.get_state_display(), member.get_newest_display()


def _ordered(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    resolution, order = record.resolution.record, record.assembly.run.line.order
    reference = f", {order.reference}" if order.reference else ""
    yield "Customer", say.customers(f"{order.customer}{reference}")
    yield "Order", f"{order.number}, line {record.assembly.run.line.position}"
    yield "Hose", str(resolution.hose)
    for name, fitting, chart in (
        ("End A", resolution.fitting_a, resolution.specification_a),
        ("End B", resolution.fitting_b, resolution.specification_b),
    ):
        yield name, f"{fitting}: {fitting.connection}, {fitting.form_words}; {chart.chart_issue}"
    yield "Overall length", f"{say.length(resolution.overall_length)} ({resolution.typed_words})"
    yield "Rated", f"{show_rating(record.rating)}: {resolution.governing}"
    yield "Temperature", f"{resolution.temperature_min_c} to {resolution.temperature_max_c} °C"
    yield "Asked of it", f"{resolution.demand.words}, {resolution.temperature_c} °C, {resolution.fluid}"
    yield "Bend radius", say.length(resolution.bend_radius)
    yield from resolution.extras
    yield "Confirmed", f"under {resolution.policy}; {say.who(record.resolution.told)}"


def _cut(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    if record.cut is not None:
        piece = record.cut.record.movement.piece
        yield "Cut", f"{say.length(record.cut.record.length)} from {piece}; {say.who(record.cut.told)}"
        yield "Hose lot", _lot(piece.lot)


def _lot(lot: Lot) -> str:
    return f"{lot}: {lot.item}, batch {lot.batch or 'not known'}"


def _end(end: MadeEnd, say: Words) -> Iterator[Row]:
    for made in end.crimps:
        yield from _crimp(made, say)


def _crimp(made: MadeCrimp, say: Words) -> Iterator[Row]:
    crimp, set_up = made.written.record, made.set_up.record
    stop = set_up.stop_part or set_up.stop_setting
    yield "Set up", f"{set_up.crimper}, die set {set_up.die_set}, stop {stop}; {say.who(made.set_up.told)}"
    yield f"Crimp {crimp.attempt}", f"to {crimp.specification.chart_issue}; {say.who(made.written.told)}"
    yield "Fittings", _lot(crimp.fitting_lot)
    if crimp.ferrule_lot:
        yield "Ferrules", _lot(crimp.ferrule_lot)
    for correction, reason in made.lot_corrections:
        lots = [lot for lot in (correction.record.fitting_lot, correction.record.ferrule_lot) if lot]
        words = ", ".join(_lot(lot) for lot in lots)
        yield "Lots corrected", f"{words}: {say.own(reason)}; {say.who(correction.told)}"
    for measured in made.measurements:
        yield from _readings(measured, say)
    for coverage in made.coverages:
        words = "covered by measured pieces of its run" if coverage.record.covered else "in question by one"
        yield "In its run", f"{words}; {say.who(coverage.told)}"


def _readings(measured: MeasuredCrimp, say: Words) -> Iterator[Row]:
    measurement: Measurement = measured.written.record
    limits = measured.drawing
    readings = ", ".join(
        f"{reading:.2f}" for reading in (*measurement.readings_mm, *measurement.other_section_mm)
    )
    corrected = f", corrected by readings {measured.corrected_by}" if measured.corrected_by else ""
    yield (
        f"Readings {measurement.number}",
        f"{readings} mm; limits {limits.lower_mm:.2f} to {limits.upper_mm:.2f} mm: "
        f"{measurement.get_outcome_display()}{corrected}; {say.who(measured.written.told)}",
    )
    calibration = measurement.calibration
    yield "Measured with", f"{measurement.gauge}, calibrated {calibration.done_on}; {measurement.policy}"


def _judged(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    for decision in record.decisions:
        yield _reasoned(decision, say)
    for written in record.inspections:
        it = written.record
        noted = [say.own(told) for told in [written.told.private("faults")] if told]
        wrong = "; ".join([*it.faults, *noted])
        length = f"{say.length(it.finished_length)}, allowed {say.length(it.length_lower)} to "
        length += say.length(it.length_upper)
        right = "right" if it.passed else f"not right: {wrong}"
        yield f"Inspection {it.number}", f"{right}; {length}; with {it.gauge}; {say.who(written.told)}"
    for concession in record.concessions:
        agreed = say.customers(concession.told.private("agreed_by"))
        words = f"{', '.join(concession.record.concerns)}; agreed by {agreed}"
        yield "Concession", f"{words}; {say.who(concession.told)}"


def _reasoned(one: Reasoned, say: Words) -> Row:
    words = "; ".join(word for word in (one.cause, say.own(one.reason), say.who(one.told)) if word)
    return _capital(one.what), words


def _tested(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    for written in record.proof_tests:
        it: ProofTest = written.record
        reached = f"reached {it.peak_pressure}, wanted {it.required_pressure} to {it.highest_pressure}"
        held = f"held {it.held_s} s, wanted {it.hold_s} s"
        note = [say.own(told) for told in [written.told.private("words")] if told]
        words = [it.get_outcome_display(), reached, held, f"with {it.gauge}", *note, say.who(written.told)]
        yield f"Proof test {it.number}", "; ".join(words)


def _out(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    for tag in record.tags:
        words = f"{tag.record.rating_words}, {tag.record.temperature_words}, made {tag.record.made}"
        yield f"Tag {tag.record.number}", f"{words}; {say.who(tag.told)}"
        yield "Permanent mark", tag.record.mark
    if record.release:
        scanned = f"tag {record.release.record.tag.number} scanned on the hose"
        yield "Released", f"{scanned}; {say.who(record.release.told)}"
    if record.shipment:
        yield "Shipped", say.who(record.shipment.told)
    if record.service_limit:
        yield "To be replaced by", str(record.service_limit.last_day)
    if record.retirement:
        yield _reasoned(record.retirement, say)


def _recalled(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    for recalled in record.recalls:
        says = " ".join(recalled.written.record.says)
        yield f"Recall {recalled.written.record.number}", f"{says} {say.who(recalled.written.told)}"
        for finding in recalled.findings:
            yield _reasoned(finding, say)


def _failures(record: AssemblyRecord, say: Words) -> Iterator[Row]:
    for reported in record.failures:
        it = reported.written.record
        hurt = f"somebody hurt: {it.get_hurt_display()}"
        photos = f"photos: {reported.photos}"
        words = [it.get_mode_display(), hurt, say.own(reported.seen), photos, say.who(reported.written.told)]
        yield _capital(str(it)), "; ".join(word for word in words if word)
        for finding in reported.findings:
            yield _reasoned(finding, say)


def _entries(entries: Iterable[Told], say: Words) -> Table:
    heads = ("Entry", "Happened", "Who", "What", "Hash")
    rows: Sequence[tuple[str, ...]] = [
        (
            str(told.entry.number),
            say.clock(told.happened_at),
            say.person(told.by),
            told.entry.says,
            f"{told.entry.hash[:16]}…",
        )
        for told in entries
    ]
    return Table("In the ledger", heads, tuple(rows))
