"""What is ordered beside hose and ends: sleeve, guard, caps, the customer's marking, cleanliness."""

from functools import cache
from typing import Protocol

from django.db import models

from shop.engineering.cleanliness import CleanlinessCode, ScaleRow, parse_code, read_scale
from shop.standards.loading import standards_folder

EXTRAS = ("sleeve", "guard", "caps", "marking", "cleanliness")


class OrderedExtras(models.Model):
    """The columns of an order line. Empty: not ordered."""

    sleeve = models.CharField(
        max_length=60, blank=True, help_text="Of what and over which length: textile, the whole hose."
    )
    guard = models.CharField(
        max_length=60,
        blank=True,
        help_text="Of what and where: steel spring, 300 mm at end A.",
    )
    caps = models.BooleanField(
        "cap both ends", default=False, help_text="The workshop's policy may have all of them capped."
    )
    marking = models.CharField(
        "customer's marking",
        max_length=60,
        blank=True,
        help_text="Words that the customer wants on it, beside the mark that each carries.",
    )
    cleanliness = models.CharField(
        "cleanliness inside",
        max_length=12,
        blank=True,
        help_text="A code of ISO 4406, like 18/16/13. Only a particle count proves it.",
    )

    class Meta:
        abstract = True


class HasExtras(Protocol):
    """An order line, or what it was confirmed as; None where that was not asked yet."""

    @property
    def sleeve(self) -> str | None: ...
    @property
    def guard(self) -> str | None: ...
    @property
    def caps(self) -> bool | None: ...
    @property
    def marking(self) -> str | None: ...
    @property
    def cleanliness(self) -> str | None: ...


def extras_of(ordered: HasExtras) -> tuple[tuple[str, str], ...]:
    """What was ordered beside hose and ends: the name of each and what it is."""
    asked = (
        ("Sleeve", ordered.sleeve),
        ("Guard", ordered.guard),
        ("Caps", "on both ends" if ordered.caps else ""),
        ("Customer's marking", ordered.marking),
        ("Cleanliness inside", ordered.cleanliness and f"{ordered.cleanliness} (ISO 4406)"),
    )
    return tuple((name, what) for name, what in asked if what)


def read_cleanliness(text: str) -> CleanlinessCode:
    """The code that was typed. Raises what `parse_code` raises."""
    return parse_code(text, _scale())


@cache
def _scale() -> tuple[ScaleRow, ...]:
    return read_scale(standards_folder() / "cleanliness_codes.csv")
