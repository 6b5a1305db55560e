"""Hoses and what goes on their ends."""

from decimal import Decimal
from typing import TYPE_CHECKING

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import F, Q

from shop.core.fields import LengthField
from shop.engineering.cut_length import Datum
from shop.standards.models import (
    Confirmation,
    Connection,
    HoseFigures,
    HoseRating,
    Rated,
    rating_has_its_unit,
)

if TYPE_CHECKING:
    from shop.catalogue.models.governing import RatingChoice


def temperatures_in_order(name: str, what: str) -> models.CheckConstraint:
    """The constraint, under the model's own name for it, that the highest is above the lowest if both are."""
    return models.CheckConstraint(
        name=name,
        condition=Q(temperature_max_c=None)
        | Q(temperature_min_c=None)
        | Q(temperature_max_c__gt=F("temperature_min_c")),
        violation_error_message=f"The highest temperature of {what} is above the lowest. Check both figures.",
    )


class Fluid(models.Model):
    """A fluid that a hose may or may not be approved for, with its own range whatever the hose."""

    name = models.CharField(
        max_length=60, unique=True, error_messages={"unique": "This fluid is in the list already."}
    )
    temperature_min_c = models.SmallIntegerField(
        "from °C",
        null=True,
        blank=True,
        help_text="Where hose may carry it. Water: 0 to 70, water-based: -40 to 70 (EN 857). "
        "Empty: as the hose.",
    )
    temperature_max_c = models.SmallIntegerField("to °C", null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [temperatures_in_order("fluid_temperatures_in_order", "a fluid")]

    def __str__(self) -> str:
        return self.name


class Seal(models.Model):
    """What an end seals with, such as an elastomer; which fluids it stands, and from what to what °C."""

    name = models.CharField(
        "material", max_length=60, unique=True, error_messages={"unique": "This seal is in the list already."}
    )
    fluids = models.ManyToManyField(Fluid, blank=True, related_name="seals", verbose_name="approved for")
    temperature_min_c = models.SmallIntegerField("from °C", null=True, blank=True)
    temperature_max_c = models.SmallIntegerField("to °C", null=True, blank=True)
    source = models.CharField(
        "document", max_length=200, blank=True, help_text="Where it is printed: document, edition, page."
    )

    class Meta:
        ordering = ["name"]
        constraints = [temperatures_in_order("seal_temperatures_in_order", "a seal")]

    def __str__(self) -> str:
        return self.name


class Hose(HoseFigures):
    """A maker's hose in one size. Another maker's hose to the same standard is another hose."""

    IDENTITY = ("maker", "designation", "dash")

    maker = models.CharField(max_length=80)
    designation = models.CharField(max_length=60)
    dash = models.PositiveSmallIntegerField("size", help_text="As its standard counts it.")
    bore = LengthField("true bore")
    outside_diameter = LengthField()
    standard = models.ForeignKey(
        HoseRating,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="hoses",
        verbose_name="built to",
        help_text="Type, edition and size; its published rating then counts as well, and the lower governs.",
    )
    bend_radius = LengthField("least bend radius", help_text="To the inside of the bend.")
    temperature_min_c = models.SmallIntegerField("from °C")
    temperature_max_c = models.SmallIntegerField("to °C")
    fluids = models.ManyToManyField(Fluid, blank=True, related_name="hoses", verbose_name="approved for")
    least_between_ferrules = LengthField(
        "least free hose between the ferrules", null=True, blank=True, help_text="Empty: the policy's figure."
    )

    class Meta:
        ordering = ["maker", "designation", "dash"]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "designation", "dash"],
                name="one_hose_per_maker_designation_and_size",
                violation_error_message="This hose is in the catalogue already.",
            ),
            models.CheckConstraint(
                name="hose_is_thicker_than_its_bore",
                condition=Q(outside_diameter__gt=F("bore"), bore__gt=Decimal(0)),
                violation_error_message="The outside diameter is larger than the bore. Check both figures.",
            ),
            models.CheckConstraint(
                name="hose_temperatures_in_order",
                condition=Q(temperature_max_c__gt=F("temperature_min_c")),
                violation_error_message="The highest temperature is above the lowest. Check both figures.",
            ),
            rating_has_its_unit("hose_has_its_unit"),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.designation} -{self.dash}"

    @property
    def rating_choice(self) -> "RatingChoice | None":
        """The newest choice of the rating that governs, made for both ratings as they stand now.

        None: nobody chose, and the lower governs.
        """
        standard = self.standard
        if standard is None:
            return None
        as_they_stand = (
            standard.pk, self.printed_value, self.printed_unit, standard.printed_value, standard.printed_unit
        )  # fmt: skip
        made_for_these = [
            c
            for c in self.rating_choices.all()
            if (c.standard_id, c.maker_value, c.maker_unit, c.published_value, c.published_unit)
            == as_they_stand
        ]
        return max(made_for_these, key=lambda c: c.pk, default=None)


class Attachment(models.TextChoices):
    """How the ends of a series hold on to the hose."""

    CRIMPED = "crimped", "crimped"
    SCREWED = "screwed", "screwed on, reusable"
    PUSHED = "pushed", "pushed on"
    SWAGED = "swaged", "swaged, drawn through a die"
    WELDED = "welded", "welded"


class FittingSeries(models.Model):
    """Fittings and ferrules designed to be crimped together, on the hoses that their charts name."""

    maker = models.CharField(max_length=80)
    name = models.CharField(max_length=60)
    attachment = models.CharField(
        "how its ends hold", max_length=8, choices=Attachment, default=Attachment.CRIMPED
    )

    class Meta:
        ordering = ["maker", "name"]
        verbose_name_plural = "fitting series"
        constraints = [
            models.CheckConstraint(
                name="only_crimped_ends_are_made",
                condition=Q(attachment=Attachment.CRIMPED),
                violation_error_message=(
                    "Only crimped ends are made with this program. Ends that are screwed or pushed on, "
                    "swaged or welded go by their maker's own instructions and records."
                ),
            ),
            models.UniqueConstraint(
                fields=["maker", "name"],
                name="one_series_per_maker_and_name",
                violation_error_message="This series is in the catalogue already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"


class Fitting(Rated):
    """An insert for one size of hose with one connection."""

    IDENTITY = ("series", "designation", "hose_dash", "connection", "material", "is_one_piece")

    series = models.ForeignKey(FittingSeries, models.PROTECT, related_name="fittings")
    designation = models.CharField(max_length=60)
    hose_dash = models.PositiveSmallIntegerField("for hose size")
    connection = models.ForeignKey(Connection, models.PROTECT, related_name="fittings")
    angle_deg = models.PositiveSmallIntegerField(
        "bend, degrees", default=0, validators=[MaxValueValidator(180)], help_text="0 is a straight fitting."
    )
    cut_off = LengthField("cut-off allowance", help_text="What this end adds to the cut hose, to its datum.")
    drop = LengthField(
        null=True, blank=True, help_text="From the hose's axis to the datum of a bent fitting."
    )
    insertion_depth = LengthField()
    datum = models.CharField(
        "length is measured to",
        max_length=12,
        choices=[(datum.value, datum.words) for datum in Datum],
    )
    material = models.CharField(max_length=40, default="steel")
    is_one_piece = models.BooleanField("its ferrule is part of it", default=False)
    rotates = models.BooleanField("it turns on the hose's axis after crimping", default=False)
    direction = models.CharField(
        "what shows which way a straight one faces",
        max_length=60,
        blank=True,
        help_text="Such as: the middle of the upper two bolt holes. Empty: it fits however it is turned.",
    )
    beyond_datum = LengthField(
        "metal beyond that point",
        null=True,
        blank=True,
        help_text="Along the hose's axis, for orders measured from tip to tip. Empty: not known.",
    )
    bore = LengthField(
        "bore through it",
        null=True,
        blank=True,
        help_text="Its narrowest, before crimping, for the gauge pin. Empty: not known.",
    )
    seal = models.ForeignKey(
        Seal,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="fittings",
        help_text="Empty: it seals metal to metal.",
    )

    class Meta:
        ordering = ["series", "designation"]
        constraints = [
            models.UniqueConstraint(
                fields=["series", "designation"],
                name="one_fitting_per_series_and_designation",
                violation_error_message="This fitting is in the catalogue already.",
            ),
            models.CheckConstraint(
                name="fitting_is_open",
                condition=Q(bore=None) | Q(bore__gt=Decimal(0)),
                violation_error_message="A bore is wider than nothing. Leave it empty if it is not known.",
            ),
            rating_has_its_unit("fitting_has_its_unit"),
        ]

    def __str__(self) -> str:
        return f"{self.series} {self.designation}"

    @property
    def form_words(self) -> str:
        """'straight', or '90° bend'."""
        return f"{self.angle_deg}° bend" if self.angle_deg else "straight"

    @property
    def faces(self) -> str:
        """What an angle is measured to at this end; empty if it fits however the hose is turned."""
        if self.rotates:
            return ""
        return "the bend's centreline" if self.angle_deg else self.direction


class Ferrule(models.Model):
    """A loose ferrule of a series. Which one goes on depends on the hose as much as on the insert."""

    series = models.ForeignKey(FittingSeries, models.PROTECT, related_name="ferrules")
    designation = models.CharField(max_length=60)
    length = LengthField()
    material = models.CharField(max_length=40, default="steel")

    class Meta:
        ordering = ["series", "designation"]
        constraints = [
            models.UniqueConstraint(
                fields=["series", "designation"],
                name="one_ferrule_per_series_and_designation",
                violation_error_message="This ferrule is in the catalogue already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.series} {self.designation}"


class HoseConfirmation(Confirmation):
    KIND = "hose_confirmation"
    part = models.ForeignKey(Hose, models.PROTECT, related_name="confirmations")


class FittingConfirmation(Confirmation):
    KIND = "fitting_confirmation"
    part = models.ForeignKey(Fitting, models.PROTECT, related_name="confirmations")
