"""What measures pressure. Its figures are kept as they are printed, in the unit of its own scale."""

import datetime
import re
from decimal import Decimal
from typing import ClassVar

from django.core.validators import RegexValidator
from django.db import models
from django.db.models import F, Q

from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.models import Record
from shop.standards.models import PRESSURE_UNITS, PRINTED_FIGURE
from shop.tooling.models.tools import Tool

above_nought = RegexValidator(
    re.compile(rf"^(?:{PRINTED_FIGURE.pattern})$"), "Write a number above nought, like 600 or 1.5."
)
with_sign = RegexValidator(re.compile(r"^-?\d{1,7}(\.\d{1,3})?$"), "Write a number like 0.4, -1.5 or 0.")


class PressureGauge(Tool):
    """A gauge with a scale from nought to its end, by which proof tests are told."""

    KIND_LETTER = "M"

    unit = models.CharField("unit of its scale", max_length=3, choices=PRESSURE_UNITS)
    scale_to = models.CharField("its scale ends at", max_length=12, validators=[above_nought])
    division = models.CharField(
        "it is read to", max_length=12, validators=[above_nought], help_text="Smallest step, in that unit."
    )
    interval_months = models.PositiveSmallIntegerField("calibrated every, months", default=12)

    class Meta:
        ordering = ["number"]

    def pressure(self, figure: str) -> Pressure:
        """A figure of its scale."""
        return Pressure(Decimal(figure), PressureUnit(self.unit))

    @property
    def end_of_scale(self) -> Pressure:
        """The highest that it shows."""
        return self.pressure(self.scale_to)

    @property
    def calibration(self) -> "PressureCalibration | None":
        """The newest calibration."""
        return self.calibrations.order_by("-done_on", "-entry").first()

    def calibration_on(self, day: datetime.date) -> "PressureCalibration | None":
        """The newest calibration, if it passed and still holds on that day."""
        newest = self.calibrations.filter(done_on__lte=day).order_by("-done_on", "-entry").first()
        return newest if newest and newest.passed and newest.due_on >= day else None


class PressureCalibration(Record):
    """What a pressure gauge read against a standard; figures in `unit`, its scale's of that day."""

    KIND = "pressure_calibration"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "gauge",
            "unit",
            "done_on",
            "due_on",
            "error_as_found",
            "error_as_left",
            "expanded_uncertainty",
            "passed",
            "certificate",
        )
    }

    gauge = models.ForeignKey(PressureGauge, models.PROTECT, related_name="calibrations")
    unit = models.CharField(max_length=3, choices=PRESSURE_UNITS, editable=False)
    done_on = models.DateField()
    due_on = models.DateField("due again on")
    error_as_found = models.CharField(
        max_length=12,
        validators=[with_sign],
        help_text="Largest error before any adjustment, in the unit of its scale. The sign may be typed.",
    )
    error_as_left = models.CharField(
        max_length=12, validators=[with_sign], help_text="Largest error when it went back into use."
    )
    expanded_uncertainty = models.CharField(
        "expanded uncertainty U of one reading (k = 2)",
        max_length=12,
        validators=[above_nought],
        help_text="In use, in the unit of its scale; the error that was left counts in it.",
    )
    passed = models.BooleanField("fit for use", default=True)
    certificate = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["-done_on"]
        constraints = [
            models.CheckConstraint(
                name="pressure_calibration_due_after_done",
                condition=Q(due_on__gt=F("done_on")),
                violation_error_message="The next calibration is due after this one. Check both dates.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gauge} on {self.done_on}"

    @property
    def expanded(self) -> Pressure:
        """The expanded uncertainty of one reading."""
        return Pressure(Decimal(self.expanded_uncertainty), PressureUnit(self.unit))

    @property
    def found_off(self) -> Pressure:
        """By how much it was wrong before any adjustment, to whichever side."""
        return Pressure(abs(Decimal(self.error_as_found)), PressureUnit(self.unit))
