"""What was known and in force of one chart, tool, gauge or lot at the end of a past day, beside now.

Like `in_force`, from which it is read: what was written down later was not known. A few queries for each
thing, whatever was done with it.
"""

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from django.db.models import Model, Q, QuerySet

from shop.assemblies.models import LotCorrection
from shop.assemblies.wear import checks_of, crimps_on
from shop.catalogue.models import ChartIssue, CrimpChart
from shop.engineering.lengths import LengthUnit, show_length
from shop.ledger.facts import subject_of
from shop.policy.services import get_workshop, today
from shop.stock.models import Lot, LotCondemnation, PieceMovement
from shop.tooling.models import (
    Calibration,
    Crimper,
    DieSet,
    Gauge,
    PressureCalibration,
    PressureGauge,
    StopPart,
    WornTool,
)
from shop.trace.as_of import Compared, day_of, end_of
from shop.trace.in_force import NOT_THERE, Book
from shop.trace.made_with import faults_of, pressure_faults_of
from shop.trace.reaching import on_record_with

Rows = Iterator[tuple[str, str]]


def thing_as_of(thing: Model, day: datetime.date) -> tuple[Compared, ...]:
    """What was known of a thing of one of `ROWS_OF` at the end of that day, beside now."""
    rows = ROWS_OF[type(thing)]
    then, now = rows(thing, Book(day, end_of(day))), rows(thing, Book(today(), None))
    return tuple(Compared(what, before, after) for (what, before), (_, after) in zip(then, now, strict=True))


def _chart(chart: CrimpChart, book: Book) -> Rows:
    yield "In force", _only(book.charts(CrimpChart.objects.filter(pk=chart.pk)))
    issues = list(_issues(chart))
    for issue in issues:
        yield f"Issue {issue.issue}", _standing(issue, book)
    yield "Assemblies crimped to it", _touched(issues, book)


def _issue(issue: ChartIssue, book: Book) -> Rows:
    yield "This issue", _standing(_issues(issue.chart).get(pk=issue.pk), book)
    yield "In force", _only(book.charts(CrimpChart.objects.filter(pk=issue.chart_id)))
    yield "Assemblies crimped to it", _touched([issue], book)


def _issues(chart: CrimpChart) -> QuerySet[ChartIssue]:
    return chart.issues.select_related("chart", "entry", "withdrawal__entry").order_by(
        "effective_from", "entry"
    )


def _standing(issue: ChartIssue, book: Book) -> str:
    if not book.has(issue):
        return NOT_THERE
    withdrawal = book.withdrawal_of(issue)
    if withdrawal is not None:
        return f"withdrawn on {day_of(withdrawal.recorded_at)}"
    if issue.effective_from > book.day:
        return f"to begin on {issue.effective_from}"
    newest, _ = book.newest_issues(CrimpChart.objects.filter(pk=issue.chart_id))[issue.chart_id]
    return "in force" if newest == issue else f"replaced by issue {newest.issue}"


def _tool(tool: WornTool, book: Book) -> Rows:
    there = book.columns([tool], "check_every_uses", *_told_of(tool)).get(subject_of(tool))
    yield "May it be used", _only(book.tools(_alone(tool)))
    for column in _told_of(tool):
        yield column.capitalize(), NOT_THERE if there is None else there[column] or "nothing typed"
    checks = [one for one in checks_of(tool).select_related("entry") if book.has(one)]
    newest, fit = checks[-1:], [one for one in checks if one.passed][-1:]
    yield "Last looked at", _looked_at(newest[0].happened_at, newest[0].passed) if newest else "never"
    crimps = crimps_on(tool)
    if book.moment is not None:
        crimps = crimps.filter(entry__recorded_at__lte=book.moment)
    made = crimps.count()
    yield "Crimps made", str(made)
    every = None if there is None else there["check_every_uses"]
    yield "Next look", _next_look(made - (fit[0].uses if fit else 0), every)
    yield "Assemblies made with it", _touched([tool], book)


def _told_of(tool: WornTool) -> tuple[str, ...]:
    return ("condition", "place") if isinstance(tool, DieSet) else ("place",)


def _looked_at(moment: datetime.datetime, passed: bool) -> str:
    return f"{day_of(moment)}: {'fit' if passed else 'not fit'} for use"


def _next_look(since: int, every: int | None) -> str:
    if every is None:
        return "not asked for by use"
    return f"due: {since} of {every} crimps made" if since >= every else f"{since} of {every} crimps made"


def _gauge(gauge: Gauge, book: Book) -> Rows:
    yield from _calibrated(gauge, book, faults_of(gauge))
    tries = [one for one in gauge.checks.select_related("entry", "piece").order_by("entry") if book.has(one)]
    said = "never"
    if tries:
        found = "right" if tries[-1].passed else "not proven right"
        said = f"{day_of(tries[-1].happened_at)}: {found} on {tries[-1].piece}"
    yield "Last tried on a check piece", said
    yield "Assemblies that rest on it", _touched([gauge], book)


def _pressure_gauge(gauge: PressureGauge, book: Book) -> Rows:
    yield from _calibrated(gauge, book, pressure_faults_of(gauge))
    yield "Assemblies that rest on it", _touched([gauge], book)


def _calibrated(gauge: Gauge | PressureGauge, book: Book, faults: Iterable[tuple[Any, str]]) -> Rows:
    yield "May it judge", _only(book.gauges(_alone(gauge)))
    newest = book.newest_calibration(gauge.calibrations.select_related("entry"))
    said = "never" if newest is None else f"{newest.done_on}, U ± {_uncertainty(newest)}"
    yield "Last calibrated", said
    known = [(fault.pk, says) for fault, says in faults if book.has(fault)]
    yield "Found wrong", max(known)[1] if known else "never, as far as known"


def _uncertainty(calibration: Calibration | PressureCalibration) -> str:
    if isinstance(calibration, PressureCalibration):
        return str(calibration.expanded)
    return _length(calibration.expanded_uncertainty)


def _lot(lot: Lot, book: Book) -> Rows:
    is_there = book.has(lot)
    yield "Received", str(day_of(lot.happened_at)) if is_there else NOT_THERE
    condemnation = LotCondemnation.objects.filter(lot=lot).select_related("entry").first()
    if condemnation is not None and book.has(condemnation):
        yield "Condemned", f"on {day_of(condemnation.happened_at)}: nothing is made from it"
    else:
        yield "Condemned", "no" if is_there else NOT_THERE
    if lot.hose_id is None:
        yield "Corrections", _corrections(lot, book)
    else:
        yield "Hose left", _hose_left(lot, book) if is_there else NOT_THERE
    yield "Assemblies that it may be in", _touched([lot], book)


def _corrections(lot: Lot, book: Book) -> str:
    """How many crimps are of it after all by their newest correction, and how many are not."""
    part = "fitting_lot" if lot.fitting_id is not None else "ferrule_lot"
    concerned = LotCorrection.objects.order_by().filter(Q((part, lot)) | Q((f"crimp__{part}", lot)))
    rows = LotCorrection.objects.filter(crimp__in=concerned.values("crimp")).select_related("entry", "crimp")
    newest = {one.crimp_id: one for one in rows.order_by("entry") if book.has(one)}
    pairs = [
        (getattr(one.crimp, f"{part}_id") == lot.pk, getattr(one, f"{part}_id") == lot.pk)
        for one in newest.values()
    ]
    into, away = pairs.count((False, True)), pairs.count((True, False))
    return f"{into} to it, {away} away from it" if into or away else "none"


def _hose_left(lot: Lot, book: Book) -> str:
    moved = PieceMovement.objects.filter(piece__lot=lot).select_related("entry").order_by("number")
    left: Mapping[int, Decimal] = {one.piece_id: one.balance for one in moved if book.has(one)}
    pieces = sum(1 for balance in left.values() if balance)
    return f"{_length(sum(left.values(), Decimal(0)))} on {pieces} piece{'' if pieces == 1 else 's'}"


def _touched(things: list[Any], book: Book) -> str:
    return str(on_record_with(things, book.moment).count())


def _alone(thing: Model) -> QuerySet[Any]:
    return type(thing)._default_manager.filter(pk=thing.pk)


def _only(found: Mapping[str, str]) -> str:
    """What the book says of the one thing that it was asked about."""
    return next(iter(found.values()), NOT_THERE)


def _length(mm: Decimal) -> str:
    return show_length(mm, LengthUnit(get_workshop().length_unit))


ROWS_OF: Mapping[type[Model], Callable[[Any, Book], Rows]] = {
    CrimpChart: _chart,
    ChartIssue: _issue,
    Crimper: _tool,
    DieSet: _tool,
    StopPart: _tool,
    Gauge: _gauge,
    PressureGauge: _pressure_gauge,
    Lot: _lot,
}
