"""Published ratings and connections, each with where it comes from and who confirmed it."""

import re
from decimal import Decimal
from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from shop.core.fields import LengthField, PressureField
from shop.engineering.duty import ATMOSPHERE_PA
from shop.engineering.editions import OfEdition, RatingRow, upper_temperature_c
from shop.engineering.pressures import Pressure, PressureUnit, exceeds
from shop.ledger.models import Record

PRINTED_FIGURE = re.compile(r"[1-9]\d{0,6}(\.\d{1,3})?|0\.(?!0+$)\d{1,3}")  # above zero: nought rates nothing
PRESSURE_UNITS = [(unit.value, unit.value) for unit in PressureUnit]


def rating_has_its_unit(name: str) -> models.CheckConstraint:
    """The constraint, under the model's own name for it, that a rating is a figure and a unit or neither."""
    return models.CheckConstraint(
        name=name,
        condition=Q(printed_value="", printed_unit="") | (~Q(printed_value="") & ~Q(printed_unit="")),
        violation_error_message="A rating has a figure and its unit, or neither.",
    )


class Basis(models.TextChoices):
    """How a value came into the table."""

    READ = "read", "read in the document"
    MEMORY = "memory", "from memory: unconfirmed until somebody confirms it"
    MAKER = "maker", "the maker's document"


class Rated(models.Model):
    """A part with a highest working pressure, kept as its document prints it.

    The printed figure and unit are what counts: 41.5 MPa and 6000 psi are the same class and do
    not convert exactly. `pressure` is for sorting only. No figure means no rating, never 'unlimited'.
    """

    IDENTITY: ClassVar[tuple[str, ...]]  # what makes it this part: fixed once its rating is confirmed

    printed_value = models.CharField(
        "rating", max_length=12, blank=True, help_text="As the document prints it. Empty: no rating known."
    )
    printed_unit = models.CharField("unit", max_length=3, choices=PRESSURE_UNITS, blank=True)
    pressure = PressureField(null=True, editable=False)
    source = models.CharField(
        "document",
        max_length=200,
        blank=True,
        help_text="Where the rating is printed: document, edition, page.",
    )

    class Meta:
        abstract = True

    def save(self, **kwargs: Any) -> None:
        rating = self.rating
        self.pressure = None if rating is None else rating.bar_to_keep
        super().save(**kwargs)

    def clean(self) -> None:
        super().clean()
        if bool(self.printed_value) != bool(self.printed_unit):
            raise ValidationError({"printed_unit": "A rating has a figure and its unit, or neither."})
        if self.printed_value and not PRINTED_FIGURE.fullmatch(self.printed_value):
            raise ValidationError(
                {"printed_value": f"{self.printed_value} is no figure. Write it like 275 or 41.5."}
            )

    @property
    def rating(self) -> Pressure | None:
        """The rating in its printed unit; None if there is none."""
        if not self.printed_value:
            return None
        return Pressure(Decimal(self.printed_value), PressureUnit(self.printed_unit))

    @property
    def confirmation(self) -> "Confirmation | None":
        """The newest confirmation of the rating as it stands now."""
        confirmations: list[Confirmation] = list(self.confirmations.all())  # type: ignore[attr-defined]
        matching = [
            c
            for c in confirmations
            if c.printed_value == self.printed_value and c.printed_unit == self.printed_unit
        ]
        return max(matching, key=lambda c: c.pk, default=None)

    @property
    def is_confirmed(self) -> bool:
        """Whether a named person has found this very figure in the document."""
        return bool(self.printed_value) and self.confirmation is not None


class Confirmation(Record):
    """A named person has read the rating in its document and typed the figure that stands there."""

    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("part", "document", "printed_value", "printed_unit"),
    }

    document = models.CharField(
        max_length=200, help_text="Document, edition and date that you have before you."
    )
    printed_value = models.CharField(max_length=12)
    printed_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)

    class Meta:
        abstract = True


class HoseFigures(Rated):
    """What a document prints of a hose beside its rating. Empty: it prints none.

    Proof and burst are in the rating's unit. A vacuum is counted down from atmosphere; hose without one
    is not for suction.
    """

    proof_printed = models.CharField(
        "proof pressure",
        max_length=12,
        blank=True,
        help_text="In the rating's unit, if its document prints one.",
    )
    burst_printed = models.CharField(
        "least burst pressure",
        max_length=12,
        blank=True,
        help_text="In the rating's unit, if its document prints one.",
    )
    vacuum_printed = models.CharField(
        "vacuum it stands",
        max_length=12,
        blank=True,
        help_text="How far below atmosphere, for suction hose. Empty: not for suction.",
    )
    vacuum_unit = models.CharField("its unit", max_length=3, choices=PRESSURE_UNITS, blank=True)

    class Meta:
        abstract = True

    def clean(self) -> None:
        super().clean()
        figures = {
            name: getattr(self, name)
            for name in ("proof_printed", "burst_printed", "vacuum_printed")
            if getattr(self, name)
        }
        wrong = {
            name: f"{figure} is no figure. Write it like 275 or 41.5."
            for name, figure in figures.items()
            if not PRINTED_FIGURE.fullmatch(figure)
        }
        if bool(self.vacuum_printed) != bool(self.vacuum_unit):
            wrong["vacuum_unit"] = "A vacuum has a figure and its unit, or neither."
        wrong = wrong or self._out_of_order()
        if wrong:
            raise ValidationError(wrong)

    def _out_of_order(self) -> dict[str, str]:
        """What can't stand beside each other: rating, proof and burst rise, no vacuum is below nothing."""
        wrong = {}
        rating, proof, burst = self.rating, self.proof, self.burst
        if rating is None:
            for name in ("proof_printed", "burst_printed"):
                if getattr(self, name):
                    wrong[name] = "It is in the rating's unit: type the rating first, or leave this empty."
        if rating and proof and not exceeds(proof, rating):
            wrong["proof_printed"] = f"A proof pressure of {proof} is not above the rating of {rating}."
        below = proof or rating
        if burst and below and not exceeds(burst, below):
            what = "proof pressure" if proof else "rating"
            wrong["burst_printed"] = f"A burst pressure of {burst} is not above the {what} of {below}."
        if self.vacuum and self.vacuum.exact_pascals > ATMOSPHERE_PA:
            wrong["vacuum_printed"] = (
                f"{self.vacuum} is deeper than atmosphere, 1.01325 bar. Type how far below that it may go."
            )
        return wrong

    @property
    def proof(self) -> Pressure | None:
        """The proof pressure that its document prints."""
        return self._beside_the_rating(self.proof_printed)

    @property
    def burst(self) -> Pressure | None:
        """The least burst pressure that its document prints."""
        return self._beside_the_rating(self.burst_printed)

    def _beside_the_rating(self, printed: str) -> Pressure | None:
        rating = self.rating
        return Pressure(Decimal(printed), rating.unit) if printed and rating else None

    @property
    def vacuum(self) -> Pressure | None:
        """The vacuum that it stands, as depth below atmosphere in its printed unit; None: not for suction."""
        if not self.vacuum_printed:
            return None
        return Pressure(Decimal(self.vacuum_printed), PressureUnit(self.vacuum_unit))


class HoseRating(OfEdition, HoseFigures):
    """What a standard prints for one type and size of hose, and by its edition for which years."""

    IDENTITY = ("standard", "edition", "dash")

    standard = models.CharField("type", max_length=80)
    edition = models.CharField(max_length=80, blank=True)
    dash = models.PositiveSmallIntegerField("size", help_text="As the standard counts it.")
    dn = models.CharField("DN", max_length=8, blank=True)
    bend_radius = LengthField("least bend radius", null=True, blank=True)
    temperature_min_c = models.SmallIntegerField("from °C", null=True, blank=True)
    temperature_max_c = models.SmallIntegerField("to °C", null=True, blank=True)
    basis = models.CharField(max_length=8, choices=Basis)

    class Meta:
        ordering = ["standard", "edition", "dash"]
        constraints = [
            models.UniqueConstraint(
                fields=["standard", "edition", "dash"],
                name="one_rating_per_type_edition_and_size",
                violation_error_message="This type, edition and size is in the table already.",
            ),
            rating_has_its_unit("hose_rating_has_its_unit"),
        ]

    def __str__(self) -> str:
        edition = f" {self.edition}" if self.edition else ""
        return f"{self.standard}{edition} -{self.dash}"

    def upper_temperature_c(self, year_made: int | None) -> int | None:
        """Its upper temperature for hose made in a year, None if that is not known; None: none printed."""
        if self.temperature_max_c is None:
            return None
        return upper_temperature_c(self.standard, self.temperature_max_c, year_made)

    def as_row(self) -> RatingRow | None:
        """The row for comparing editions; None if its rating or its temperatures are not known."""
        if self.rating is None or self.temperature_min_c is None or self.temperature_max_c is None:
            return None
        return RatingRow(
            standard=self.standard,
            edition=self.edition,
            dash=self.dash,
            rating=self.rating,
            bend_radius_mm=self.bend_radius,
            temperature_min_c=self.temperature_min_c,
            temperature_max_c=self.temperature_max_c,
            source=self.source,
            basis=self.basis,
        )


class Connection(Rated):
    """A standard end form and thread in one size."""

    IDENTITY = ("system", "size", "thread")

    system = models.CharField(
        max_length=80, help_text="End form and standard, such as 37° flare (ISO 8434-2)."
    )
    size = models.CharField(max_length=12)
    thread = models.CharField(max_length=60, blank=True)
    flange_head = LengthField("flange head", null=True, blank=True)
    basis = models.CharField(max_length=8, choices=Basis)
    note = models.CharField(max_length=250, blank=True)

    class Meta:
        ordering = ["system", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["system", "size"],
                name="one_connection_per_system_and_size",
                violation_error_message="This connection is in the list already.",
            ),
            rating_has_its_unit("connection_rating_has_its_unit"),
        ]

    def __str__(self) -> str:
        return f"{self.system} {self.size}"


class HoseRatingConfirmation(Confirmation):
    KIND = "hose_rating_confirmation"
    part = models.ForeignKey(HoseRating, models.PROTECT, related_name="confirmations")


class ConnectionConfirmation(Confirmation):
    KIND = "connection_confirmation"
    part = models.ForeignKey(Connection, models.PROTECT, related_name="confirmations")


class FigureConfirmation(Record):
    """A named person has found the figures of one row of a printed table in its document.

    For the tables that come as files and are not kept in the database: sizes, tolerances and their like.
    It holds as long as the row in the file says the same.
    """

    KIND = "figure_confirmation"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("table", "row", "figures", "document")}

    table = models.CharField(max_length=40, help_text="The table by the name of its file.")
    row = models.CharField(max_length=200, help_text="Which row, by the columns that tell it apart.")
    figures = models.CharField(max_length=200, help_text="The figures of the row, as printed.")
    document = models.CharField(
        max_length=200, help_text="Document, edition and date that you have before you."
    )

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.table}: {self.row}"
