"""What a chart calls the tooling. The numbered item in the drawer is in `shop.tooling`."""

from django.db import models
from django.db.models import Q

from shop.core.fields import LengthField
from shop.engineering.stop_geometry import STEEPEST_DEG, Tapers


class DieTapers(models.TextChoices):
    """What closes the dies: the cones that they slide in."""

    ONE = Tapers.ONE.value, "one cone, narrowing away from the ram"
    TWO = Tapers.TWO.value, "a cone at each end, which share the travel"
    NONE = "none", "no cone: the dies are pushed straight in"


class DieType(models.Model):
    """A die as charts name it."""

    designation = models.CharField(
        max_length=40, unique=True, error_messages={"unique": "This die type is in the list already."}
    )
    dies_in_set = models.PositiveSmallIntegerField("dies in a set", default=8)
    closed_diameter = LengthField("diameter when closed", null=True, blank=True)
    length = LengthField(
        "length of a die", null=True, blank=True, help_text="Along the hose's axis. Empty: not known."
    )
    tapers = models.CharField(
        "what they slide in", max_length=4, choices=DieTapers, blank=True, help_text="Empty: not known."
    )
    taper_deg = models.DecimalField(
        "taper to the axis, degrees",
        max_digits=4,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="Half of the whole cone's angle. Empty: not known.",
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["designation"]
        constraints = [
            models.CheckConstraint(
                name="die_taper_is_that_of_a_cone",
                condition=Q(taper_deg=None)
                | Q(tapers__in=["one", "two"], taper_deg__gt=0, taper_deg__lte=STEEPEST_DEG),
                violation_error_message=(
                    f"Only dies that slide in a cone have a taper: above 0°, at most {STEEPEST_DEG}°. "
                    "Type half of the whole cone's angle."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.designation


class StopType(models.Model):
    """A stop part as charts name it."""

    designation = models.CharField(
        max_length=40, unique=True, error_messages={"unique": "This stop type is in the list already."}
    )
    thickness = LengthField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["designation"]

    def __str__(self) -> str:
        return self.designation
