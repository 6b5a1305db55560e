"""Answers as people type them, handed over as the calculations take them."""

import re
from collections.abc import Callable
from decimal import Decimal
from functools import partial
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError

from shop.engineering.cleanliness import CleanlinessCode, parse_code
from shop.engineering.dates import Made, parse_made
from shop.engineering.errors import EngineeringError
from shop.engineering.lengths import LengthUnit, parse_length
from shop.engineering.numbers import trim
from shop.engineering.quantities import Kind, Quantity, Unit, parse_quantity
from shop.web.worksheets.tables import cleanliness_scale
from shop.web.workshop import workshop_or_default

T = TypeVar("T")
MOST_READINGS = 24
_NUMBER = re.compile(r"-?[0-9]{1,9}(?:[.,][0-9]{1,9})?")
_THOUSANDS_OR_DECIMALS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")


def understood(parse: Callable[[], T]) -> T:
    """What `parse` reads, its refusal said at the field."""
    try:
        return parse()
    except EngineeringError as error:
        raise ValidationError(str(error)) from error


class ShortField(forms.CharField):
    """A few characters that no browser should complete."""

    def __init__(self, *, unit: str = "", **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 30)
        super().__init__(**kwargs)
        self.widget.attrs |= {"autocomplete": "off", "size": 12}
        if unit:
            self.widget.attrs["data-unit"] = unit


class QuantityField(ShortField):
    """A temperature, flow or velocity as typed, unit included: cleans to `Quantity`."""

    def __init__(self, *, kind: Kind, default_unit: Unit, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kind, self.default_unit = kind, default_unit

    def clean(self, value: Any) -> Quantity | None:
        text = super().clean(value)
        return understood(lambda: parse_quantity(text, self.kind, self.default_unit)) if text else None


class NumberField(ShortField):
    """A number with a decimal point or comma, in the unit beside the field: cleans to `Decimal`."""

    def clean(self, value: Any) -> Decimal | None:
        text = super().clean(value).replace("−", "-")
        if not text:
            return None
        if _THOUSANDS_OR_DECIMALS.fullmatch(text):
            plain = re.sub("[.,]", "", text)
            raise ValidationError(
                f"“{text}” can be read as thousands or as decimals. Type it without a separator, like "
                f"{plain}, or with other decimals."
            )
        if not _NUMBER.fullmatch(text):
            raise ValidationError(
                f"“{text}” is not a number. Type digits, with a point or a comma for decimals."
            )
        return trim(Decimal(text.replace(",", ".")))


class ReadingsField(ShortField):
    """Readings one after the other with spaces between: cleans to Decimals in mm.

    A number without a unit is in the workshop's unit, as at the bench.
    """

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=400, **kwargs)
        self.widget.attrs |= {"inputmode": "decimal", "size": 40}

    def clean(self, value: Any) -> tuple[Decimal, ...]:
        readings = re.split(r"[\s;]+", super().clean(value).strip(" ;")) if value else []
        if len(readings) > MOST_READINGS:
            raise ValidationError(f"There are {len(readings)} readings. Type {MOST_READINGS} at most.")
        unit = LengthUnit(workshop_or_default().length_unit)
        return tuple(understood(partial(parse_length, text, unit)).mm for text in readings if text)


class MadeField(ShortField):
    """A quarter or month of manufacture as it is printed: cleans to `Made`."""

    def clean(self, value: Any) -> Made | None:
        text = super().clean(value)
        return understood(lambda: parse_made(text)) if text else None


class CleanlinessCodeField(ShortField):
    """A code like 18/16/13: cleans to `CleanlinessCode`."""

    def clean(self, value: Any) -> CleanlinessCode | None:
        text = super().clean(value)
        return understood(lambda: parse_code(text, cleanliness_scale())) if text else None
