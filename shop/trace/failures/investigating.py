"""Everything that a dossier about a failure says, gathered."""

from dataclasses import dataclass

from shop.drawings.readings import ReadingsDrawing
from shop.trace.dossier import AssemblyRecord, Reported, record_of
from shop.trace.failures.known import deviations_of, known_of, questions_of, unknown_of
from shop.trace.failures.readings import readings_around
from shop.trace.failures.siblings import Siblings, siblings_of
from shop.trace.failures.tooling import ToolThen, tools_then
from shop.trace.models import FailureReport


@dataclass(frozen=True)
class Investigation:
    """A reported failure beside all that the book says of its assembly and of what shares its making.

    `known`, `unknown`, `deviations` and `questions` are sentences.
    """

    reported: Reported
    record: AssemblyRecord
    tools: tuple[ToolThen, ...]
    siblings: tuple[Siblings, ...]
    readings: tuple[ReadingsDrawing, ...]
    deviations: tuple[str, ...]
    known: tuple[str, ...]
    unknown: tuple[str, ...]
    questions: tuple[str, ...]

    @property
    def report(self) -> FailureReport:
        """The report that it is about."""
        return self.reported.written.record

    @property
    def others(self) -> tuple[Reported, ...]:
        """What else was reported of the assembly."""
        return tuple(one for one in self.record.failures if one is not self.reported)


def investigate(report: FailureReport) -> Investigation:
    """Gather it. The number of queries grows with what one assembly was made of, and with nothing else."""
    record = record_of(report.assembly)
    reported = next(one for one in record.failures if one.written.record.pk == report.pk)
    tools, siblings = tools_then(record), tuple(siblings_of(report.assembly))
    return Investigation(
        reported=reported,
        record=record,
        tools=tools,
        siblings=siblings,
        readings=tuple(readings_around(record)),
        deviations=tuple(deviations_of(record)),
        known=tuple(known_of(record)),
        unknown=tuple(unknown_of(record, reported, tools)),
        questions=tuple(questions_of(record, reported, siblings)),
    )
