"""What measures: gauges, their calibrations, and the check pieces that they are tried on between them."""

import datetime
from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from shop.core.fields import LengthField
from shop.engineering.crimp import MeasurementUncertainty
from shop.engineering.uncertainty_budget import UncertaintyBudget
from shop.ledger.models import Record
from shop.tooling.models.tools import Tool


class GaugeKind(models.TextChoices):
    """What a gauge is."""

    CALIPER = "caliper", "caliper"
    TAPE = "tape", "tape"


class Gauge(Tool):
    """A measuring instrument for lengths."""

    KIND_LETTER = "G"

    kind = models.CharField(max_length=8, choices=GaugeKind)
    resolution = LengthField()
    permitted_error = LengthField(null=True, blank=True)
    interval_months = models.PositiveSmallIntegerField("calibrated every, months", default=12)

    class Meta:
        ordering = ["number"]

    @property
    def calibration(self) -> "Calibration | None":
        """The newest calibration."""
        return self.calibrations.order_by("-done_on", "-entry").first()

    def calibration_on(self, day: datetime.date) -> "Calibration | None":
        """The newest calibration, if it passed and still holds on that day."""
        newest = self.calibrations.filter(done_on__lte=day).order_by("-done_on", "-entry").first()
        return newest if newest and newest.passed and newest.due_on >= day else None


class Calibration(Record):
    """What a gauge read against a standard, before and after adjustment."""

    KIND = "calibration"
    # Version 2 tells the budget that the uncertainty was worked out from; NULL where it was typed.
    BUDGET: ClassVar[tuple[str, ...]] = (
        "certificate_uncertainty",
        "resolution_then",
        "temperature_effect",
        "repeatability",
    )
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "gauge",
            "done_on",
            "due_on",
            "error_as_found",
            "error_as_left",
            "expanded_uncertainty",
            "passed",
            "certificate",
        )
    }
    FIELDS[2] = (*FIELDS[1], *BUDGET)

    gauge = models.ForeignKey(Gauge, models.PROTECT, related_name="calibrations")
    done_on = models.DateField()
    due_on = models.DateField("due again on")
    error_as_found = LengthField(help_text="Largest error before any adjustment. The sign may be typed.")
    error_as_left = LengthField(help_text="Largest error when it went back into use.")
    expanded_uncertainty = LengthField(
        "expanded uncertainty U of one reading (k = 2)", help_text="In use, from your own budget."
    )
    passed = models.BooleanField("fit for use", default=True)
    certificate = models.CharField(max_length=80, blank=True)
    certificate_uncertainty = LengthField(
        "uncertainty of the calibration (k = 2)", null=True, blank=True, help_text="As its certificate says."
    )
    resolution_then = LengthField("resolution of the gauge then", null=True, blank=True, editable=False)
    temperature_effect = LengthField(
        "what temperature may do, ±",
        null=True,
        blank=True,
        help_text="The most by which a reading may be off because workshop, gauge or part are not at 20 °C.",
    )
    repeatability = LengthField(
        "spread between readings",
        null=True,
        blank=True,
        help_text="Standard deviation of one person's readings of the same part, ten or more of them.",
    )

    class Meta:
        ordering = ["-done_on"]
        constraints = [
            models.CheckConstraint(
                name="calibration_due_after_done",
                condition=Q(due_on__gt=F("done_on")),
                violation_error_message="The next calibration is due after this one. Check both dates.",
            ),
            models.CheckConstraint(
                name="calibration_uncertainty_above_zero",
                condition=Q(expanded_uncertainty__gt=0),
                violation_error_message="No gauge is without uncertainty. Type the expanded uncertainty.",
            ),
            models.CheckConstraint(
                name="calibration_budget_is_whole",
                condition=Q(
                    certificate_uncertainty=None,
                    resolution_then=None,
                    temperature_effect=None,
                    repeatability=None,
                )
                # For a database, an unknown number above zero is not a violation.
                | Q(
                    certificate_uncertainty__isnull=False,
                    resolution_then__isnull=False,
                    temperature_effect__isnull=False,
                    repeatability__isnull=False,
                    certificate_uncertainty__gt=0,
                    resolution_then__gt=0,
                    temperature_effect__gte=0,
                    repeatability__gte=0,
                ),
                violation_error_message="A budget has all its parts, or none of them.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gauge} on {self.done_on}"

    @property
    def budget(self) -> UncertaintyBudget | None:
        """The budget that the uncertainty was worked out from; None where it was typed."""
        if (
            self.certificate_uncertainty is None
            or self.resolution_then is None
            or self.temperature_effect is None
            or self.repeatability is None
        ):
            return None
        return UncertaintyBudget(
            certificate_mm=self.certificate_uncertainty,
            resolution_mm=self.resolution_then,
            temperature_mm=self.temperature_effect,
            repeatability_mm=self.repeatability,
        )

    @property
    def found_right(self) -> bool:
        """Whether it came to the calibration within its permitted error; right if none is known."""
        return self._is_permitted(self.error_as_found)

    @property
    def left_right(self) -> bool:
        """Whether it went back into use within its permitted error; right if none is known."""
        return self._is_permitted(self.error_as_left)

    def _is_permitted(self, error: Decimal) -> bool:
        permitted = self.gauge.permitted_error
        return permitted is None or abs(error) <= permitted

    @property
    def uncertainty(self) -> MeasurementUncertainty:
        """For judging a crimp measured with this gauge."""
        return MeasurementUncertainty(
            expanded_mm=self.expanded_uncertainty, resolution_mm=self.gauge.resolution
        )


class CheckPiece(Tool):
    """A piece of known size on which gauges are tried between their calibrations."""

    KIND_LETTER = "N"

    nominal = LengthField("size", help_text="As its certificate says, not as it is marked.")
    uncertainty = LengthField("uncertainty of its size (k = 2)", help_text="As its certificate says.")

    class Meta:
        ordering = ["number"]
        constraints = [
            models.CheckConstraint(
                name="check_piece_has_size_and_uncertainty",
                condition=Q(nominal__gt=0, uncertainty__gt=0),
                violation_error_message="A check piece has a size and an uncertainty, both above zero.",
            ),
        ]


class GaugeCheck(Record):
    """What a gauge read on a check piece, and whether that is within its permitted error.

    Size, uncertainty and permitted error are as they stood that day.
    """

    KIND = "gauge_check"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("gauge", "piece", "reading", "nominal", "piece_uncertainty", "permitted_error", "passed"),
    }

    gauge = models.ForeignKey(Gauge, models.PROTECT, related_name="checks")
    piece = models.ForeignKey(CheckPiece, models.PROTECT, related_name="checks")
    reading = LengthField()
    nominal = LengthField()
    piece_uncertainty = LengthField()
    permitted_error = LengthField()
    passed = models.BooleanField()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.gauge} on {self.piece}: {'passed' if self.passed else 'failed'}"

    @property
    def deviation(self) -> Decimal:
        """Reading less size, in mm; with its sign."""
        deviation: Decimal = self.reading - self.nominal
        return deviation
