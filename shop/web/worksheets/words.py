"""Results in words: rounded once for reading, in the unit that the workshop thinks in."""

from decimal import Decimal
from fractions import Fraction

from shop.engineering.lengths import LengthUnit, round_length
from shop.engineering.numbers import plain, rounded_down
from shop.web.workshop import workshop_or_default

MM_PLACES, INCH_PLACES = 1, 3


def rounded_length(mm: Decimal) -> str:
    """A length that was calculated: tenths of a millimetre, or thousandths where lengths are in inches."""
    if LengthUnit(workshop_or_default().length_unit) is LengthUnit.IN:
        return round_length(mm, LengthUnit.IN, INCH_PLACES)
    return round_length(mm, LengthUnit.MM, MM_PLACES)


def digits(value: Decimal, count: int = 3) -> str:
    """A number to so many digits that count, never with an exponent."""
    return plain(Decimal(f"{value:.{count}g}"))


def percent(share: Decimal, places: int = 2) -> str:
    """A share of one as a percentage, rounded down: nothing is surer than it is."""
    return f"{rounded_down(Fraction(share) * 100, places):f} %"
