"""Two lengths that belong together, many times: one pair to a line, or with semicolons between."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.engineering.lengths import LengthUnit, parse_length
from shop.web.worksheets.fields import understood
from shop.web.workshop import workshop_or_default

MOST_PAIRS = 60

Pair = tuple[Decimal, Decimal]


class PairsField(forms.CharField):
    """Pairs of lengths as typed: cleans to pairs in mm.

    A length without a unit is in the workshop's; one with a space in it (36 1/2 in) can't be told apart.
    """

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            max_length=1500,
            widget=forms.Textarea(attrs={"rows": 6, "cols": 24, "autocomplete": "off"}),
            **kwargs,
        )

    def clean(self, value: Any) -> tuple[Pair, ...]:
        lines = [line.strip() for line in re.split(r"[\n;]", super().clean(value)) if line.strip()]
        if len(lines) > MOST_PAIRS:
            raise ValidationError(f"There are {len(lines)} pairs. Type {MOST_PAIRS} at most.")
        return tuple(map(_pair, lines))


def _pair(line: str) -> Pair:
    lengths = line.split()
    if len(lengths) != 2:
        raise ValidationError(f"“{line}” is not two lengths with a space between. Type them like 930 932.5.")
    return _length(lengths[0]), _length(lengths[1])


def _length(text: str) -> Decimal:
    unit = LengthUnit(workshop_or_default().length_unit)
    return understood(lambda: parse_length(text, unit)).mm
