"""Pressures: kept as printed, converted exactly, never rounded up.

1 psi is 4.4482216152605 N on 645.16 mm², both exact by definition (from memory), so 6894.757... Pa with
digits that never end.
Published tables print bar or MPa beside psi, but the two are seldom the same pressure (41.5 MPa is
6019 psi, printed 6000). So a rating keeps the unit it was printed in and is compared in it.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from shop.engineering.errors import EngineeringError, NotUnderstood, OutOfRange
from shop.engineering.numbers import plain, require_not_negative, rounded_down, trim


class PressureUnit(StrEnum):
    BAR = "bar"
    PSI = "psi"
    MPA = "MPa"
    KPA = "kPa"


PASCALS_PER_UNIT = {
    PressureUnit.BAR: Fraction(100_000),
    PressureUnit.PSI: Fraction("4.4482216152605") / Fraction("0.00064516"),
    PressureUnit.MPA: Fraction(1_000_000),
    PressureUnit.KPA: Fraction(1000),
}
FORMS = "350, 350 bar, 5000 psi, 34.5 MPa or 34500 kPa"
WHOLE_BAR_FROM = 100  # below it a whole bar is too coarse for a low-pressure or return hose
_HIGHEST_PA = 10_000 * PASCALS_PER_UNIT[PressureUnit.BAR]  # above any hydraulic hose: a slip


@dataclass(frozen=True, slots=True)
class Pressure:
    """A gauge pressure in the unit in which it was printed or typed.

    Two are equal only if printed alike; `exceeds` and `lowest` compare what they amount to. Raises
    `NotANumber`, or `OutOfRange` for a negative one.
    """

    value: Decimal
    unit: PressureUnit

    def __post_init__(self) -> None:
        require_not_negative(self.value, "pressure", self.unit)

    @property
    def exact_pascals(self) -> Fraction:
        return Fraction(self.value) * PASCALS_PER_UNIT[self.unit]

    @property
    def pascals(self) -> Decimal:
        """Pascals, to the 28 digits of a decimal division where they never end."""
        return _divided(self.exact_pascals)

    @property
    def bar(self) -> Decimal:
        """Bar, to the 28 digits of a decimal division where they never end."""
        return self.in_unit(PressureUnit.BAR)

    @property
    def bar_to_keep(self) -> Decimal:
        """Bar down to the whole pascal below, the finest that the database keeps."""
        return trim(rounded_down(self.exact_pascals / PASCALS_PER_UNIT[PressureUnit.BAR], 5))

    def in_unit(self, unit: PressureUnit) -> Decimal:
        """The number in `unit`: as printed in its own, else to 28 digits where they never end."""
        if unit is self.unit:
            return self.value
        return _divided(self.exact_pascals / PASCALS_PER_UNIT[unit])

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit}"


_UNIT_WORDS = {
    "bar": PressureUnit.BAR,
    "psi": PressureUnit.PSI,
    "lbf/in2": PressureUnit.PSI,
    "mpa": PressureUnit.MPA,
    "n/mm2": PressureUnit.MPA,
    "kpa": PressureUnit.KPA,
}
_TYPED = re.compile(r"([0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*([a-z][a-z0-9/]*)?")
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")


def parse_pressure(text: str, default_unit: PressureUnit = PressureUnit.BAR) -> Pressure:
    """Read a pressure as people write it; a number without a unit is in `default_unit`.

    Comma and point are both decimal. Raises `NotUnderstood` for text that has no reading or two
    (5,000 psi may be five thousand or five), `OutOfRange` for zero, a negative one and one above 10 000 bar.
    """
    typed = text.strip()
    tidy = typed.lower().replace("²", "2").replace("\u00a0", " ").replace("−", "-")
    if tidy.startswith("-"):
        raise _out_of_range(f"A pressure must be more than zero; “{typed}” is not.", typed)
    match = _TYPED.fullmatch(tidy)
    if match is None:
        raise _not_understood(f"“{typed}” is not a pressure that can be read. Type it like {FORMS}.")
    word = match[2]
    if word is not None and word not in _UNIT_WORDS:
        raise _not_understood(f"“{word}” in “{typed}” is not a unit of pressure. Type bar, psi, MPa or kPa.")
    unit = default_unit if word is None else _UNIT_WORDS[word]
    # Only megapascals are printed with three decimals; elsewhere 5,000 and 5.000 are mostly thousands.
    if unit is not PressureUnit.MPA and _THOUSANDS_OR_DECIMALS.fullmatch(match[1]):
        raise _not_understood(
            f"“{typed}” can be read as thousands or as decimals. Type it without a separator, like 5000 psi."
        )
    pressure = Pressure(trim(Decimal(match[1].replace(",", "."))), unit)
    if not 0 < pressure.exact_pascals <= _HIGHEST_PA:
        raise _out_of_range(
            f"A pressure must be above zero and at most 10000 bar; “{typed}” is not. Check its unit.", typed
        )
    return pressure


def exceeds(demand: Pressure, rating: Pressure) -> bool:
    """Whether the demand is above the rating. Equal is not above.

    Both are compared as exact fractions of what was typed and printed, never as converted and rounded
    numbers; so in the same unit it is the printed numbers that count, and 2500 psi is never above a row
    printed 2500 psi.
    """
    return demand.exact_pascals > rating.exact_pascals


def lowest(pressures: Iterable[Pressure]) -> Pressure:
    """The lowest, compared exactly; the first of equals. Raises `EngineeringError` if there is none."""
    every = list(pressures)
    if not every:
        raise EngineeringError(
            "There is no pressure to take the lowest of.", argument="pressures", allowed="one or more"
        )
    return min(every, key=lambda pressure: pressure.exact_pascals)


def show_bar(pressure: Pressure) -> str:
    """In bar: as printed if printed in bar, else rounded down, to whole bar from 100 and to 0.1 below."""
    if pressure.unit is PressureUnit.BAR:
        return str(pressure)
    bar = pressure.exact_pascals / PASCALS_PER_UNIT[PressureUnit.BAR]
    return f"{plain(rounded_down(bar, 0 if bar >= WHOLE_BAR_FROM else 1))} bar"


def show_psi(pressure: Pressure) -> str:
    """In psi: as printed if printed in psi, else rounded down to whole psi."""
    if pressure.unit is PressureUnit.PSI:
        return str(pressure)
    return f"{plain(rounded_down(pressure.exact_pascals / PASCALS_PER_UNIT[PressureUnit.PSI], 0))} psi"


def show_rating(pressure: Pressure) -> str:
    """The printed unit first, then bar and psi rounded down: 275 bar (3988 psi)."""
    shown = [show_bar(pressure), show_psi(pressure)]
    others = ", ".join(text for text in shown if text != str(pressure))
    return f"{pressure} ({others})"


def _divided(value: Fraction) -> Decimal:
    return trim(Decimal(value.numerator) / Decimal(value.denominator))


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(sentence, argument="pressure", unit="bar", allowed=FORMS)


def _out_of_range(sentence: str, typed: str) -> OutOfRange:
    return OutOfRange(
        sentence, argument="pressure", unit="bar", allowed="more than 0, up to 10000 bar", got=typed
    )
