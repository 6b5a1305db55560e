"""What ends the work at the bench: inspection, tag, release, and leaving. Written once."""

from typing import ClassVar

from django.db import models

from shop.assemblies.models.assembly import Assembly
from shop.core.fields import LengthField
from shop.ledger.models import Record
from shop.policy.models import Policy
from shop.standards.models import PRESSURE_UNITS
from shop.tooling.models import Gauge


class Inspection(Record):
    """A person has looked at the finished assembly and measured it."""

    KIND = "inspection"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "assembly",
            "number",
            "passed",
            "finished_length",
            "length_lower",
            "length_upper",
            "angle_deg",
            "gauge",
            "seen",
            "faults",
            "independently_checked",
        )
    }
    FIELDS[2] = (*FIELDS[1], "pin", "pin_least")
    FIELDS[3] = (*FIELDS[2], "corrects")

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="inspections")
    number = models.PositiveSmallIntegerField()
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    passed = models.BooleanField()
    finished_length = LengthField()
    length_lower = LengthField()
    length_upper = LengthField()
    angle_deg = models.PositiveSmallIntegerField(null=True, blank=True)
    gauge = models.ForeignKey(Gauge, models.PROTECT, related_name="inspections")
    pin = LengthField("pin put through the bore", null=True, blank=True)
    pin_least = LengthField("the thinnest that shows it open", null=True, blank=True)
    seen = models.JSONField(blank=True, help_text="What was ticked as seen and right.")
    # What the person typed may have to be erased one day: it stands beside the entry, as "faults".
    faults = models.JSONField(blank=True, help_text="What kept it from passing.")
    independently_checked = models.BooleanField()

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["assembly", "number"],
                name="one_inspection_per_number",
                violation_error_message="This inspection was recorded already. Look at the assembly again.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.assembly} inspected: {'right' if self.passed else 'not right'}"

    @property
    def found_wrong(self) -> tuple[str, ...]:
        """Everything that kept it from passing, the person's own words last."""
        return (*self.faults, *(self.private("faults") or "").splitlines())


class Tag(Record):
    """What one print of the tag said. The first is the tag; a later one is a reprint."""

    KIND = "tag"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "assembly",
            "number",
            "address",
            "is_demo",
            "rating_value",
            "rating_unit",
            "rating_words",
            "temperature_words",
            "made",
            "mark",
        )
    }

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="tags")
    number = models.PositiveSmallIntegerField()
    address = models.CharField(max_length=80, help_text="What the QR code says.")
    is_demo = models.BooleanField()
    rating_value = models.CharField(max_length=12)
    rating_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    rating_words = models.CharField(max_length=60)
    temperature_words = models.CharField(max_length=40)
    made = models.CharField(max_length=7, help_text="Year and month.")
    mark = models.CharField("permanent mark", max_length=160)

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["assembly", "number"],
                name="one_tag_per_number",
                violation_error_message="This tag has been made already. Look at the assembly again.",
            ),
        ]

    def __str__(self) -> str:
        return f"tag {self.number} of {self.assembly}"


class Release(Record):
    """The tag was scanned on the hose: this hose and this record belong together."""

    KIND = "release"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("assembly", "tag", "independently_checked")}
    FIELDS[2] = (*FIELDS[1], "policy", "seen")

    assembly = models.OneToOneField(Assembly, models.PROTECT, related_name="release")
    tag = models.ForeignKey(Tag, models.PROTECT, related_name="releases")
    independently_checked = models.BooleanField()
    # NULL on releases from before anything was ticked at them.
    policy = models.ForeignKey(Policy, models.PROTECT, null=True, related_name="+")
    seen = models.JSONField(null=True, blank=True, help_text="What was ticked as seen on it.")

    def __str__(self) -> str:
        return f"{self.assembly} released"


class Shipment(Record):
    """It left the workshop for its customer."""

    KIND = "shipment"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("assembly",)}

    assembly = models.OneToOneField(Assembly, models.PROTECT, related_name="shipment")

    def __str__(self) -> str:
        return f"{self.assembly} shipped"


class Retirement(Record):
    """It was taken out of service; the reason is beside the entry."""

    KIND = "retirement"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("assembly",)}

    assembly = models.OneToOneField(Assembly, models.PROTECT, related_name="retirement")

    def __str__(self) -> str:
        return f"{self.assembly} retired"
