"""A proof test: how high it may go, which gauge may tell, and what a test bench's curve says of it.

Sources: proof pressure is held for 30 to 60 s and passes without a leak or any other failure (ISO 6605:2017
5.2). How far a test may go above it is the workshop's choice. The part of a scale that a gauge is read on
is common practice, no source.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from itertools import groupby

from shop.engineering.errors import NotUnderstood, OutOfRange
from shop.engineering.numbers import require_positive, trim
from shop.engineering.pressures import PASCALS_PER_UNIT, Pressure, PressureUnit, exceeds

READ_FROM, READ_UP_TO = Decimal("0.25"), Decimal("0.9")  # of the scale; common practice, no source
MOST_POINTS = 20_000  # a minute at 300 points a second
FEWEST_POINTS = 3  # up, held, down
CURVE_FORM = "a first line “time s; pressure bar”, then one line for each point"
_UNITS = {unit.value.lower(): unit for unit in PressureUnit}
_SECONDS = re.compile(r"\b(s|sec|seconds)\b")


@dataclass(frozen=True, slots=True)
class PressureGaugeFit:
    """Whether a pressure gauge may tell a proof test; `why` says it if not."""

    fits: bool
    why: str


@dataclass(frozen=True, slots=True)
class PressureCurve:
    """What a test bench wrote down: pairs of seconds, which rise, and pressure in `unit`."""

    points: tuple[tuple[Decimal, Decimal], ...]
    unit: PressureUnit

    @property
    def peak(self) -> Pressure:
        """The highest point."""
        return Pressure(max(pressure for _, pressure in self.points), self.unit)

    def held(self, at_least: Pressure) -> tuple[tuple[Decimal, Decimal], ...]:
        """The longest row of points that are none of them below a pressure; the first of equals."""
        least = at_least.exact_pascals / PASCALS_PER_UNIT[self.unit]
        rows: list[tuple[tuple[Decimal, Decimal], ...]] = [()]
        for is_high, points in groupby(self.points, key=lambda point: Fraction(point[1]) >= least):
            if is_high:
                rows.append(tuple(points))
        return max(rows, key=_lasts)

    def held_s(self, at_least: Pressure) -> Decimal:
        """For how long it was not below a pressure, in seconds: between points that say so, never beyond."""
        return _lasts(self.held(at_least))


def highest_allowed(proof: Pressure, over_percent: Decimal) -> Pressure:
    """The highest pressure that a test may reach: so many per cent above proof pressure, exactly.

    Raises `NotANumber`, and `OutOfRange` for nought and less.
    """
    require_positive(over_percent, "share above proof pressure", "%")
    return Pressure(trim(proof.value * (1 + over_percent / 100)), proof.unit)


def pressure_gauge_fits(
    scale_to: Pressure, expanded: Pressure, proof: Pressure, highest: Pressure, share: Decimal
) -> PressureGaugeFit:
    """Whether a gauge with a scale from nought, and that expanded uncertainty, may tell this test.

    The scale has to reach beyond the highest pressure allowed, proof pressure has to be on the part of it
    that is read well, and the uncertainty may be at most `share` (0 to 1) of half of what is allowed above
    proof pressure, as with every other tolerance. Raises `NotANumber`, and `OutOfRange` for a share of
    nought and less.
    """
    require_positive(share, "largest share of half the tolerance", "")
    if exceeds(highest, scale_to):
        return PressureGaugeFit(False, f"Its scale ends at {scale_to}; the test may reach {highest}.")
    part = proof.exact_pascals / scale_to.exact_pascals
    if not Fraction(READ_FROM) <= part <= Fraction(READ_UP_TO):
        return PressureGaugeFit(
            False,
            f"Proof pressure {proof} is at {float(part):.0%} of its scale; a gauge is read well between "
            f"{READ_FROM:.0%} and {READ_UP_TO:.0%}.",
        )
    most = Fraction(share) * (highest.exact_pascals - proof.exact_pascals) / 2
    if expanded.exact_pascals > most:
        most_words = f"{float(most / PASCALS_PER_UNIT[expanded.unit]):.3g} {expanded.unit}"
        return PressureGaugeFit(
            False,
            f"Its expanded uncertainty is {expanded}; between {proof} and {highest} it may be {most_words}.",
        )
    return PressureGaugeFit(True, "")


def read_curve(text: str) -> PressureCurve:
    """The curve in a CSV: a head that names seconds and the unit of pressure, then a line for each point.

    Cells are separated by semicolons, tabs or commas; a decimal comma is read where they are not commas.
    Raises `NotUnderstood`, which names the line, for what is no such table, for times that don't rise, and
    for fewer than 3 or more than 20 000 points; `OutOfRange` if no point is above nought.
    """
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip()]
    head = lines[0] if lines else ""
    separator = next((sign for sign in ";\t" if sign in head), ",")
    unit = _unit_of(head.lower().split(separator))
    points: list[tuple[Decimal, Decimal]] = []
    for number, line in enumerate(lines[1:], start=2):
        point = _point(line.split(separator), number, decimal_comma=separator != ",")
        if points and point[0] <= points[-1][0]:
            raise _not_understood(f"Line {number} of the curve is not later than the line before it.")
        points.append(point)
    if not FEWEST_POINTS <= len(points) <= MOST_POINTS:
        raise _not_understood(
            f"The curve has {len(points)} points; {FEWEST_POINTS} to {MOST_POINTS} are read."
        )
    if all(pressure <= 0 for _, pressure in points):
        raise OutOfRange(
            "The curve never rises above nought.", argument="curve", unit=unit, allowed="a point above 0"
        )
    return PressureCurve(tuple(points), unit)


def _lasts(row: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    return row[-1][0] - row[0][0] if row else Decimal(0)


def _unit_of(head: list[str]) -> PressureUnit:
    unit = next((_UNITS[word] for word in re.findall(r"[a-z]+", head[-1]) if word in _UNITS), None)
    if len(head) != 2 or unit is None or _SECONDS.search(head[0]) is None:
        raise _not_understood("The first line of the curve does not say seconds, and the unit of pressure.")
    return unit


def _point(cells: list[str], number: int, *, decimal_comma: bool) -> tuple[Decimal, Decimal]:
    try:
        seconds, pressure = (
            Decimal(cell.strip().replace(",", ".") if decimal_comma else cell.strip()) for cell in cells
        )
    except (ValueError, InvalidOperation) as error:
        raise _not_understood(f"Line {number} of the curve is not two numbers.") from error
    if not (seconds.is_finite() and pressure.is_finite()):
        raise _not_understood(f"Line {number} of the curve is not two numbers.")
    return seconds, pressure


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(
        f"{sentence} Write it as {CURVE_FORM}.", argument="curve", unit="", allowed=CURVE_FORM
    )
