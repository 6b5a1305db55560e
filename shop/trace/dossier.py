"""Everything that is known of one assembly, for the workshop's own people.

What is shown is what the records say: the chart issue, limits, calibration, rating and policy of the
day, not those of today.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain

from shop.assemblies.independence import nobody_checked_alone
from shop.assemblies.models import (
    Assembly,
    Concession,
    Coverage,
    Crimp,
    Cut,
    Decision,
    End,
    FindingKind,
    Inspection,
    LotCorrection,
    Measurement,
    ProofTest,
    Recall,
    RecallFinding,
    Release,
    Retirement,
    SetUp,
    Shipment,
    Tag,
)
from shop.drawings.judgement import JudgementDrawing
from shop.engineering.age import AgeLimit
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.facts import subject_of
from shop.ledger.models import Record
from shop.orders.models import AttachedWorksheet, Resolution
from shop.trace import gathering
from shop.trace.judged import judgement_drawing
from shop.trace.models import FailureFinding, FailureReport, OfReporter, Verdict
from shop.trace.service_life import service_limit
from shop.trace.story import ERASED, Person, Story, Told, Written


@dataclass(frozen=True, slots=True)
class MeasuredCrimp:
    """One set of readings, how it was judged with those before it, and what corrected it since."""

    written: Written[Measurement]
    drawing: JudgementDrawing
    corrects: int | None  # number of the set
    corrected_by: int | None


@dataclass(frozen=True, slots=True)
class MadeCrimp:
    """One stroke of the press with its set-up, every set of readings, and what others' say of it.

    `lot_corrections` are the lots that it was made of after all, the newest last, with the reason.
    """

    written: Written[Crimp]
    set_up: Written[SetUp]
    lot_corrections: tuple[tuple[Written[LotCorrection], str], ...]
    measurements: tuple[MeasuredCrimp, ...]
    coverages: tuple[Written[Coverage], ...]


@dataclass(frozen=True, slots=True)
class MadeEnd:
    """One end: set-ups that no crimp was made on yet, and the crimps, by attempt."""

    end: End
    crimps: tuple[MadeCrimp, ...]
    unused_set_ups: tuple[Written[SetUp], ...]


@dataclass(frozen=True, slots=True)
class Reasoned:
    """A decision or a retirement with the reason that was given: 'erased' if it had to be.

    `cause` is the word of the bench that was tapped; empty if only the reason says it. `decision` is None
    for a retirement.
    """

    told: Told
    what: str
    reason: str
    cause: str = ""
    decision: Decision | None = None


@dataclass(frozen=True, slots=True)
class Recalled:
    """A recall that the assembly is in, and what was found out about it.

    `frees_it` if that is that it is right, so that this recall keeps nobody from using it.
    """

    written: Written[Recall]
    reason: str
    findings: tuple[Reasoned, ...]
    frees_it: bool


@dataclass(frozen=True, slots=True)
class Reported:
    """A failure that was reported, what was seen and who can be asked, and what was found out about it."""

    written: Written[FailureReport]
    seen: str
    contact: str
    findings: tuple[Reasoned, ...]

    @property
    def photos(self) -> str:
        """How many photos it came with: 'none', '2', or '2, erased'."""
        count = self.written.record.photos
        if not count:
            return "none"
        is_gone = self.written.told.private(OfReporter.PHOTOS) == ERASED
        return f"{count}, {ERASED}" if is_gone else str(count)

    @property
    def failed(self) -> bool:
        """Whether the workshop found that it did fail."""
        newest = max(self.written.record.findings.all(), key=lambda finding: finding.pk, default=None)
        return newest is not None and newest.verdict == Verdict.FAILED


@dataclass(frozen=True, slots=True)
class AssemblyRecord:
    """The whole record of one assembly. What has not happened yet is None or empty.

    `worksheets` are those that are attached to its order line today; `service_limit` is its last day in
    service, if it has one.
    """

    assembly: Assembly
    resolution: Written[Resolution]
    earlier_resolutions: tuple[Written[Resolution], ...]
    worksheets: tuple[Written[AttachedWorksheet], ...]
    cut: Written[Cut] | None
    ends: tuple[MadeEnd, ...]
    decisions: tuple[Reasoned, ...]
    inspections: tuple[Written[Inspection], ...]
    concessions: tuple[Written[Concession], ...]
    proof_tests: tuple[Written[ProofTest], ...]
    tags: tuple[Written[Tag], ...]
    release: Written[Release] | None
    shipment: Written[Shipment] | None
    retirement: Reasoned | None
    replaced_by: Assembly | None
    recalls: tuple[Recalled, ...]
    failures: tuple[Reported, ...]
    service_limit: AgeLimit | None
    independently_checked: bool
    entries: tuple[Told, ...]

    @property
    def rating(self) -> Pressure:
        """What it is rated at, in the unit in which the governing part's rating is printed."""
        resolution = self.resolution.record
        return Pressure(Decimal(resolution.rating_value), PressureUnit(resolution.rating_unit))

    @property
    def is_recalled(self) -> bool:
        """Whether a recall keeps it from being used."""
        return any(not recalled.frees_it for recalled in self.recalls)

    @property
    def has_failed(self) -> bool:
        """Whether it was found to have failed in service."""
        return any(reported.failed for reported in self.failures)

    @property
    def people(self) -> tuple[Person, ...]:
        """Everybody who had a hand in it, in the order in which they came to it."""
        everybody = (person for told in self.entries for person in (told.by, told.entered_by))
        return tuple(dict.fromkeys(person for person in everybody if person is not None))


def record_of(assembly: Assembly) -> AssemblyRecord:
    """Gather the record, in a number of queries that doesn't grow with what was done."""
    found = gathering.gather(assembly)
    story = Story(keys_of(found), subjects_of(found.assembly))
    resolutions = [story.of(resolution) for resolution in found.resolutions]
    confirmed = found.assembly.run.resolution_id
    return AssemblyRecord(
        assembly=found.assembly,
        resolution=next(r for r in resolutions if r.record.pk == confirmed),
        earlier_resolutions=tuple(r for r in resolutions if r.record.pk < confirmed),
        worksheets=tuple(story.of(worksheet) for worksheet in found.worksheets),
        cut=None if found.cut is None else story.of(found.cut),
        ends=tuple(_end(end, found, story) for end in End),
        decisions=tuple(_reasoned(story, decision) for decision in found.decisions),
        inspections=tuple(story.of(inspection) for inspection in found.inspections),
        concessions=tuple(story.of(concession) for concession in found.concessions),
        proof_tests=tuple(story.of(test) for test in found.proof_tests),
        tags=tuple(story.of(tag) for tag in found.tags),
        release=None if found.release is None else story.of(found.release),
        shipment=None if found.shipment is None else story.of(found.shipment),
        retirement=None if found.retirement is None else _reasoned(story, found.retirement),
        replaced_by=found.replaced_by,
        recalls=tuple(_recalled(recall, found, story) for recall in found.recalls),
        failures=tuple(_reported(story, report) for report in found.failure_reports),
        service_limit=service_limit(
            found.assembly, max(found.tags, key=lambda tag: tag.number, default=None)
        ),
        independently_checked=_independently_checked(found, story),
        entries=story.entries,
    )


def _independently_checked(found: gathering.Gathered, story: Story) -> bool:
    measurements = [measurement for crimp in found.crimps for measurement in crimp.measurements.all()]
    return nobody_checked_alone(
        crimps=found.crimps,
        measurements=[story.of(measurement).record for measurement in measurements],
        inspections=found.inspections,
        concessions=found.concessions,
        decisions=found.decisions,
    )


def _end(end: End, found: gathering.Gathered, story: Story) -> MadeEnd:
    crimps = [crimp for crimp in found.crimps if crimp.end == end]
    used = {crimp.set_up_id for crimp in crimps}
    unused = [s for s in found.set_ups if s.end == end and s.pk not in used]
    return MadeEnd(
        end=end,
        crimps=tuple(_crimp(crimp, found.set_ups, story) for crimp in crimps),
        unused_set_ups=tuple(story.of(set_up) for set_up in unused),
    )


def _crimp(crimp: Crimp, set_ups: Sequence[SetUp], story: Story) -> MadeCrimp:
    sets = sorted(crimp.measurements.all(), key=lambda measurement: measurement.number)
    numbers = {measurement.pk: measurement.number for measurement in sets}
    corrected_by = {m.corrects_id: m.number for m in sets if m.corrects_id is not None}
    for measurement in sets:
        measurement.crimp = crimp  # with its specification, which the drawing needs
    return MadeCrimp(
        written=story.of(crimp),
        set_up=story.of(next(set_up for set_up in set_ups if set_up.pk == crimp.set_up_id)),
        lot_corrections=tuple(
            ((written := story.of(correction)), written.told.private("reason"))
            for correction in crimp.lot_corrections.all()
        ),
        measurements=tuple(
            MeasuredCrimp(
                written=story.of(measurement),
                drawing=judgement_drawing(measurement, sets),
                corrects=numbers.get(measurement.corrects_id),
                corrected_by=corrected_by.get(measurement.pk),
            )
            for measurement in sets
        ),
        coverages=tuple(story.of(coverage) for coverage in crimp.coverages.all()),
    )


def _reasoned(story: Story, record: Decision | Retirement) -> Reasoned:
    told = story.of(record).told
    reason = told.private("reason")
    if not isinstance(record, Decision):
        return Reasoned(told, "taken out of service", reason)
    return Reasoned(told, record.get_kind_display(), reason, record.cause_words, record)


def _recalled(recall: Recall, found: gathering.Gathered, story: Story) -> Recalled:
    findings = [finding for finding in found.recall_findings if finding.recall_id == recall.pk]
    written = story.of(recall)
    return Recalled(
        written=written,
        reason=written.told.private("reason"),
        findings=tuple(_found(story, finding) for finding in findings),
        frees_it=bool(findings) and findings[-1].kind == FindingKind.RIGHT,
    )


def _found(story: Story, finding: RecallFinding) -> Reasoned:
    told = story.of(finding).told
    return Reasoned(told, finding.get_kind_display(), told.private("words"))


def _reported(story: Story, report: FailureReport) -> Reported:
    written = story.of(report)
    return Reported(
        written=written,
        seen=written.told.private(OfReporter.SEEN),
        contact=written.told.private(OfReporter.CONTACT),
        findings=tuple(_judged(story, finding) for finding in report.findings.all()),
    )


def _judged(story: Story, finding: FailureFinding) -> Reasoned:
    told = story.of(finding).told
    return Reasoned(told, finding.says, told.private("words"))


def keys_of(found: gathering.Gathered) -> set[int]:
    """The entries of everything that the assembly was made from, with and by."""
    single: list[Record | None] = [found.cut, found.release, found.shipment, found.retirement]
    own: Iterable[Record] = chain(
        (record for record in single if record is not None),
        (coverage for crimp in found.crimps for coverage in crimp.coverages.all()),
        (correction for crimp in found.crimps for correction in crimp.lot_corrections.all()),
        found.resolutions,
        found.worksheets,
        found.set_ups,
        found.crimps,
        found.decisions,
        found.inspections,
        found.concessions,
        found.proof_tests,
        found.tags,
        found.recalls,
        found.recall_findings,
        found.failure_reports,
        (finding for report in found.failure_reports for finding in report.findings.all()),
    )
    return {record.pk for record in own} | found.other_entries


def subjects_of(assembly: Assembly) -> list[str]:
    """What entries about the assembly, its run, its line and its order name as their subject."""
    run = assembly.run
    return [subject_of(row) for row in (assembly, run, run.line, run.line.order)]
