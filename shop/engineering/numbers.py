"""Exact numbers: plain decimals to show, fractions to compare, and refusals of what is no number.

Arithmetic alone, which needs no source.
"""

import math
from decimal import Decimal
from fractions import Fraction

from shop.engineering.errors import NotANumber, OutOfRange


def trim(d: Decimal) -> Decimal:
    """The same number without trailing zeros and without an exponent: 930.000 is 930, 1E+3 is 1000.

    Exact whatever the decimal context's precision. Raises `NotANumber` for NaN and infinity.
    """
    require_number(d, "number", "")
    digits = f"{d:f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return Decimal(digits) if digits not in {"-0", ""} else Decimal(0)


def plain(d: Decimal) -> str:
    """Digits as a person reads them: trimmed, and never with an exponent, however small.

    Raises `NotANumber` for NaN and infinity.
    """
    return f"{trim(d):f}"


def exact_decimal(value: Fraction) -> Decimal | None:
    """The fraction as a decimal, exactly, or None if its digits never end (1/3)."""
    twos = fives = 0
    rest = value.denominator
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    if rest != 1:
        return None
    places = max(twos, fives)
    return trim(_with_places(int(value * 10**places), places))


def rounded(value: Fraction, places: int) -> Decimal:
    """Rounded once to `places` decimals, a half to the even digit; the places are kept (36.50).

    Raises `OutOfRange` for less than no decimals.
    """
    _check_places(places)
    return _with_places(round(value * 10**places), places)


def rounded_down(value: Fraction, places: int) -> Decimal:
    """The largest decimal of `places` places that is not above the value. Raises as `rounded`."""
    _check_places(places)
    return _with_places(value * 10**places // 1, places)


def require_number(value: Decimal, argument: str, unit: str, allowed: str = "a finite number") -> Decimal:
    """The value, if it is finite. Raises `NotANumber`, which says `allowed`."""
    if not value.is_finite():
        raise _not_a_number(value, argument, unit, allowed)
    return value


def require_finite(value: float, argument: str, unit: str, at_least: float = -math.inf) -> float:
    """The value, if it is finite and `at_least` so much: for geometry, where nobody reads the number.

    Raises `NotANumber` or `OutOfRange`.
    """
    allowed = "a finite number"
    if not math.isinf(at_least):
        allowed = f"{at_least:g} {unit} or more" if unit else f"{at_least:g} or more"
    if not math.isfinite(value):
        raise _not_a_number(value, argument, unit, allowed)
    if value < at_least:
        raise OutOfRange(
            f"The {argument} must be {allowed}; {value:g} is not.",
            argument=argument,
            unit=unit,
            allowed=allowed,
            got=value,
        )
    return value


def require_positive(value: Decimal, argument: str, unit: str) -> Decimal:
    """The value, if it is finite and above zero. Raises `NotANumber` or `OutOfRange`."""
    allowed = f"more than 0 {unit}".rstrip()
    if require_number(value, argument, unit, allowed) <= 0:
        raise OutOfRange(
            f"The {argument} must be more than zero; {plain(value)} {unit} is not.",
            argument=argument,
            unit=unit,
            allowed=allowed,
            got=value,
        )
    return value


def require_not_negative(value: Decimal, argument: str, unit: str) -> Decimal:
    """The value, if it is finite and not below zero. Raises `NotANumber` or `OutOfRange`."""
    allowed = f"0 {unit} or more" if unit else "0 or more"
    if require_number(value, argument, unit, allowed) < 0:
        raise OutOfRange(
            f"The {argument} can't be negative; {plain(value)} {unit} is.",
            argument=argument,
            unit=unit,
            allowed=allowed,
            got=value,
        )
    return value


def _check_places(places: int) -> None:
    if places < 0:
        raise OutOfRange(
            f"A number is rounded to 0 decimals or more; {places} is not.",
            argument="decimal places",
            allowed="0 or more",
            got=places,
        )


def _not_a_number(value: Decimal | float, argument: str, unit: str, allowed: str) -> NotANumber:
    return NotANumber(
        f"The {argument} is not a number: {value}.",
        argument=argument,
        unit=unit,
        allowed=allowed,
        got=value,
    )


def _with_places(scaled: int, places: int) -> Decimal:
    return Decimal((int(scaled < 0), tuple(int(digit) for digit in str(abs(scaled))), -places))
