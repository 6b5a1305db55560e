"""Where gauges stand with their calibration, for lists and pages."""

import datetime
from dataclasses import dataclass
from typing import Any

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from shop.tooling.models import Calibration, Gauge, PressureCalibration, PressureGauge

SOON_DAYS = 30  # common practice, no source: time to send a gauge away


@dataclass(frozen=True)
class Standing:
    """A sign of web/signs.svg and the words beside it."""

    sign: str
    words: str


def gauges() -> QuerySet[Any]:
    """All gauges with their newest calibration as `last_done_on`, `last_due_on` and `last_passed`."""
    return _with_newest(Gauge.objects.all(), Calibration.objects.all())


def pressure_gauges() -> QuerySet[Any]:
    """All pressure gauges, as `gauges()` has the others."""
    return _with_newest(PressureGauge.objects.all(), PressureCalibration.objects.all())


def _with_newest(rows: QuerySet[Any], calibrations: QuerySet[Any]) -> QuerySet[Any]:
    newest = calibrations.filter(gauge=OuterRef("pk")).order_by("-done_on", "-entry")
    annotated: QuerySet[Any] = rows.annotate(
        **{f"last_{name}": Subquery(newest.values(name)[:1]) for name in ("done_on", "due_on", "passed")}
    )
    return annotated


def standing(gauge: Any, day: datetime.date) -> Standing:
    """Whether a gauge of `gauges()` may judge on that day (rule 5)."""
    if gauge.last_due_on is None:
        return Standing("fail", "never calibrated")
    if not gauge.last_passed:
        return Standing("fail", f"found unfit on {gauge.last_done_on}")
    if gauge.last_due_on < day:
        return Standing("fail", f"was due on {gauge.last_due_on}")
    if gauge.last_due_on <= day + datetime.timedelta(days=SOON_DAYS):
        return Standing("care", f"due soon: {gauge.last_due_on}")
    return Standing("pass", f"until {gauge.last_due_on}")


def over(rows: QuerySet[Any], day: datetime.date) -> QuerySet[Any]:
    """Those that can't judge that day."""
    return rows.filter(Q(last_due_on=None) | Q(last_passed=False) | Q(last_due_on__lt=day))


def due_soon(rows: QuerySet[Any], day: datetime.date) -> QuerySet[Any]:
    """Those that can judge that day and must be calibrated within `SOON_DAYS`."""
    until = day + datetime.timedelta(days=SOON_DAYS)
    return rows.filter(last_passed=True, last_due_on__gte=day, last_due_on__lte=until)


def by_due_date(rows: QuerySet[Any], is_descending: bool) -> QuerySet[Any]:
    """In the order in which they are due; never calibrated ones first."""
    due = F("last_due_on")
    return rows.order_by(due.desc(nulls_last=True) if is_descending else due.asc(nulls_first=True))
