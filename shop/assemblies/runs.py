"""Work on the pieces of a run together: hundreds of hoses in minutes of typing, each with its own records.

Every piece goes through the service for one; here they only come one after the other in one transaction,
in the order of their serials, so that all are recorded or none.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from shop.assemblies.inspection import inspect
from shop.assemblies.making import crimp_end, cut_hose
from shop.assemblies.models import (
    Assembly,
    Crimp,
    Cut,
    End,
    Inspection,
    ProofTest,
    Run,
    Sampling,
    SetUp,
    Tag,
)
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.occasion import Earlier
from shop.assemblies.refusals import NoneOfThem, NotSoMany, SomethingFoundOnSeveral
from shop.assemblies.release import make_tag
from shop.assemblies.sampling import pieces_to_measured
from shop.assemblies.steps import NextStep, Step, next_step, pieces_of
from shop.assemblies.testing import Observed, prove_assembly
from shop.core.refusals import Refusal
from shop.people.models import User
from shop.policy.services import policy_in_force
from shop.stock.models import Lot, Piece
from shop.tooling.models import Gauge, PressureGauge

# What keeps others waiting comes first; then the road from its beginning, end A of all before end B.
ORDER = {
    Step.DECIDE: 0,
    Step.MEASURE: 1,
    Step.CUT: 2,
    Step.SET_UP: 3,
    Step.CRIMP: 3,
    Step.INSPECT: 4,
    Step.TEST: 5,
    Step.TAG: 6,
    Step.RELEASE: 7,
    Step.WAIT: 8,
}


@dataclass(frozen=True)
class Waiting:
    """Pieces of a run that wait for the same step, in the order of their serials."""

    step: Step
    end: End | None
    words: str
    pieces: tuple[Assembly, ...]

    @property
    def count(self) -> int:
        return len(self.pieces)


@dataclass(frozen=True)
class RunStanding:
    """A run with its pieces, and what is to be done with which of them; what comes first stands first."""

    run: Run
    pieces: tuple[tuple[Assembly, NextStep], ...]
    waiting: tuple[Waiting, ...]

    @property
    def count(self) -> int:
        return len(self.pieces)

    @property
    def first(self) -> Waiting | None:
        """What is to be done next with the run; None once nothing is left to do."""
        return self.waiting[0] if self.waiting else None

    @property
    def troubles(self) -> list[tuple[str, str]]:
        """The open questions that pieces of it have, each once, with its words."""
        found = {piece.trouble: piece.get_trouble_display() for piece, _ in self.pieces if piece.trouble}
        return sorted(found.items())


def standing_of_run(run: Run) -> RunStanding:
    """Where each piece of the run stands, in a fixed number of queries."""
    [standing] = standings_of_runs([run])
    return standing


def standings_of_runs(runs: Iterable[Run]) -> list[RunStanding]:
    """Where each piece of the runs stands, in a fixed number of queries."""
    every = list(runs)
    pieces: dict[int, list[tuple[Assembly, NextStep]]] = {run.pk: [] for run in every}
    for piece in pieces_of(every):
        pieces[piece.run_id].append((piece, next_step(piece)))
    return [RunStanding(run, tuple(pieces[run.pk]), tuple(_waiting(pieces[run.pk]))) for run in every]


def most_at_once(pieces: Sequence[Assembly], end: End, set_up: SetUp, lots: tuple[Lot, Lot | None]) -> int:
    """How many of the pieces that wait may be crimped before one is measured; at least one.

    What stands against the next crimp is said by `crimp_pieces`.
    """
    try:
        return pieces_to_measured(pieces, end, set_up, lots, policy_in_force())
    except Refusal:
        return 1


def cut_pieces(
    *,
    actor: User,
    run: Run,
    count: int,
    piece: Piece,
    seen: Sequence[str],
    earlier: Earlier | None = None,
) -> list[Cut]:
    """Cut the next `count` hoses of the run from one piece. Raises what `cut_hose` raises, `NotSoMany`."""
    with _next_pieces(run, Step.CUT, None, count) as assemblies:
        return [
            cut_hose(actor=actor, assembly=each, piece=piece, seen=seen, earlier=earlier)
            for each in assemblies
        ]


def crimp_pieces(
    *,
    actor: User,
    run: Run,
    end: End,
    count: int,
    fitting_lot: Lot,
    ferrule_lot: Lot | None,
    seen: Sequence[str],
) -> list[Crimp]:
    """Crimp the next `count` pieces at that end, all with what was ticked as seen on each.

    Raises what `crimp_end` raises, and `NotSoMany` if one that has to be measured comes before the last:
    none is crimped over it.
    """
    made: list[Crimp] = []
    with _next_pieces(run, Step.CRIMP, end, count) as assemblies:
        for assembly in assemblies:
            if made and made[-1].sampling != Sampling.BETWEEN:
                why = f"{made[-1].assembly} is {made[-1].get_sampling_display()} and is measured first."
                raise NotSoMany(count=count, why=why, most=len(made))
            made.append(
                crimp_end(
                    actor=actor,
                    assembly=assembly,
                    end=end,
                    fitting_lot=fitting_lot,
                    ferrule_lot=ferrule_lot,
                    seen=seen,
                )
            )
    return made


def inspect_pieces(
    *,
    actor: User,
    run: Run,
    measured: Mapping[Assembly, tuple[Decimal, int | None]],
    gauge: Gauge,
    seen: Collection[str],
    pin_mm: Decimal | None = None,
    earlier: Earlier | None = None,
) -> list[Inspection]:
    """Inspect pieces that were all found right to look at: each with its own length (mm) and angle (degrees).

    `pin_mm` is the pin that was put through each, if one was. One whose measures are outside the tolerance
    is inspected as not right, the others go on. Raises what `inspect` raises, `NotSoMany` for a piece of
    another run.
    """
    with transaction.atomic():
        for stranger in (assembly for assembly in measured if assembly.run_id != run.pk):
            raise NotSoMany(count=len(measured), why=f"{stranger} is of another run.", most=0)
        return [
            inspect(
                actor=actor,
                assembly=assembly,
                finished_length_mm=length_mm,
                angle_deg=angle_deg,
                gauge=gauge,
                seen=seen,
                faults=(),
                pin_mm=pin_mm,
                earlier=earlier,
            )
            for assembly, (length_mm, angle_deg) in sorted(measured.items(), key=lambda item: item[0].serial)
        ]


def prove_pieces(
    *,
    actor: User,
    run: Run,
    count: int,
    gauge: PressureGauge,
    observed: Observed,
    sure: frozenset[str] = frozenset(),
) -> list[ProofTest]:
    """Record that the next `count` pieces were tested together and all stood it, each in its own record.

    Raises what `prove_assembly` raises, and `SomethingFoundOnSeveral` if something was found on one of
    several: which of them it was has to be told piece by piece.
    """
    if observed.found and count > 1:
        raise SomethingFoundOnSeveral(count=count)
    with _next_pieces(run, Step.TEST, None, count) as assemblies:
        return [
            prove_assembly(actor=actor, assembly=assembly, gauge=gauge, observed=observed, sure=sure)
            for assembly in assemblies
        ]


def tag_pieces(*, actor: User, run: Run) -> list[Tag]:
    """Make the tags of all pieces that are inspected. Raises what `make_tag` raises, `NoneOfThem`."""
    count = sum(len(waiting.pieces) for waiting in standing_of_run(run).waiting if waiting.step is Step.TAG)
    with _next_pieces(run, Step.TAG, None, count) as assemblies:
        return [make_tag(actor=actor, assembly=assembly) for assembly in assemblies]


@contextmanager
def _next_pieces(run: Run, step: Step, end: End | None, count: int) -> Iterator[Sequence[Assembly]]:
    """The first `count` pieces that wait for that step, with the run locked."""
    with transaction.atomic():
        Run.objects.select_for_update(no_key=True).get(pk=run.pk)
        standing = standing_of_run(run)
        ready = next(
            (waiting.pieces for waiting in standing.waiting if (waiting.step, waiting.end) == (step, end)), ()
        )
        if not ready:
            now = standing.first.words if standing.first else "it is finished."
            raise NoneOfThem(run=run, done=step.done, next=now)
        if not 1 <= count <= len(ready):
            raise NotSoMany(count=count, why=f"{len(ready)} are ready to be {step.done}.", most=len(ready))
        yield ready[:count]


def _waiting(pieces: Sequence[tuple[Assembly, NextStep]]) -> Iterator[Waiting]:
    groups: dict[tuple[int, str, Step], list[tuple[Assembly, NextStep]]] = {}
    for assembly, step in pieces:
        if assembly.state in ON_THE_ROAD:
            groups.setdefault((ORDER[step.step], step.end or "", step.step), []).append((assembly, step))
    for _, group in sorted(groups.items()):
        step = group[0][1]
        yield Waiting(step.step, step.end, step.words, tuple(assembly for assembly, _ in group))
