"""What came in together (lots) and lengths of hose (pieces)."""

from typing import ClassVar

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from shop.catalogue.models import Ferrule, Fitting, Hose
from shop.core.fields import LengthField
from shop.core.labels import Labelled
from shop.engineering.dates import Made, parse_made
from shop.engineering.errors import EngineeringError
from shop.ledger.models import Record


class Lot(Labelled, Record):
    """Hose, fittings or ferrules that came in together, with the maker's batch and date.

    Fittings and ferrules of a lot lie in a bin; the bin's label is the lot's.
    """

    KIND_LETTER = "K"
    KIND = "lot"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("code", "hose", "fitting", "ferrule", "batch", "made_printed", "supplier", "quantity")
    }

    hose = models.ForeignKey(Hose, models.PROTECT, null=True, blank=True, related_name="lots")
    fitting = models.ForeignKey(Fitting, models.PROTECT, null=True, blank=True, related_name="lots")
    ferrule = models.ForeignKey(Ferrule, models.PROTECT, null=True, blank=True, related_name="lots")
    batch = models.CharField("maker's batch", max_length=60, blank=True)
    made_printed = models.CharField(
        "made (as printed)", max_length=12, blank=True, help_text="Quarter and year, or month: 2Q26, 06/26."
    )
    supplier = models.CharField(max_length=80, blank=True)
    quantity = models.PositiveIntegerField(
        null=True, blank=True, help_text="Pieces, for fittings and ferrules."
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="lot_is_of_one_thing",
                condition=(
                    Q(hose__isnull=False, fitting=None, ferrule=None)
                    | Q(hose=None, fitting__isnull=False, ferrule=None)
                    | Q(hose=None, fitting=None, ferrule__isnull=False)
                ),
                violation_error_message="A lot is of one hose, one fitting or one ferrule.",
            ),
        ]

    def __str__(self) -> str:
        return f"lot {self.printed_code}"

    def clean(self) -> None:
        super().clean()
        if self.made_printed:
            try:
                parse_made(self.made_printed)
            except EngineeringError as error:
                raise ValidationError({"made_printed": str(error)}) from error

    @property
    def item(self) -> Hose | Fitting | Ferrule:
        """What the lot is of."""
        item = self.hose or self.fitting or self.ferrule
        assert item is not None, "lot_is_of_one_thing"
        return item

    @property
    def made(self) -> Made | None:
        """When it was made, if it is dated."""
        return parse_made(self.made_printed) if self.made_printed else None


class LotCondemnation(Record):
    """A lot from which nothing is taken any more. Why stands beside the entry, as "reason".

    It is for good: what turns out to be right after all is received as a lot of its own.
    """

    KIND = "lot_condemnation"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("lot",)}

    lot = models.OneToOneField(
        Lot,
        models.PROTECT,
        related_name="condemnation",
        error_messages={"unique": "This lot is condemned already."},
    )

    def __str__(self) -> str:
        return f"{self.lot} condemned"


class Piece(Labelled):
    """A length of hose from one lot: a reel, or a remnant. What is left follows from its movements."""

    KIND_LETTER = "P"

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="pieces")
    length_left = LengthField()
    movements_made = models.PositiveIntegerField(default=0)
    place = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="piece_never_below_zero",
                condition=Q(length_left__gte=0),
                violation_error_message="There is not that much left on this piece.",
            ),
        ]

    def __str__(self) -> str:
        return f"piece {self.printed_code}"

    @property
    def hose(self) -> Hose:
        """The hose that it is a length of."""
        assert self.lot.hose is not None, "pieces are received from lots of hose only"
        return self.lot.hose


class MovementKind(models.TextChoices):
    """Why the length of a piece changed."""

    RECEIVED = "received", "received"
    CUT = "cut", "cut off for an assembly"
    COUNTED = "counted", "measured: more or less than the book"
    SCRAPPED = "scrapped", "scrapped"


class PieceMovement(Record):
    """One change of a piece's length, with what was left after it."""

    KIND = "piece_movement"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("piece", "number", "kind", "change", "balance")}

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="movements")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=10, choices=MovementKind)
    change = LengthField()
    balance = LengthField("left")

    class Meta:
        ordering = ["piece", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["piece", "number"],
                name="one_movement_per_number",
                violation_error_message="Somebody else has just changed this piece. Look again.",
            ),
            models.CheckConstraint(
                name="movement_leaves_nothing_below_zero",
                condition=Q(balance__gte=0),
                violation_error_message="There is not that much left on this piece.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.piece} {self.get_kind_display()} {self.change} mm"
