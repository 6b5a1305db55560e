"""The numbered things in the tool cabinet: crimpers, die sets, stop parts, gauges."""

import datetime
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from shop.catalogue.models import CrimpValues, DieType, StopKind, StopType
from shop.core.fields import LengthField
from shop.core.labels import Labelled
from shop.engineering.crimp import MeasurementUncertainty
from shop.ledger.models import Record


class Tool(Labelled):
    """What is common to everything in the cabinet."""

    number = models.CharField(
        max_length=30, unique=True, error_messages={"unique": "Another item has this number."}
    )
    mark = models.CharField(
        max_length=80, blank=True, help_text="What tells it apart at the bench: stamped, notched, painted …"
    )
    place = models.CharField(max_length=60, blank=True, help_text="Where it is kept.")
    blocked_because = models.CharField(
        "not to be used because", max_length=120, blank=True, help_text="Empty: it may be used."
    )

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.number} ({self.mark})" if self.mark else self.number

    @property
    def is_usable(self) -> bool:
        """Whether nobody has blocked it."""
        return not self.blocked_because


class Crimper(Tool):
    """A machine with one kind of stop."""

    KIND_LETTER = "C"

    stop_kind = models.CharField("kind of stop", max_length=8, choices=StopKind)

    class Meta:
        ordering = ["number"]


class DieSet(Tool):
    """A set of dies."""

    KIND_LETTER = "D"

    die_type = models.ForeignKey(DieType, models.PROTECT, related_name="sets")
    condition = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["number"]


class StopPart(Tool):
    """A stop part, for crimpers that have them."""

    KIND_LETTER = "S"

    stop_type = models.ForeignKey(StopType, models.PROTECT, related_name="parts")
    thickness = LengthField("measured thickness", null=True, blank=True)

    class Meta:
        ordering = ["number"]


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
        ]

    def __str__(self) -> str:
        return f"{self.gauge} on {self.done_on}"

    @property
    def uncertainty(self) -> MeasurementUncertainty:
        """For judging a crimp measured with this gauge."""
        return MeasurementUncertainty(
            expanded_mm=self.expanded_uncertainty, resolution_mm=self.gauge.resolution
        )


class Arrangement(models.Model):
    """The parts that must be in a crimper together for one die type and stop, as the workshop typed them."""

    crimper = models.ForeignKey(Crimper, models.PROTECT, related_name="arrangements")
    die_type = models.ForeignKey(DieType, models.PROTECT, related_name="arrangements")
    stop_type = models.ForeignKey(
        StopType,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="arrangements",
        help_text="Empty for a dial or a numeric crimper.",
    )
    take_out = models.CharField(
        "what must be taken out", max_length=200, blank=True, help_text="Separated by semicolons."
    )

    class Meta:
        ordering = ["crimper", "die_type"]
        constraints = [
            models.UniqueConstraint(
                fields=["crimper", "die_type", "stop_type"],
                name="one_arrangement_per_crimper_die_and_stop",
                violation_error_message="This crimper has an arrangement for this die and stop already.",
            ),
            # For a database two empty stops are not the same one.
            models.UniqueConstraint(
                fields=["crimper", "die_type"],
                condition=Q(stop_type=None),
                name="one_arrangement_per_crimper_and_die_without_stop",
                violation_error_message="This crimper has an arrangement for this die already.",
            ),
        ]

    def __str__(self) -> str:
        stop = f" with {self.stop_type}" if self.stop_type else ""
        return f"{self.crimper}: {self.die_type}{stop}"

    @property
    def taken_out(self) -> tuple[str, ...]:
        """What must be taken out, item by item."""
        return tuple(item.strip() for item in self.take_out.split(";") if item.strip())

    def serves(self, specification: CrimpValues) -> bool:
        """Whether it is the arrangement for that line of a chart."""
        return (
            self.die_type_id == specification.die_type_id
            and self.stop_type_id == specification.stop_type_id
            and self.crimper.stop_kind == specification.stop_kind
        )


class ArrangementPart(models.Model):
    """One part of an arrangement, in order from the ram to the hose."""

    arrangement = models.ForeignKey(Arrangement, models.CASCADE, related_name="parts")
    position = models.PositiveSmallIntegerField()
    role = models.CharField(max_length=60, help_text="What it does there: pusher, stop, die …")
    mark = models.CharField(max_length=80, blank=True)
    attitude = models.CharField("which way it faces", max_length=80, blank=True)
    thickness = LengthField(null=True, blank=True)

    class Meta:
        ordering = ["arrangement", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["arrangement", "position"],
                name="one_part_per_position",
                violation_error_message="Two parts have the same position.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position}. {self.role}"
