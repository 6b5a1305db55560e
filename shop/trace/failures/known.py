"""What the book knows of an assembly that failed, what was out of the ordinary, and what nobody knows.

Sentences by rules from the records. They repeat no free text, since that may name people.
"""

from collections.abc import Iterator, Sequence

from django.utils.text import capfirst

from shop.assemblies.models import Assembly
from shop.engineering.crimp import Outcome
from shop.trace.dossier import AssemblyRecord, MadeCrimp, MadeEnd, Reported
from shop.trace.failures.siblings import Siblings
from shop.trace.failures.tooling import ToolThen
from shop.trace.models import FailureMode
from shop.trace.story import ERASED


def deviations_of(record: AssemblyRecord) -> Iterator[str]:
    """What was not the plain road: decisions, concessions, corrections, second crimps, coarser gauges."""
    for decision in record.decisions:
        yield f"It was decided: {decision.what} ({decision.cause or 'why is told in own words'})."
    for concession in record.concessions:
        yield f"It passed under a concession about {', '.join(concession.record.concerns)}."
    for end in record.ends:
        yield from _deviations_of_an_end(end)
    for inspection in record.inspections:
        if not inspection.record.passed:
            yield f"Inspection {inspection.record.number} found it not right."
        if inspection.record.corrects_id is not None:
            yield f"Inspection {inspection.record.number} corrects one before it."
    for test in record.proof_tests:
        if test.record.corrects_id is not None:
            yield f"Proof test {test.record.number} corrects one before it."
    if record.earlier_resolutions:
        yield "The order line was worked out again after it was first confirmed."
    if any(told.entered_by is not None for told in record.entries):
        yield "Some steps were written down later, by somebody else than who took them."


def known_of(record: AssemblyRecord) -> Iterator[str]:
    """What is proven by a record."""
    for end in record.ends:
        for made in end.crimps[-1:]:
            if made.measurements:
                drawing = made.measurements[-1].drawing
                yield (
                    f"The crimp at {end.end.label} was measured: {drawing.mean_mm:.2f} mm in the mean, "
                    f"allowed {drawing.lower_mm:.2f} to {drawing.upper_mm:.2f} mm."
                )
    for test in record.proof_tests[-1:]:
        outcome = test.record.get_outcome_display()
        yield f"It was proof tested: {outcome}, {test.record.peak_pressure} reached."
    if record.independently_checked:
        yield "Nobody checked only his or her own work."
    if record.release is not None:
        yield "Its tag was scanned on the hose when it was released, so hose and record belong together."
    if record.cut is not None:
        lot = record.cut.record.movement.piece.lot
        yield f"The hose is of {lot}, made {lot.made_printed or 'at a time that nobody typed'}."


def unknown_of(record: AssemblyRecord, reported: Reported, tools: Sequence[ToolThen]) -> Iterator[str]:
    """What no record proves, or no longer."""
    for end in record.ends:
        for made in end.crimps[-1:]:
            if not made.measurements:
                yield f"The crimp at {end.end.label} was not measured itself: {_covered_by(made)}."
    if not record.proof_tests:
        yield "It was not proof tested."
    if not record.independently_checked:
        yield "Somebody checked only his or her own work."
    for tool in tools:
        if tool.in_doubt:
            yield f"{capfirst(str(tool.tool))} {tool.did}, and was {tool.since}: since when, nobody knows."
    if any(made.lot_corrections for end in record.ends for made in end.crimps):
        yield "Of which lots a crimp was made was corrected: either may be in it."
    report = reported.written.record
    if report.failed_on is None:
        yield "On which day it failed."
    if report.hours_in_service is None:
        yield "How many hours it had run."
    if not report.photos:
        yield "How it looks: the report came without photos."
    elif not report.photo_hashes:
        yield "How it looks: the photos of the report were erased."
    yield "How high the pressure was with its surges, how hot it ran, and how it was routed and clamped."


def questions_of(record: AssemblyRecord, reported: Reported, siblings: Sequence[Siblings]) -> Iterator[str]:
    """What somebody has to find out or decide next."""
    report = reported.written.record
    if not reported.findings:
        yield "What is it? Look at the part in hand, both ends and the whole hose, and record what it shows."
    elif reported.failed and report.findings.latest("entry").mode == FailureMode.UNKNOWN:
        yield "How did it fail? Nobody has found out yet."
    if reported.contact == ERASED:
        yield "Who can be asked? Whom the report named was erased; the customer may know."
    elif not reported.contact:
        yield "Who can be asked? The report names nobody; the customer may know."
    elif report.failed_on is None or report.hours_in_service is None:
        yield "Ask whom the reporter named on which day it failed, and after how many hours."
    if record.shipment is not None and record.retirement is None:
        yield "Is it off the machine? By the book it is still in service."
    shared = [one for one in siblings if one.failed and one.in_service]
    if shared:
        things = ", ".join(f"{one.link.words} {_named(one)}" for one in shared)
        yield f"Others failed that share with it: {things}. Are those in service to be recalled?"


def _named(one: Siblings) -> str:
    return "the same person" if one.is_person else str(one.thing)


def _covered_by(made: MadeCrimp) -> str:
    if not made.coverages:
        return "no measured piece says anything of it"
    coverage = made.coverages[-1].record
    pieces: list[Assembly] = [
        measurement.crimp.assembly
        for measurement in (coverage.before, coverage.after)
        if measurement is not None
    ]
    serials = " and ".join(str(piece.serial) for piece in pieces)
    noun = "assembly" if len(pieces) == 1 else "assemblies"
    if coverage.covered:
        return f"{noun} {serials} of its run passed before and after it"
    return f"{noun} {serials} of its run put it in question"


def _deviations_of_an_end(end: MadeEnd) -> Iterator[str]:
    label = end.end.label
    if len(end.crimps) > 1:
        yield f"{capfirst(label)} was crimped {len(end.crimps)} times."
    for made in end.crimps:
        if made.lot_corrections:
            yield f"The lots at {label} were corrected."
        for measured in made.measurements:
            if measured.corrects is not None:
                yield f"Readings {measured.corrects} at {label} were corrected."
            if measured.drawing.outcome != Outcome.PASS:
                yield f"Readings {measured.written.record.number} at {label} did not pass."
        uncertainties = {m.written.record.calibration.expanded_uncertainty for m in made.measurements}
        if len(uncertainties) > 1:
            yield f"{capfirst(label)} was read with gauges of which one is coarser than another."
