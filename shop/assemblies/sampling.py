"""Which crimps of a run are measured, and what measured ones say of those between them.

A run's crimps stand under the same conditions as long as set-up and lots are the same; a set-up is one
person's, for one shift. The first piece is measured and has to pass before the next is crimped, and so do
every n-th by policy and the last. A piece that is not measured is right if the measured ones before and
after it passed; if one of them did not, it is in question (common practice, no source).
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import OuterRef, Q, QuerySet, Subquery

from shop.assemblies import verbs
from shop.assemblies.models import (
    CRIMPED_ANEW,
    Assembly,
    Coverage,
    Crimp,
    End,
    Measurement,
    Sampling,
    SetUp,
    lots_of,
)
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.occasion import Occasion
from shop.assemblies.presses import require_still_together
from shop.assemblies.refusals import (
    RunInQuestion,
    RunNotProven,
    SetUpOfAnotherShift,
    SetUpOfSomebodyElse,
    TooLateToCorrect,
)
from shop.assemblies.standing import newest_measurement, settle
from shop.engineering.crimp import Outcome
from shop.people.names import names_of
from shop.policy.models import Policy
from shop.policy.services import get_workshop
from shop.stock.models import Lot, PieceMovement


@dataclass(frozen=True)
class Place:
    """Where the next crimp stands in its run: if it is measured, the first piece of its kind, its number."""

    sampling: Sampling
    first_piece: Crimp | None = None
    number: int = 1


def require_set_up_holds(set_up: SetUp, on: Occasion, policy: Policy) -> None:
    """Raise `SetUpOfSomebodyElse`, `SetUpTakenApart` or `SetUpOfAnotherShift`, whatever has ended it."""
    if set_up.actor_number != on.by.number:
        name = names_of([set_up.actor_number])[set_up.actor_number]
        raise SetUpOfSomebodyElse(name=name, end=set_up.end)
    require_still_together(set_up, on)
    if shift_of(set_up.happened_at, policy) != shift_of(on.at, policy):
        raise SetUpOfAnotherShift(end=set_up.end)


def shift_of(moment: datetime.datetime, policy: Policy) -> tuple[datetime.date, datetime.time]:
    """The day on which the shift of that moment began, and when, in the workshop's zone."""
    local = moment.astimezone(get_workshop().zone_info)
    begun = [start for start in policy.shifts if start <= local.time()]
    if begun:
        return local.date(), begun[-1]
    return local.date() - datetime.timedelta(days=1), policy.shifts[-1]


def place_in_run(
    assembly: Assembly, end: End, set_up: SetUp, lots: tuple[Lot, Lot | None], policy: Policy
) -> Place:
    """Where the next crimp of the run stands; `lots` are of the fitting and of the ferrule.

    An end that is crimped anew, on the same fitting or after it was cut off, is always measured itself.
    Raises `RunNotProven` while a piece that decides about others has not been measured, `RunInQuestion`
    after one on this set-up that didn't pass; crimping that very piece again is another matter.
    """
    require_run_goes_on(assembly, end, set_up)
    made = _of_the_others(assembly, end)
    before = made.select_related("first_piece").order_by("entry").last()
    now = (set_up.pk, *(lot and lot.pk for lot in lots), _hose_lot(assembly.pk))
    if before is None or _conditions(before) != now:
        if before is not None and _is_open(before):
            raise RunNotProven(assembly=before.assembly, sampling=Sampling.LAST.label, end=end.value)
        return Place(Sampling.FIRST)
    first = before.first_piece or before
    number = 1 + made.filter(_like(first)).count()
    sampling = _sampling(assembly, end, number, policy)
    if sampling == Sampling.BETWEEN and assembly.crimps.filter(end=end).exists():
        sampling = Sampling.ANEW
    return Place(sampling, first, number)


def require_run_goes_on(assembly: Assembly, end: End, set_up: SetUp) -> None:
    """Raise `RunNotProven` or `RunInQuestion` if a crimp of another piece on this set-up stops the next."""
    _require_passed(_of_the_others(assembly, end).filter(set_up=set_up).order_by("entry"))


def pieces_to_measured(
    pieces: Sequence[Assembly], end: End, set_up: SetUp, lots: tuple[Lot, Lot | None], policy: Policy
) -> int:
    """How many of the pieces that wait may be crimped until one has to be measured, that one included.

    Raises as `place_in_run`, of which it is the outlook: with other lots meanwhile it may be fewer.
    """
    place = place_in_run(pieces[0], end, set_up, lots, policy)
    if place.sampling != Sampling.BETWEEN:
        return 1
    every = policy.measured_every or 1
    until_nth = every - (place.number - 1) % every
    anew = (n for n, piece in enumerate(pieces, start=1) if piece.crimps.filter(end=end).exists())
    return min(until_nth, len(pieces), *anew)


def say_of_the_run(on: Occasion, crimp: Crimp) -> None:
    """Write what the measured pieces say now of those between them, and settle these.

    Called after each measurement of a piece. Nothing is said of a crimp that was cut off or pressed again
    since; what was measured on it stays a finding about its neighbours. Raises `TooLateToCorrect` if one
    that has left the bench would be in question.
    """
    made = Crimp.objects.filter(_like(crimp.first_piece or crimp)).order_by("entry")
    if not made.filter(measurements=None).exists():
        return  # each speaks for itself
    pieces = list(made.select_related("assembly").prefetch_related("measurements", "coverages", "decisions"))
    measured = [newest_measurement(piece) for piece in pieces]
    said = [
        coverage
        for number, piece in enumerate(pieces)
        if measured[number] is None
        and not any(decision.kind in CRIMPED_ANEW for decision in piece.decisions.all())
        and (coverage := _said_by(piece, measured[:number], measured[number + 1 :])) is not None
    ]
    for coverage in said:
        piece = coverage.crimp
        if not coverage.covered and piece.assembly.state not in ON_THE_ROAD:
            raise TooLateToCorrect(assembly=piece.assembly, state=piece.assembly.get_state_display())
        verb = verbs.COVERED if coverage.covered else verbs.QUESTIONED
        on.write(verb=verb, record=coverage, subject=piece.assembly)
    ids = [coverage.crimp.assembly_id for coverage in said]
    for assembly in Assembly.objects.filter(pk__in=ids).select_for_update(no_key=True).order_by("pk"):
        settle(assembly)


def _said_by(
    piece: Crimp, earlier: Sequence[Measurement | None], later: Sequence[Measurement | None]
) -> Coverage | None:
    """What the nearest measured pieces say of that one; None if that is nothing, or was said before."""
    before = next((one for one in reversed(earlier) if one is not None), None)
    after = next((one for one in later if one is not None), None)
    nearest = [one for one in (before, after) if one is not None]
    passed = [one.outcome == Outcome.PASS for one in nearest]
    if all(passed) and len(passed) < len((before, after)):
        return None
    covered = all(passed)
    newest = max(piece.coverages.all(), key=lambda coverage: coverage.pk, default=None)
    if newest is not None and newest.covered == covered:
        return None
    return Coverage(crimp=piece, covered=covered, before=before, after=after)


def _sampling(assembly: Assembly, end: End, number: int, policy: Policy) -> Sampling:
    """Why the piece of that number under the same conditions is measured, or not."""
    others = Assembly.objects.filter(run=assembly.run_id, state__in=ON_THE_ROAD).exclude(pk=assembly.pk)
    if not others.exclude(crimps__end=end).exists():
        return Sampling.LAST
    every = policy.measured_every or 1
    if every == 1:
        return Sampling.EACH
    return Sampling.NTH if number % every == 0 else Sampling.BETWEEN


def _require_passed(crimps: QuerySet[Crimp]) -> None:
    """Raise for the first of them that was measured and didn't pass, or has to be measured and was not."""
    newest = Measurement.objects.filter(crimp=OuterRef("pk")).order_by("-number").values("outcome")[:1]
    has_to_be = ~Q(sampling=Sampling.BETWEEN) & Q(assembly__state__in=ON_THE_ROAD)
    stops = (Q(outcome=None) & has_to_be) | (Q(outcome__isnull=False) & ~Q(outcome=Outcome.PASS))
    crimp = crimps.annotate(outcome=Subquery(newest)).filter(stops).first()
    if crimp is None:
        return
    measurement = newest_measurement(crimp)
    if measurement is None:
        said = Sampling(crimp.sampling or Sampling.EACH).label
        raise RunNotProven(assembly=crimp.assembly, sampling=said, end=crimp.end)
    outcome = "is held" if measurement.outcome == Outcome.HELD else "failed"
    raise RunInQuestion(assembly=crimp.assembly, end=crimp.end, outcome=outcome)


def _of_the_others(assembly: Assembly, end: End) -> QuerySet[Crimp]:
    """The crimps of that end on the other pieces of its run."""
    return Crimp.objects.filter(assembly__run=assembly.run_id, end=end).exclude(assembly=assembly)


def _is_open(crimp: Crimp) -> bool:
    """Whether neither its own readings nor those around it have said anything of it yet."""
    is_unsaid = newest_measurement(crimp) is None and not crimp.coverages.all()
    return is_unsaid and crimp.assembly.state in ON_THE_ROAD


def _conditions(crimp: Crimp) -> tuple[int | None, ...]:
    lots = (lot and lot.pk for lot in lots_of(crimp))
    return (crimp.set_up_id, *lots, _hose_lot(crimp.assembly_id))


def _hose_lot(assembly: int) -> int:
    return PieceMovement.objects.values_list("piece__lot", flat=True).get(cut__assembly=assembly)


def _like(first: Crimp) -> Q:
    """Made under the conditions of that first one; itself included."""
    return Q(pk=first.pk) | Q(first_piece=first)
