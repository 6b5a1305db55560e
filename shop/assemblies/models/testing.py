"""A proof test of a finished assembly. Written once."""

from decimal import Decimal
from typing import ClassVar

from django.db import models

from shop.assemblies.models.assembly import Assembly
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.models import Record
from shop.policy.models import Policy
from shop.standards.models import PRESSURE_UNITS
from shop.tooling.models import PressureCalibration, PressureGauge


class ProofFluid(models.TextChoices):
    """What an assembly is filled with for its test. Gas is in the list so that it can be refused by name."""

    WATER = "water", "water"
    OIL = "oil", "hydraulic fluid"
    GAS = "gas", "air, nitrogen or another gas"


class ProofOutcome(models.TextChoices):
    """What a proof test came to."""

    PASSED = "passed", "passed"
    OVER = "over", "held: above the highest pressure allowed"
    FAILED = "failed", "failed"


class ProofTest(Record):
    """An assembly was under proof pressure. Required and highest in `unit`, the peak in its gauge's."""

    KIND = "proof_test"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "assembly",
            "number",
            "policy",
            "gauge",
            "calibration",
            "required",
            "highest",
            "unit",
            "hold_s",
            "fluid",
            "adaptors",
            "adaptors_unit",
            "ready",
            "raised_in_s",
            "peak",
            "peak_unit",
            "held_s",
            "found",
            "seen",
            "outcome",
            "curve_sha256",
            "curve_size",
        )
    }
    FIELDS[2] = (*FIELDS[1], "corrects")

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="proof_tests")
    number = models.PositiveSmallIntegerField()
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    policy = models.ForeignKey(Policy, models.PROTECT, related_name="+")
    gauge = models.ForeignKey(PressureGauge, models.PROTECT, related_name="proof_tests")
    calibration = models.ForeignKey(PressureCalibration, models.PROTECT, related_name="proof_tests")
    required = models.CharField(max_length=12)
    highest = models.CharField(max_length=20)
    unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    hold_s = models.PositiveSmallIntegerField("to be held for, seconds")
    fluid = models.CharField(max_length=5, choices=ProofFluid)
    adaptors = models.CharField("rating of the weakest adaptor", max_length=20)
    adaptors_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    ready = models.JSONField(help_text="What was ticked before the pump started.")
    raised_in_s = models.PositiveSmallIntegerField("raised within, seconds")
    peak = models.CharField(max_length=20)
    peak_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    held_s = models.PositiveSmallIntegerField("held for, seconds")
    # What the person typed may have to be erased one day: it stands beside the entry, as "words".
    found = models.JSONField(blank=True, help_text="What kept it from passing.")
    seen = models.JSONField(blank=True, help_text="What was ticked as right afterwards.")
    outcome = models.CharField(max_length=6, choices=ProofOutcome)
    curve_sha256 = models.CharField(
        max_length=64, blank=True, help_text="Of the test bench's curve; empty without one."
    )
    curve_size = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["assembly", "number"],
                name="one_proof_test_per_number",
                violation_error_message="This test was recorded already. Look at the assembly again.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.assembly} proof tested: {self.get_outcome_display()}"

    @property
    def required_pressure(self) -> Pressure:
        """What it had to stand."""
        return Pressure(Decimal(self.required), PressureUnit(self.unit))

    @property
    def highest_pressure(self) -> Pressure:
        """What the test was allowed to reach."""
        return Pressure(Decimal(self.highest), PressureUnit(self.unit))

    @property
    def peak_pressure(self) -> Pressure:
        """The highest that was reached."""
        return Pressure(Decimal(self.peak), PressureUnit(self.peak_unit))

    @property
    def adaptors_rating(self) -> Pressure:
        """What the weakest adaptor between pump and assembly is rated at."""
        return Pressure(Decimal(self.adaptors), PressureUnit(self.adaptors_unit))
