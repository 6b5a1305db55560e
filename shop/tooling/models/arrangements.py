"""What must be in a crimper together."""

from django.db import models
from django.db.models import F, Q

from shop.catalogue.models import CrimpValues, DieType, StopType
from shop.core.fields import LengthField
from shop.tooling.models.tools import Crimper


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


class PartTool(models.TextChoices):
    """Which labelled tool of a set-up a part of an arrangement is."""

    DIE_SET = "die_set", "the die set"
    STOP = "stop", "the stop part"


class ArrangementPart(models.Model):
    """One part of an arrangement, in order from the ram to the hose."""

    arrangement = models.ForeignKey(Arrangement, models.CASCADE, related_name="parts")
    position = models.PositiveSmallIntegerField()
    role = models.CharField(max_length=60, help_text="What it does there: pusher, stop, die …")
    mark = models.CharField(max_length=80, blank=True)
    attitude = models.CharField("which way it faces", max_length=80, blank=True)
    thickness = LengthField(null=True, blank=True)
    outside_diameter = LengthField(null=True, blank=True)
    bore = LengthField("opening in the middle", null=True, blank=True)
    tool = models.CharField(
        "scanned as", max_length=8, choices=PartTool, blank=True, help_text="Empty: it has no label."
    )

    class Meta:
        ordering = ["arrangement", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["arrangement", "tool"],
                condition=~Q(tool=""),
                name="one_part_per_labelled_tool",
                violation_error_message="Two parts are scanned as the same tool. One of them has no label.",
            ),
            models.CheckConstraint(
                name="part_is_larger_than_its_opening",
                condition=Q(outside_diameter=None) | Q(bore=None) | Q(outside_diameter__gt=F("bore")),
                violation_error_message="A part is larger outside than its opening. Check both figures.",
            ),
            models.UniqueConstraint(
                fields=["arrangement", "position"],
                name="one_part_per_position",
                violation_error_message="Two parts have the same position.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position}. {self.role}"
