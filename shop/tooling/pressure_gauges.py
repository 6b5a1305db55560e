"""Keeping pressure gauges, their calibrations, and whether one may tell a proof test (rule 5)."""

import datetime

from django.db import transaction

from shop.ledger.services import save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling import verbs
from shop.tooling.models import PressureCalibration, PressureGauge
from shop.tooling.refusals import CalibrationNotDoneYet


@transaction.atomic
def save_pressure_gauge(*, actor: User, gauge: PressureGauge) -> PressureGauge:
    """Add, change or block a pressure gauge."""
    require(actor, Permission.KEEP_TOOLS)
    return save_noted(actor=actor, verb=verbs.PRESSURE_GAUGE_SAVED, instance=gauge)


@transaction.atomic
def record_pressure_calibration(*, actor: User, calibration: PressureCalibration) -> PressureCalibration:
    """Record what a pressure gauge read against a standard, in the unit of its scale.

    Raises `CalibrationNotDoneYet`.
    """
    require(actor, Permission.CALIBRATE)
    if calibration.done_on > today():
        raise CalibrationNotDoneYet(day=calibration.done_on)
    calibration.unit = calibration.gauge.unit
    return write_record(
        actor=actor,
        verb=verbs.PRESSURE_GAUGE_CALIBRATED,
        record=calibration,
        subject=calibration.gauge,
    )


def usable_pressure_gauges(day: datetime.date) -> list[PressureGauge]:
    """Those that nobody has blocked and whose calibration holds that day."""
    gauges = PressureGauge.objects.filter(blocked_because="")
    return [gauge for gauge in gauges if gauge.calibration_on(day) is not None]
