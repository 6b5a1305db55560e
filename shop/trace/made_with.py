"""Which assemblies a tool made or a gauge measured in a span of time: what is in question if it was wrong."""

import datetime
from dataclasses import dataclass
from typing import TypeVar

from django.db.models import Model, Q, QuerySet

from shop.assemblies.models import Assembly, Crimp, Inspection, Measurement, ProofTest
from shop.assemblies.wear import ROLES, checks_of
from shop.engineering.pressures import exceeds
from shop.ledger.models import Record
from shop.policy.services import get_workshop
from shop.tooling.models import (
    Calibration,
    Gauge,
    GaugeCheck,
    PressureCalibration,
    PressureGauge,
    ToolCheck,
    WornTool,
)
from shop.trace.links import each_once
from shop.trace.occurring import is_of, occurring
from shop.trace.suspicion import resting_on

R = TypeVar("R", bound=Record)
FEW = 10  # calibrations that are read at a time: mostly the newest is the one


@dataclass(frozen=True)
class Span:
    """From when to when; `until` is an entry of the ledger, None for 'up to now'.

    `because` says in words what it begins with.
    """

    since: datetime.datetime | None
    until: int | None
    because: str


def span_before(check: ToolCheck | None, tool: WornTool) -> Span:
    """From the last check that found the tool fit to that one, or up to now."""
    until = None if check is None else check.pk
    good = checks_of(tool).filter(passed=True).select_related("entry").order_by("-entry")
    last = (good if until is None else good.filter(entry__lt=until)).first()
    if last is None:
        return Span(None, until, "ever: it was never looked at and found fit before")
    return Span(last.happened_at, until, "since it was last looked at and found fit")


def made_with(tool: WornTool, span: Span) -> QuerySet[Assembly]:
    """The assemblies of which it made an end in that span."""
    return Assembly.objects.filter(
        pk__in=each_once(used_within(Crimp, f"set_up__{ROLES[type(tool)]}", tool, span))
    )


def span_before_fault(fault: Calibration | GaugeCheck | None, gauge: Gauge) -> Span:
    """From the last time that the gauge was known to be right to that fault, or up to now.

    It is known to be right when it went back into use from a calibration, or read a check piece right.
    Of a calibration only the day is known, so that whole day counts as after it.
    """
    until = None if fault is None else fault.pk
    checks = gauge.checks.filter(passed=True).select_related("entry")
    calibrations = gauge.calibrations.filter(passed=True)
    if until is not None:
        checks, calibrations = checks.filter(entry__lt=until), calibrations.filter(entry__lt=until)
    check = checks.order_by("-entry").first()
    newest = calibrations.order_by("-done_on", "-entry")
    calibration = next(
        (one for one in newest.iterator(chunk_size=FEW) if one.left_right),
        None,
    )
    moments: list[tuple[datetime.datetime, str]] = []
    if check is not None:
        moments.append((check.happened_at, f"since it was last right on {check.piece}"))
    if calibration is not None:
        moments.append((morning_of(calibration.done_on), f"since its calibration of {calibration.done_on}"))
    if not moments:
        return Span(None, until, "ever: it was never known to be right before")
    since, because = max(moments)
    return Span(since, until, because)


def faults_of(gauge: Gauge) -> list[tuple[Calibration | GaugeCheck, str]]:
    """Each time that it was found wrong, with a sentence about it, the newest calibration first."""
    calibrations = gauge.calibrations.select_related("entry", "gauge").order_by("-done_on", "-entry")
    found: list[tuple[Calibration | GaugeCheck, str]] = [
        (calibration, f"The calibration of {calibration.done_on} found it wrong.")
        for calibration in calibrations
        if not calibration.found_right or not calibration.passed
    ]
    checks = gauge.checks.filter(passed=False).select_related("entry", "piece").order_by("-entry")
    return [*found, *((check, f"It was wrong on {check.piece}.") for check in checks)]


def measured_with(gauge: Gauge, span: Span) -> QuerySet[Assembly]:
    """The assemblies that rest on its readings in that span: measured, covered by such ones, inspected."""
    measured = used_within(Measurement, "gauge", gauge, span)
    inspected = used_within(Inspection, "gauge", gauge, span)
    keys = resting_on(measured, inspected.order_by().values_list("assembly"), of="crimp__assembly")
    return Assembly.objects.filter(pk__in=keys)


def span_before_pressure_fault(fault: PressureCalibration | None, gauge: PressureGauge) -> Span:
    """From its last calibration that found it fit to that fault, or up to now."""
    until = None if fault is None else fault.pk
    fit = gauge.calibrations.filter(passed=True)
    last = (fit if until is None else fit.filter(entry__lt=until)).order_by("-done_on", "-entry").first()
    if last is None:
        return Span(None, until, "ever: it was never found fit before")
    return Span(morning_of(last.done_on), until, f"since its calibration of {last.done_on}")


def pressure_faults_of(gauge: PressureGauge) -> list[tuple[PressureCalibration, str]]:
    """Each calibration that found it wrong, with a sentence about it, the newest first.

    It was wrong if it was found unfit, or off by more than the uncertainty that the calibration before had
    said: that one was allowed for when its tests were judged.
    """
    found: list[tuple[PressureCalibration, str]] = []
    before: PressureCalibration | None = None
    for calibration in gauge.calibrations.select_related("entry").order_by("done_on", "entry"):
        if not calibration.passed or (before is not None and exceeds(calibration.found_off, before.expanded)):
            found.insert(0, (calibration, f"The calibration of {calibration.done_on} found it wrong."))
        before = calibration
    return found


def tested_with(gauge: PressureGauge, span: Span) -> QuerySet[Assembly]:
    """The assemblies whose proof test was told by it in that span."""
    tests = used_within(ProofTest, "gauge", gauge, span)
    return Assembly.objects.filter(pk__in=each_once(tests))


def used_within(table: type[R], path: str, tool: Model, span: Span) -> "QuerySet[R]":
    """The records that lead to the tool by that path and happened in the span."""
    whose = Q((path, tool.pk)) if span.since is None else is_of(path, [tool.pk])
    return within(table._default_manager.filter(whose), span)


def within(records: "QuerySet[R]", span: Span) -> "QuerySet[R]":
    """Those of the records that happened in the span."""
    if span.until is not None:
        records = records.filter(entry__lt=span.until)
    return occurring(records, since=span.since)


def morning_of(day: datetime.date) -> datetime.datetime:
    """When that day begins in the workshop's zone."""
    return datetime.datetime.combine(day, datetime.time(), tzinfo=get_workshop().zone_info)
