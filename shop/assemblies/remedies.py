"""What is wrong with an assembly, and what may become of it: the one table that services and pages ask.

Measuring more and inspecting again are steps (`steps.py`); here is what somebody has to decide (rules 6, 7
and 8).
"""

from dataclasses import dataclass
from enum import StrEnum

from shop.assemblies.models import (
    CAUSES,
    Assembly,
    Cause,
    Crimp,
    DecisionKind,
    Measurement,
    ProofOutcome,
    Trouble,
)
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.refusals import CauseOfAnotherAct, ReasonMissing
from shop.assemblies.standing import EndStage, EndStanding, Standing
from shop.engineering.crimp import Judged, Outcome
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.policy.services import policy_in_force


class Wrong(StrEnum):
    """The open question of an assembly. `TOO_SMALL` is outside the limits in any way but too large only."""

    NOTHING = "no open question"
    HELD = "inside the limits, not proven"
    IN_QUESTION = "in question by a measured piece of its run"
    TOO_LARGE = "crimp too large"
    TOO_SMALL = "crimp too small or uneven"
    AGAIN = "outside the limits after it was crimped again"
    AS_FAILED = "treated as failed"
    NOT_RIGHT = "not right at its inspection"
    WENT_TOO_HIGH = "proof test went too high"
    TEST_FAILED = "failed its proof test"
    GONE = "not on the bench any more"


class Remedy(StrEnum):
    """What may be decided; all but a concession carry the value of their `DecisionKind`."""

    TREAT_AS_FAILED = "as_failed"
    CRIMP_AGAIN = "again"
    REFIT = "refit"
    CONCEDE = "concede"
    SCRAP = "scrap"

    @property
    def label(self) -> str:
        """What it is called on the page."""
        return _LABELS[self]


_LABELS = {
    Remedy.TREAT_AS_FAILED: "Treat as failed",
    Remedy.CRIMP_AGAIN: "Crimp again",
    Remedy.REFIT: "Cut off and refit",
    Remedy.CONCEDE: "Let it pass under a concession",
    Remedy.SCRAP: "Scrap",
}


@dataclass(frozen=True)
class Row:
    """Against what a remedy helps, who may choose it, and whether whose work it is needs somebody else."""

    against: frozenset[Wrong]
    permission: Permission
    second_person: bool
    wanted: str  # what the assembly is not, if the remedy is no help, for a sentence


NOT_PROVEN = frozenset({Wrong.HELD, Wrong.IN_QUESTION})
FAILED_ENDS = frozenset({Wrong.TOO_LARGE, Wrong.TOO_SMALL, Wrong.AGAIN, Wrong.AS_FAILED})
REMEDIES: dict[Remedy, Row] = {
    Remedy.TREAT_AS_FAILED: Row(NOT_PROVEN, Permission.MAKE, False, "held by its readings"),
    Remedy.CRIMP_AGAIN: Row(frozenset({Wrong.TOO_LARGE}), Permission.DECIDE, True, "failed by its readings"),
    Remedy.REFIT: Row(
        FAILED_ENDS | {Wrong.NOT_RIGHT}, Permission.DECIDE, True, "failed at an end or at its inspection"
    ),
    Remedy.CONCEDE: Row(
        frozenset({Wrong.NOT_RIGHT}), Permission.DECIDE, True, "found not right at its inspection"
    ),
    Remedy.SCRAP: Row(frozenset(Wrong) - {Wrong.GONE}, Permission.MAKE, False, "on the bench any more"),
}


def what_is_wrong(standing: Standing) -> Wrong:
    """The open question that stands before all others."""
    here = standing.end_in_trouble
    if standing.state not in ON_THE_ROAD:
        return Wrong.GONE
    if standing.test is not None and standing.test.outcome == ProofOutcome.FAILED:
        return Wrong.TEST_FAILED
    if here is not None:
        return _wrong_with_the_end(here)
    return {
        Trouble.NONE: Wrong.NOTHING,
        Trouble.HELD: Wrong.WENT_TOO_HIGH,
        Trouble.FAILED: Wrong.NOT_RIGHT,
    }[standing.trouble]


def require_cause(kind: DecisionKind, cause: Cause, reason: str) -> None:
    """Raise `CauseOfAnotherAct` unless it is on the list for it, `ReasonMissing` if words have to say it."""
    if cause not in CAUSES[kind]:
        raise CauseOfAnotherAct(cause=cause.label, act=kind.label)
    if cause == Cause.OTHER and not reason.strip():
        raise ReasonMissing


def has_been_under_pressure(assembly: Assembly) -> bool:
    """Whether it was pumped up, or may have been: a test that proves nothing leaves no record."""
    return assembly.proof_tests.exists() or (
        bool(assembly.resolution.proof_test)
        and (assembly.inspections.filter(passed=True).exists() or assembly.concessions.exists())
    )


def require_second_person(person: User, remedy: Remedy, done_by: dict[int, str]) -> bool:
    """Whether the person has had no hand in it before; `done_by` says by staff number what was done.

    Raises `NeedsSecondPerson` if he or she has, the remedy asks for somebody else, and the workshop is
    not one of one person (rule 8).
    """
    did = done_by.get(person.number)
    if did is not None and REMEDIES[remedy].second_person and policy_in_force().needs_second_person:
        raise NeedsSecondPerson(name=person.name, did=did, act=_ACTS[remedy])
    return did is None


_ACTS = {
    Remedy.CRIMP_AGAIN: "decide to crimp it again",
    Remedy.REFIT: "decide to cut it off and refit",
    Remedy.CONCEDE: "let it pass under a concession",
}


def _wrong_with_the_end(here: EndStanding) -> Wrong:
    if here.stage is EndStage.HELD:
        return Wrong.HELD if here.measurement is not None else Wrong.IN_QUESTION
    crimp, measurement = here.crimp, here.measurement
    if crimp is None or measurement is None or measurement.outcome != Outcome.FAIL:
        return Wrong.AS_FAILED
    if here.again:
        return Wrong.AGAIN
    return Wrong.TOO_LARGE if _is_too_large(crimp, measurement) else Wrong.TOO_SMALL


def _is_too_large(crimp: Crimp, newest: Measurement) -> bool:
    """Whether what is judged is above the upper limit, and nothing of it below the lower one."""
    limits = crimp.specification.limits
    if limits.judged is Judged.MEAN:
        too_large: bool = newest.mean > limits.upper_mm
        return too_large
    every = list(crimp.measurements.all())
    corrected = {measurement.corrects_id for measurement in every}
    readings = [
        reading
        for measurement in every
        if measurement.pk not in corrected
        for reading in (*measurement.readings_mm, *measurement.other_section_mm)
    ]
    return max(readings) > limits.upper_mm and min(readings) >= limits.lower_mm
