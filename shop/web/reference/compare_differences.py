"""How the second of two values stands against the first, by sign and in words."""

from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.numbers import plain, rounded
from shop.engineering.pressures import PASCALS_PER_UNIT, Pressure, PressureUnit, exceeds
from shop.web.templatetags.quantities import length

BAR_PLACES = 1


@dataclass(frozen=True)
class Difference:
    """A sign, and the same in words."""

    sign: str
    words: str


SAME = Difference("=", "the same")
DIFFERENT = Difference("≠", "different")
NEITHER = Difference("=", "neither has one")
ONE_SIDED = Difference("≠", "only one has it")


def of_words(one: str, other: str) -> Difference:
    """Of two texts, which are the same or not."""
    return SAME if one == other else DIFFERENT


def of_lengths(one: Decimal | None, other: Decimal | None) -> Difference:
    """Of two lengths in mm, in the workshop's unit."""
    if one is None or other is None:
        return _where_one_lacks(one, other)
    if one == other:
        return SAME
    return _more_or_less(other > one, length(abs(other - one)), "more", "less")


def of_temperatures(one: int | None, other: int | None) -> Difference:
    """Of two temperatures in °C."""
    if one is None or other is None:
        return _where_one_lacks(one, other)
    if one == other:
        return SAME
    return _more_or_less(other > one, f"{abs(other - one)} °C", "higher", "lower")


def of_pressures(one: Pressure | None, other: Pressure | None) -> Difference:
    """Of two pressures, compared exactly; the amount is in their unit, or in bar where they have two."""
    if one is None or other is None:
        return _where_one_lacks(one, other)
    if not exceeds(one, other) and not exceeds(other, one):
        return SAME
    return _more_or_less(exceeds(other, one), pressures_apart(one, other), "higher", "lower")


def pressures_apart(one: Pressure, other: Pressure) -> str:
    """How far two pressures are apart, for reading: in their unit, or in bar to one decimal."""
    if one.unit is other.unit:
        return f"{plain(abs(one.value - other.value))} {one.unit}"
    pascals = abs(one.exact_pascals - other.exact_pascals)
    bar = rounded(pascals / PASCALS_PER_UNIT[PressureUnit.BAR], BAR_PLACES)
    return f"{plain(bar)} bar" if bar else "under 0.1 bar"


def _more_or_less(is_more: bool, amount: str, more: str, less: str) -> Difference:
    return Difference("+", f"{amount} {more}") if is_more else Difference("−", f"{amount} {less}")


def _where_one_lacks(one: object | None, other: object | None) -> Difference:
    return NEITHER if one is None and other is None else ONE_SIDED
