"""What is to be done next with an assembly; services refuse anything else."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.assemblies.models import Assembly, End, ProofOutcome, Run, SetUp, State, Trouble
from shop.assemblies.records import OF_THE_ROAD, read_records
from shop.assemblies.refusals import NotTheNextStep
from shop.assemblies.standing import EndStage, EndStanding, Standing, standing_of
from shop.core.prepared import Prepared, fill
from shop.engineering.pressures import show_rating


class Step(StrEnum):
    """One thing that is done to an assembly."""

    CUT = "cut"
    SET_UP = "set_up"
    CRIMP = "crimp"
    MEASURE = "measure"
    DECIDE = "decide"
    WAIT = "wait"
    INSPECT = "inspect"
    TEST = "test"
    TAG = "tag"
    RELEASE = "release"
    SHIP = "ship"
    RETIRE = "retire"
    NONE = "none"

    @property
    def done(self) -> str:
        """The step as something done, for a sentence: '… can't be measured now'."""
        return _DONE[self]


_DONE = {
    Step.CUT: "cut",
    Step.SET_UP: "set up for",
    Step.CRIMP: "crimped",
    Step.MEASURE: "measured",
    Step.DECIDE: "decided about",
    Step.WAIT: "left to wait",
    Step.INSPECT: "inspected",
    Step.TEST: "proof tested",
    Step.TAG: "tagged",
    Step.RELEASE: "released",
    Step.SHIP: "shipped",
    Step.RETIRE: "taken out of service",
    Step.NONE: "left alone",
}


@dataclass(frozen=True)
class NextStep:
    """The next step, the end that it is about, and what to do in words.

    `also` are steps that may be done instead: setting up once more, measuring what is held.
    """

    step: Step
    end: End | None
    words: str
    also: tuple[Step, ...] = ()

    def allows(self, step: Step, end: End | None) -> bool:
        """Whether that step may be done now, at that end if it has one."""
        return step in (self.step, *self.also) and self.end == end


def pieces_of(runs: Sequence[Run]) -> list[Assembly]:
    """The pieces of the runs by serial, with all that `next_step` looks at, in a fixed number of queries."""
    keys = [run.pk for run in runs]
    pieces = _PIECES.ask(keys)
    read_records(pieces)
    fill([piece.run for piece in pieces], "set_ups", _SET_UPS.ask(keys), of="run_id")
    return pieces


def next_step(assembly: Assembly, standing: Standing | None = None) -> NextStep:
    """What comes next, by the assembly's records; `standing` is what they come to, if that was asked."""
    standing = standing or standing_of(assembly)
    if standing.trouble != Trouble.NONE:
        return _out_of_trouble(standing)
    match standing.state:
        case State.PLANNED:
            resolution = assembly.resolution
            return NextStep(
                Step.CUT, None, f"Cut {resolution.cut_length} mm of {resolution.hose} from a piece."
            )
        case State.CUT:
            return _at_the_end(assembly, standing, End.A)
        case State.CRIMPED_A:
            return _at_the_end(assembly, standing, End.B)
        case State.CRIMPED_B if (end := standing.end_between) is not None:
            return NextStep(
                Step.WAIT,
                end,
                f"End {end.value} is proven once a piece crimped after it has been measured. "
                "Go on with the run, or measure this one.",
                also=(Step.MEASURE,),
            )
        case State.CRIMPED_B:
            return NextStep(Step.INSPECT, None, "Inspect the finished assembly and measure its length.")
        case State.INSPECTED if assembly.resolution.proof_test:
            return NextStep(Step.TEST, None, f"Proof test it at {show_rating(assembly.resolution.proof)}.")
        case State.INSPECTED | State.TESTED:
            return NextStep(Step.TAG, None, "Make the tag, and mark the assembly lastingly.")
        case State.TAGGED:
            return NextStep(Step.RELEASE, None, "Scan the tag on the hose to release it.")
        case State.RELEASED:
            return NextStep(Step.SHIP, None, "Hand it to the customer.", also=(Step.RETIRE,))
        case State.SHIPPED:
            return NextStep(Step.RETIRE, None, "In service. Record when it is taken out of service.")
        case State.SCRAPPED:
            return NextStep(Step.NONE, None, "Scrapped: nothing more is done with it.")
    return NextStep(Step.NONE, None, "Out of service: nothing more is done with it.")


def require_step(assembly: Assembly, step: Step, end: End | None = None) -> Standing:
    """Where the assembly stands, if that is its next step; raises `NotTheNextStep`, which says what is."""
    standing = standing_of(assembly)
    now = next_step(assembly, standing)
    if not now.allows(step, end):
        at = f" at end {end.value}" if end is not None else ""
        raise NotTheNextStep(assembly=assembly, done=f"{step.done}{at}", next=now.words)
    return standing


def newest_set_up(assembly: Assembly, end: End) -> SetUp | None:
    """The newest set-up of the run for that end, if it is for the chart's line as confirmed now."""
    set_ups = [set_up for set_up in assembly.run.set_ups.all() if set_up.end == end]
    newest = max(set_ups, key=lambda set_up: set_up.pk, default=None)
    wanted = assembly.specification_id(end)
    return newest if newest is not None and newest.specification_id == wanted else None


def _at_the_end(assembly: Assembly, standing: Standing, end: End) -> NextStep:
    here = standing.end(end)
    if here.stage is EndStage.TO_MEASURE:
        return NextStep(Step.MEASURE, end, f"Measure the crimp at end {end.value}.")
    set_up = newest_set_up(assembly, end)
    # What failed is not repeated as it was: for a new fitting the crimper is set up after the decision.
    is_before_refit = set_up is not None and here.refit is not None and set_up.pk < here.refit.pk
    if set_up is None or is_before_refit:
        return NextStep(Step.SET_UP, end, f"Set the crimper up for end {end.value}{_anew(here)}.")
    again = " again" if here.crimp is not None and here.refit is None else ""
    return NextStep(Step.CRIMP, end, f"Crimp end {end.value}{again}{_anew(here)}.", also=(Step.SET_UP,))


def _anew(here: EndStanding) -> str:
    """What is done before a new fitting goes on an end that failed."""
    if here.refit is None:
        return ""
    return (
        f", cut off by {here.refit.cut_off} mm so that {here.refit.length_left} mm of hose are left, "
        "with a new fitting"
    )


def _out_of_trouble(standing: Standing) -> NextStep:
    here, outcome = standing.end_in_trouble, standing.test and standing.test.outcome
    if outcome == ProofOutcome.FAILED:
        return NextStep(
            Step.DECIDE, None, "The proof test failed: scrap it. It is not crimped or tested again."
        )
    if here is None and standing.trouble == Trouble.HELD:
        return NextStep(
            Step.DECIDE,
            None,
            "Its proof test went above the highest pressure allowed: let somebody else inspect it again, "
            "or scrap it.",
            also=(Step.INSPECT,),
        )
    if here is None:
        return NextStep(
            Step.DECIDE,
            None,
            "The inspection failed: put it right and inspect again, or decide what becomes of it.",
            also=(Step.INSPECT,),
        )
    if here.stage is EndStage.HELD:
        return NextStep(
            Step.DECIDE,
            here.end,
            f"End {here.end.value} is held: measure more, take a better gauge, or treat it as failed.",
            also=(Step.MEASURE,),
        )
    return NextStep(Step.DECIDE, here.end, f"End {here.end.value} failed: decide what becomes of it.")


_PIECES = Prepared(
    lambda runs: (
        Assembly.objects.filter(run__in=runs)
        .order_by("serial")
        .select_related(
            *(f"run__resolution__{part}" for part in ("hose", "specification_a", "specification_b"))
        )
        .select_related(*OF_THE_ROAD)
    )
)
_SET_UPS = Prepared(lambda runs: SetUp.objects.filter(run__in=runs).order_by("pk"))
