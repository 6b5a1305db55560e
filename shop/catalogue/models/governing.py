"""What the workshop itself has found or decided about a part, against what its documents print."""

from typing import ClassVar

from django.db import models

from shop.catalogue.models.parts import FittingSeries, Hose
from shop.core.fields import LengthField
from shop.ledger.models import Record
from shop.standards.models import PRESSURE_UNITS, HoseRating


class Governs(models.TextChoices):
    """Which rating of a hose counts where its maker prints more than the standard that it is built to."""

    LOWER = "lower", "the lower of the two"
    MAKER = "maker", "the maker's own"


class RatingChoice(Record):
    """An owner says which rating of a hose counts, and why; it holds while both figures stay as they were.

    The reason is beside the entry.
    """

    KIND = "rating_choice"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("hose", "standard", "governs", "maker_value", "maker_unit", "published_value", "published_unit"),
    }

    hose = models.ForeignKey(Hose, models.PROTECT, related_name="rating_choices")
    standard = models.ForeignKey(HoseRating, models.PROTECT, related_name="+")
    governs = models.CharField(max_length=5, choices=Governs)
    maker_value = models.CharField(max_length=12)
    maker_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    published_value = models.CharField(max_length=12)
    published_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.hose}: {self.get_governs_display()} governs"


class CutCorrectionQuerySet(models.QuerySet["CutCorrection"]):
    """Questions about corrections of the cut."""

    def in_force(self, hose: Hose, series_id: int) -> "CutCorrection | None":
        """The newest one for that hose with that series at both ends, unless it ended."""
        newest = self.filter(hose=hose, series=series_id).order_by("-entry").first()
        return newest if newest is not None and newest.applies else None


class CutCorrection(Record):
    """How much longer a hose comes out with a fitting series at both ends, measured on finished assemblies.

    `mean` is measured less wanted overall length, `low` to `high` holds the true mean with 95 %. The
    newest one counts; one that no longer `applies` ends it.
    """

    KIND = "cut_correction"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("hose", "series", "pieces", "mean", "spread", "low", "high", "applies"),
    }

    hose = models.ForeignKey(Hose, models.PROTECT, related_name="cut_corrections")
    series = models.ForeignKey(FittingSeries, models.PROTECT, related_name="cut_corrections")
    pieces = models.PositiveIntegerField()
    mean = LengthField()
    spread = LengthField()
    low = LengthField()
    high = LengthField()
    applies = models.BooleanField()

    objects = CutCorrectionQuerySet.as_manager()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.hose} with {self.series}: {self.mean:+f} mm"
