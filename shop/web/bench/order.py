"""The order in which the bench makes what is open: as due, with as few set-ups as that allows."""

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.db.models import Exists, OuterRef

from shop.assemblies.models import Assembly, End, Run, State
from shop.assemblies.runs import RunStanding, standings_of_runs
from shop.catalogue.models import CrimpSpecification

# Runs due within so many days of the first may change places, to follow one another on one set-up. More
# and a hose that is due would wait for days behind other people's dies (common practice, no source).
SPAN = datetime.timedelta(days=3)
# The end that is crimped next, by the state that one of the run's pieces is in.
NEXT_END = {State.PLANNED: End.A, State.CUT: End.A, State.CRIMPED_A: End.B}


@dataclass(frozen=True)
class Job:
    """A run as far as its turn goes: what has to be in the press (None: no press), and when it is due."""

    run: int
    press: str | None
    due_on: datetime.date | None
    pulled_at: datetime.datetime | None = None


@dataclass(frozen=True)
class Group:
    """Runs that follow one another on one set-up; what is pulled stands by itself."""

    heading: str
    standings: tuple[RunStanding, ...]


def in_turn(jobs: Sequence[Job], span: datetime.timedelta = SPAN) -> list[Job]:
    """The jobs in the order in which they are to be made.

    What was pulled comes first, the earliest pulled first. Then, span by span, what is due no more than
    `span` after the first that is left: equal set-ups follow one another, first the one that is in the
    press already, then that of what is due first. Nothing comes after something that is due more than
    `span` later, and the set-up changes no more often than it would strictly by due day. What has no due
    day comes last.
    """
    turn = sorted(
        (job for job in jobs if job.pulled_at is not None), key=lambda job: (job.pulled_at, job.run)
    )
    left = sorted((job for job in jobs if job.pulled_at is None), key=_due)
    while left:
        count = _within(left, span)
        turn += _on_equal_set_ups(left[:count], _in_the_press(turn))
        left = left[count:]
    return turn


def open_jobs() -> list[Job]:
    """Every run that has pieces on the bench, in turn; in a fixed number of queries."""
    states: dict[int, set[str]] = {}
    for run, state in Assembly.objects.on_the_bench().values_list("run", "state").distinct():
        states.setdefault(run, set()).add(state)
    runs = Run.objects.filter(
        Exists(Assembly.objects.on_the_bench().filter(run=OuterRef("pk")))
    ).select_related(
        "line__order",
        *(f"resolution__specification_{end}__{part}" for end in "ab" for part in ("die_type", "stop_type")),
    )
    return in_turn(
        [
            Job(run.pk, _press_for(run, states.get(run.pk, set())), run.line.order.due_on, run.pulled_at)
            for run in runs
        ]
    )


def groups_of(jobs: Sequence[Job]) -> list[Group]:
    """The jobs, which are in turn, with where each of their runs stands."""
    runs = Run.objects.select_related("line__order__customer", "resolution__hose", "pulled_by").in_bulk(
        [job.run for job in jobs]
    )
    standings = {one.run.pk: one for one in standings_of_runs([runs[job.run] for job in jobs])}
    return [
        Group(heading, tuple(standings[job.run] for job in group))
        for heading, group in groupby(jobs, _heading)
    ]


def press_words(specification: CrimpSpecification) -> str:
    """What a crimp needs in the press, as a heading: dies and stop."""
    stop = specification.stop_type or specification.stop_setting
    kind = specification.get_stop_kind_display().removeprefix("a ")
    return f"Dies {specification.die_type}, {kind} {stop}".strip()


def _press_for(run: Run, states: set[str]) -> str | None:
    ends = sorted({NEXT_END[State(state)] for state in states if state in NEXT_END})
    if not ends:
        return None
    resolution = run.resolution
    return press_words(resolution.specification_a if ends[0] == End.A else resolution.specification_b)


def _heading(job: Job) -> str:
    if job.pulled_at is not None:
        return "Pulled before their turn"
    return job.press or "Without a press"


def _due(job: Job) -> tuple[datetime.date, int]:
    return job.due_on or datetime.date.max, job.run


def _within(jobs: Sequence[Job], span: datetime.timedelta) -> int:
    """How many of the jobs, the earliest first, are due within the span of the first."""
    first = jobs[0].due_on
    if first is None:
        return len(jobs)
    return sum(1 for job in jobs if job.due_on is not None and job.due_on - first <= span)


def _on_equal_set_ups(jobs: Sequence[Job], in_the_press: str | None) -> Iterator[Job]:
    groups: dict[str | None, list[Job]] = {}
    for job in jobs:
        groups.setdefault(job.press, []).append(job)
    if in_the_press in groups:
        yield from groups.pop(in_the_press)
    for group in groups.values():
        yield from group


def _in_the_press(turn: Sequence[Job]) -> str | None:
    return next((job.press for job in reversed(turn) if job.press is not None), None)
