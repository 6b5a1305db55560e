"""Where an assembly stands: worked out from its records, and kept in its row for looking up.

The records decide. `settle` writes what they come to after each step, and the ledger's check works
it out anew.
"""

import datetime
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from django.db.models import Exists, OuterRef, Q

from shop.assemblies.models import (
    CRIMPED_ANEW,
    Assembly,
    Concession,
    Coverage,
    Crimp,
    Decision,
    DecisionKind,
    End,
    Inspection,
    Measurement,
    ProofOutcome,
    ProofTest,
    Sampling,
    State,
    Tag,
    Trouble,
)
from shop.assemblies.models.assembly import OUT_OF_THE_WORKSHOP
from shop.assemblies.records import records_of
from shop.engineering.crimp import Outcome
from shop.engineering.pressures import exceeds

MONTHS_IN_YEAR = 12
_FARTHEST_FIRST = (State.RETIRED, "retirement"), (State.SHIPPED, "shipment"), (State.RELEASED, "release")
R = TypeVar("R", Inspection, Tag)


class EndStage(StrEnum):
    """How far one end has come. `BETWEEN` waits for a measured piece after it, and may go on meanwhile."""

    TO_CRIMP = "to_crimp"
    TO_MEASURE = "to_measure"
    BETWEEN = "between"
    HELD = "held"
    FAILED = "failed"
    RIGHT = "right"


@dataclass(frozen=True)
class EndStanding:
    """One end with its newest crimp and the newest readings of that crimp, or what others' say of it.

    `decision` is what was decided about that crimp last; `again` says that it is a second stroke on the
    same fitting.
    """

    end: End
    stage: EndStage
    crimp: Crimp | None = None
    measurement: Measurement | None = None
    coverage: Coverage | None = None
    decision: Decision | None = None
    again: bool = False

    @property
    def refit(self) -> Decision | None:
        """The decision by which the end is to be cut off, until a new fitting is crimped on."""
        refitted = self.decision is not None and self.decision.kind == DecisionKind.REFIT
        return self.decision if refitted else None


@dataclass(frozen=True)
class Standing:
    """What the records come to. `inspection`, `concession`, `test` and `tag` are those that still count."""

    state: State
    trouble: Trouble
    ends: tuple[EndStanding, ...]
    inspection: Inspection | None
    test: ProofTest | None
    tag: Tag | None
    concession: Concession | None = None

    def end(self, end: End) -> EndStanding:
        """The standing of that end."""
        return next(standing for standing in self.ends if standing.end == end)

    @property
    def end_between(self) -> End | None:
        """The first end that waits for a measured piece after it."""
        return next((standing.end for standing in self.ends if standing.stage is EndStage.BETWEEN), None)

    @property
    def end_in_trouble(self) -> EndStanding | None:
        """The end that is held or failed, a failed one first."""
        by_stage = {standing.stage: standing for standing in reversed(self.ends)}
        return by_stage.get(EndStage.FAILED) or by_stage.get(EndStage.HELD)


def left_as_said() -> Q:
    """Which assemblies left the bench as their rows say, for the database to choose: nearly all among many.

    The same as `standing_of` comes to: once one that is crimped at both ends has left, nothing else counts.
    """
    left, no_farther = Q(), Q()
    for state, record in _FARTHEST_FIRST:
        left |= no_farther & Q(state=state, **{f"{record}__isnull": False})
        no_farther &= Q(**{f"{record}__isnull": True})
    crimped = [Exists(Crimp.objects.filter(assembly=OuterRef("pk"), end=end)) for end in End]
    return Q(left, *crimped, trouble=Trouble.NONE)


def standing_of(assembly: Assembly) -> Standing:
    """What the assembly's records come to. Later ones are not asked for where earlier ones are lacking."""
    records = records_of(assembly)
    crimps, decisions = records.crimps, records.decisions
    ends = tuple(_end_standing(end, crimps, decisions) for end in End)
    stages = [standing.stage for standing in ends]
    crimped = [standing.crimp.pk for standing in ends if standing.crimp is not None]
    is_whole = len(crimped) == len(End)
    inspection = _after(records.inspections, crimped) if is_whole else None
    concession = _concession(records.concessions, inspection)
    passed = inspection if inspection is not None and (inspection.passed or concession) else None
    tests = records.proof_tests if is_whole else ()
    test = max(tests, key=lambda test: test.pk, default=None)
    tag = None if passed is None else _after(records.tags, [passed.pk])
    gone = _left_the_bench(assembly) if is_whole else None
    if gone is None and any(decision.kind == DecisionKind.SCRAP for decision in decisions):
        gone = State.SCRAPPED
    if gone is not None:
        return Standing(gone, Trouble.NONE, ends, passed, test, tag, concession)
    tested = test is not None and _proves(test, passed, assembly)
    return Standing(
        state=_state_on_the_road(
            assembly, stages, inspected=passed is not None, tested=tested, tagged=tag is not None
        ),
        trouble=_trouble(stages, inspection, test, conceded=concession is not None),
        ends=ends,
        inspection=passed,
        test=test,
        tag=tag,
        concession=concession,
    )


def newest_measurement(crimp: Crimp) -> Measurement | None:
    """The readings of the crimp that were taken last: they are judged with those before."""
    return max(crimp.measurements.all(), key=lambda measurement: measurement.number, default=None)


def settle(assembly: Assembly) -> Assembly:
    """Write into the row what the records come to now; its row is locked by the caller."""
    standing = standing_of(assembly)
    assembly.state, assembly.trouble = standing.state, standing.trouble
    assembly.save(update_fields=["state", "trouble"])
    return assembly


@dataclass(frozen=True)
class PublicState:
    """What a stranger with the hose in hand has to know first (rule 14)."""

    do_not_use: bool
    headline: str
    sentence: str


def not_for_use(why: str) -> PublicState:
    """DO NOT USE, with the reason and what to do with it."""
    return PublicState(True, "DO NOT USE", f"{why} Don't put it under pressure; bring it to the workshop.")


def public_state(assembly: Assembly, today: datetime.date) -> PublicState:
    """RELEASED, or DO NOT USE with the reason; an old assembly's sentence says how old it is."""
    if assembly.trouble == Trouble.NONE and assembly.state in OUT_OF_THE_WORKSHOP:
        return PublicState(False, "RELEASED", f"It was inspected and released.{_age(assembly, today)}")
    why = {
        State.RETIRED: "It was taken out of service.",
        State.SCRAPPED: "It was scrapped.",
    }.get(State(assembly.state), "It has not been released.")
    if assembly.trouble == Trouble.HELD:
        why = "It is held: nobody has proven that it is right."
    elif assembly.trouble == Trouble.FAILED:
        why = "It was found not to be right."
    return not_for_use(why)


def _age(assembly: Assembly, today: datetime.date) -> str:
    tag = assembly.tags.order_by("-entry").first()
    assert tag is not None, "nothing is released without a tag"
    year, month = (int(digits) for digits in tag.made.split("-"))
    years = ((today.year - year) * MONTHS_IN_YEAR + today.month - month) // MONTHS_IN_YEAR
    if years < 1:
        return ""
    return (
        f" It was made {years} year{'s' if years > 1 else ''} ago, and hose ages even when it is not used: "
        "ask whether it is still fit."
    )


def _end_standing(end: End, crimps: Collection[Crimp], decisions: Collection[Decision]) -> EndStanding:
    crimp = max((c for c in crimps if c.end == end), key=lambda crimp: crimp.attempt, default=None)
    if crimp is None:
        return EndStanding(end, EndStage.TO_CRIMP)
    measurement = newest_measurement(crimp)
    coverage = max(crimp.coverages.all(), key=lambda coverage: coverage.pk, default=None)
    decision = _decided_about(crimp, decisions)
    kind = None if decision is None else decision.kind
    if kind in CRIMPED_ANEW:
        stage = EndStage.TO_CRIMP
    elif kind == DecisionKind.TREAT_AS_FAILED:
        stage = EndStage.FAILED
    else:
        stage = _stage(crimp, measurement, coverage)
    before = next((c for c in crimps if (c.end, c.attempt) == (end, crimp.attempt - 1)), None)
    decided_before = None if before is None else _decided_about(before, decisions)
    again = decided_before is not None and decided_before.kind == DecisionKind.CRIMP_AGAIN
    return EndStanding(end, stage, crimp, measurement, coverage, decision, again)


def _decided_about(crimp: Crimp, decisions: Collection[Decision]) -> Decision | None:
    """What was decided about the crimp last; that the whole assembly is scrap says nothing of the end."""
    about = (d for d in decisions if d.about_id == crimp.pk and d.kind != DecisionKind.SCRAP)
    return max(about, key=lambda decision: decision.pk, default=None)


def _concession(concessions: Collection[Concession], inspection: Inspection | None) -> Concession | None:
    """The concession under which that inspection counts as passed."""
    if inspection is None or inspection.passed:
        return None
    return next((c for c in concessions if c.inspection_id == inspection.pk), None)


def _stage(crimp: Crimp, measurement: Measurement | None, coverage: Coverage | None) -> EndStage:
    """Its own readings count before those of the pieces around it."""
    if measurement is not None:
        return {
            Outcome.PASS: EndStage.RIGHT,
            Outcome.HELD: EndStage.HELD,
            Outcome.FAIL: EndStage.FAILED,
        }[Outcome(measurement.outcome)]
    if coverage is not None:
        return EndStage.RIGHT if coverage.covered else EndStage.HELD
    return EndStage.BETWEEN if crimp.sampling == Sampling.BETWEEN else EndStage.TO_MEASURE


def _after(records: Collection[R], earlier: Collection[int]) -> R | None:
    """The newest of the records, if it was written after all of the earlier entries."""
    newest = max(records, key=lambda record: record.pk, default=None)
    return newest if newest is not None and newest.pk > max(earlier, default=0) else None


def _is_cleared(test: ProofTest, inspection: Inspection | None) -> bool:
    """Whether one that went too high was inspected again since."""
    return inspection is not None and inspection.pk > test.pk


def _proves(test: ProofTest, passed: Inspection | None, assembly: Assembly) -> bool:
    """Whether the test shows what the assembly has to stand as it is confirmed now."""
    is_right = test.outcome == ProofOutcome.PASSED or (
        test.outcome == ProofOutcome.OVER and _is_cleared(test, passed)
    )
    return is_right and not exceeds(assembly.resolution.proof, test.required_pressure)


def _left_the_bench(assembly: Assembly) -> State | None:
    return next(
        (state for state, record in _FARTHEST_FIRST if getattr(assembly, record, None) is not None), None
    )


def _state_on_the_road(
    assembly: Assembly, stages: Collection[EndStage], *, inspected: bool, tested: bool, tagged: bool
) -> State:
    a_is_right, b_is_right = (stage in (EndStage.RIGHT, EndStage.BETWEEN) for stage in stages)
    reached = [
        (State.CUT, getattr(assembly, "cut", None) is not None),
        (State.CRIMPED_A, a_is_right),
        (State.CRIMPED_B, b_is_right),
        (State.INSPECTED, inspected),
        *([(State.TESTED, tested)] if assembly.resolution.proof_test else []),
        (State.TAGGED, tagged),
    ]
    state = State.PLANNED
    for farther, there in reached:
        if not there:
            break
        state = farther
    return state


def _trouble(
    stages: Collection[EndStage], inspection: Inspection | None, test: ProofTest | None, *, conceded: bool
) -> Trouble:
    if EndStage.FAILED in stages or (test is not None and test.outcome == ProofOutcome.FAILED):
        return Trouble.FAILED
    if EndStage.HELD in stages:
        return Trouble.HELD
    if not all(stage is EndStage.RIGHT for stage in stages):
        return Trouble.NONE
    if inspection is not None and not inspection.passed and not conceded:
        return Trouble.FAILED
    if test is not None and test.outcome == ProofOutcome.OVER and not _is_cleared(test, inspection):
        return Trouble.HELD
    return Trouble.NONE
