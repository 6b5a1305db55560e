"""Lengths as people write them, kept exactly, and shown so that they read back to the same length.

25.4 mm to the inch and 12 in to the foot, both exactly (international yard and pound agreement, 1959;
from memory). The finest length that is kept is one nanometre: every 1/64 in is a whole number of them.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from shop.engineering.errors import NotUnderstood, OutOfRange
from shop.engineering.numbers import exact_decimal, plain, require_not_negative, rounded, trim

__all__ = ["LengthUnit", "TypedLength", "parse_length", "round_length", "show_length", "trim"]


class LengthUnit(StrEnum):
    MM = "mm"
    M = "m"
    CM = "cm"
    IN = "in"
    FT = "ft"


MM_PER_UNIT = {
    LengthUnit.MM: Fraction(1),
    LengthUnit.M: Fraction(1000),
    LengthUnit.CM: Fraction(10),
    LengthUnit.IN: Fraction("25.4"),
    LengthUnit.FT: Fraction("304.8"),
}
NANOMETRES_PER_MM = 1_000_000
LONGEST_MM = Decimal(10_000_000)  # ten kilometres: more than any reel, less than the database's integer
LONGEST_TEXT = 60
FINEST_INCH = 64  # a tape and a rule show no finer fraction than 1/64
FORMS = '930 mm, 0.93 m, 93 cm, 36.5 in, 36 1/2 in, 36-1/2", 3\' 4-1/2" or 3 ft 4 1/2 in'


@dataclass(frozen=True, slots=True)
class TypedLength:
    """A length, the unit it was typed in (feet where both feet and inches were), and the text itself."""

    mm: Decimal
    unit: LengthUnit
    text: str


_LOOK_ALIKES = str.maketrans(
    {
        **dict.fromkeys("″”“„‶", '"'),
        **dict.fromkeys("′’‘´`‵", "'"),
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("\u00a0\u2009\u202f\t", " "),
        # The space keeps 36½ from becoming 361/2.
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
_UNIT_WORDS = {
    **dict.fromkeys(["mm", "millimetre", "millimetres", "millimeter", "millimeters"], LengthUnit.MM),
    **dict.fromkeys(["cm", "centimetre", "centimetres", "centimeter", "centimeters"], LengthUnit.CM),
    **dict.fromkeys(["m", "metre", "metres", "meter", "meters"], LengthUnit.M),
    **dict.fromkeys(['"', "in", "in.", "inch", "inches"], LengthUnit.IN),
    **dict.fromkeys(["'", "ft", "ft.", "foot", "feet"], LengthUnit.FT),
}
_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_FRACTION = r"(?:(?:[0-9]+(?:\s+|\s*-\s*))?[0-9]+\s*/\s*[0-9]+)"
_AMOUNT = rf"({_FRACTION}|{_DECIMAL})"
_ONE_UNIT = re.compile(rf"{_AMOUNT}\s*([a-z]+\.?|[\"'])?")
_FEET_AND_INCHES = re.compile(
    rf"([0-9]+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*{_AMOUNT}\s*(?:\"|in\.?|inch|inches)?"
)
_TWO_SEPARATORS = re.compile(r"[0-9][.,][0-9]+[.,]")
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def parse_length(text: str, default_unit: LengthUnit = LengthUnit.MM) -> TypedLength:
    """Read a length as people write it; a number without a unit is in `default_unit`.

    Comma and point are both decimal. Raises `NotUnderstood` for text that has no reading or two, and
    `OutOfRange` for a length that is not above zero, is over ten kilometres, or is no whole number of
    nanometres, the finest that is kept.
    """
    typed = text.strip()
    if not 0 < len(typed) <= LONGEST_TEXT:
        raise _not_understood(f"There is no length here to read. Type it like {FORMS}.")
    tidy = re.sub(r"\s+", " ", typed.translate(_LOOK_ALIKES)).replace("''", '"').strip().lower()
    if tidy.startswith("-"):
        raise _not_above_zero(typed)
    if _TWO_SEPARATORS.search(tidy):
        raise _not_understood(
            f"“{typed}” has two separators and can be read two ways. "
            "Type one decimal point or comma and nothing between thousands: 1200.5 mm."
        )
    if feet := _FEET_AND_INCHES.fullmatch(tidy):
        unit, mm = LengthUnit.FT, _feet_and_inches(feet[1], feet[2], typed)
    elif single := _ONE_UNIT.fullmatch(tidy):
        unit = _unit(single[2], default_unit, typed)
        _refuse_two_readings(single[1], single[2], unit, typed)
        mm = _amount(single[1], typed) * MM_PER_UNIT[unit]
    else:
        raise _not_understood(f"“{typed}” is not a length that can be read. Type it like {FORMS}.")
    return TypedLength(_kept(mm, typed), unit, typed)


def show_length(mm: Decimal, unit: LengthUnit) -> str:
    """The length in `unit`, exactly: what this shows reads back to the same length.

    Inches as a fraction down to 1/64 (36 1/2 in), else as decimals where they end, else the length is
    shown in millimetres instead of being rounded. Raises `NotANumber`, or `OutOfRange` if negative.
    """
    require_not_negative(mm, "length", "mm")
    if unit is LengthUnit.FT:
        return _show_feet(mm)
    in_unit = Fraction(mm) / MM_PER_UNIT[unit]
    if unit is LengthUnit.IN and FINEST_INCH % in_unit.denominator == 0:
        return f"{_mixed(in_unit)} in"
    decimal = exact_decimal(in_unit)
    return f"{plain(mm)} mm" if decimal is None else f"{plain(decimal)} {unit}"


def round_length(mm: Decimal, unit: LengthUnit, places: int) -> str:
    """The length in `unit` for reading only: rounded once to `places` decimals, a half to even.

    Raises `NotANumber`, or `OutOfRange` if negative.
    """
    require_not_negative(mm, "length", "mm")
    return f"{rounded(Fraction(mm) / MM_PER_UNIT[unit], places):f} {unit}"


def _unit(word: str | None, default_unit: LengthUnit, typed: str) -> LengthUnit:
    if word is None:
        return default_unit
    if word not in _UNIT_WORDS:
        raise _not_understood(f"“{word}” in “{typed}” is not a unit of length. Type mm, cm, m, in or ft.")
    return _UNIT_WORDS[word]


def _refuse_two_readings(amount: str, word: str | None, unit: LengthUnit, typed: str) -> None:
    if word is None and "/" in amount and unit not in {LengthUnit.IN, LengthUnit.FT}:
        raise _not_understood(
            f"“{typed}” is a fraction without a unit. Type {typed} in if inches are meant, or the {unit}."
        )
    if unit in {LengthUnit.MM, LengthUnit.FT} and _THOUSANDS_OR_DECIMALS.fullmatch(amount):
        whole, decimals = amount.split(",")
        smaller = plain(Decimal(f"{whole}.{decimals}"))
        raise _not_understood(
            f"“{typed}” can be read as {whole}{decimals} {unit} or as {smaller} {unit}. "
            "Type the one that is meant, with a point if there are decimals."
        )


def _amount(text: str, typed: str) -> Fraction:
    """The number in `36.5`, `36,5`, `1/2`, `36 1/2` or `36-1/2`."""
    if "/" not in text:
        return Fraction(text.replace(",", "."))
    *whole, above, below = re.findall("[0-9]+", text)
    if int(below) == 0:
        raise _not_understood(f"“{typed}” has a fraction over zero. Type it like {FORMS}.")
    fraction = Fraction(int(above), int(below))
    if whole and fraction >= 1:
        raise _not_understood(f"The fraction in “{typed}” is not below one. Type it like {FORMS}.")
    return fraction + (int(whole[0]) if whole else 0)


def _feet_and_inches(feet: str, inches: str, typed: str) -> Fraction:
    beyond_feet = _amount(inches, typed)
    if beyond_feet >= 12:
        raise _not_understood(
            f"“{typed}” has twelve inches or more beside the feet. Type it all in inches, or the feet right."
        )
    return int(feet) * MM_PER_UNIT[LengthUnit.FT] + beyond_feet * MM_PER_UNIT[LengthUnit.IN]


def _kept(mm: Fraction, typed: str) -> Decimal:
    if mm <= 0:
        raise _not_above_zero(typed)
    if mm > LONGEST_MM:
        raise OutOfRange(
            f"“{typed}” is longer than ten kilometres. Check the number and its unit.",
            argument="length",
            unit="mm",
            allowed=f"up to {plain(LONGEST_MM)} mm",
            got=typed,
        )
    if (mm * NANOMETRES_PER_MM).denominator != 1:
        raise OutOfRange(
            f"“{typed}” is finer than a millionth of a millimetre. Type it with fewer decimals.",
            argument="length",
            unit="mm",
            allowed="whole millionths of a millimetre; inch fractions down to 1/64",
            got=typed,
        )
    return trim(rounded(mm, 6))


def _show_feet(mm: Decimal) -> str:
    inches = Fraction(mm) / MM_PER_UNIT[LengthUnit.IN]
    feet, beyond_feet = divmod(inches, 12)
    if feet == 0 or FINEST_INCH % beyond_feet.denominator:
        return show_length(mm, LengthUnit.IN)
    return f"{feet} ft" if beyond_feet == 0 else f"{feet} ft {_mixed(beyond_feet)} in"


def _mixed(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if part == 0:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(sentence, argument="length", unit="mm", allowed=FORMS)


def _not_above_zero(typed: str) -> OutOfRange:
    return OutOfRange(
        f"A length must be more than zero; “{typed}” is not.",
        argument="length",
        unit="mm",
        allowed="more than 0 mm",
        got=typed,
    )
