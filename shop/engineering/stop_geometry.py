"""What a fixed stop does to the crimp, on a crimper whose dies close in a taper. Optional: for a check only.

A thicker stop ends the stroke sooner and leaves the crimp larger. Dies that slide in one cone of angle α
to the axis change the diameter by 2 tan α for each millimetre of travel; with a cone at both ends the
travel is shared, and it is tan α. Source: the geometry itself (a wedge of angle α rises tan α per
millimetre, and a diameter has two sides).

The chart prescribes the stop. What a line through the workshop's own crimps predicts can show that a
wrong stop is in the drawer or a number was misread; no stop is ever chosen by it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import radians, tan

from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.line_fit import Estimate, Line, fit_line, student_t
from shop.engineering.numbers import (
    plain,
    require_not_negative,
    require_number,
    require_positive,
    rounded,
    trim,
)

CONFIDENCE = Decimal("0.95")
STEEPEST_DEG = 45  # a steeper taper would lock or throw the dies out: common practice, no source
_SHOWN_PLACES = 3

ONLY_A_CHECK = "The crimp chart prescribes the stop. This only checks it: crimp, measure and judge as always."
SAME_SET_UP = (
    "All crimps were made with one crimper, one die set, one hose and one ferrule; another of any of these "
    "lies on another line."
)
SAME_PRESS_AND_DIES = (
    "All crimps were made with one crimper and dies of one type. Different hose springs back differently, "
    "which widens what is expected."
)
SAYS_LITTLE = (
    "What is expected spreads wider than the chart's limits, so this check says little. Add more crimps."
)
STRAIGHT = "Between the thinnest and the thickest stop that was used the diameter follows a straight line."


class Tapers(StrEnum):
    """Whether the dies slide in one cone, or in a cone at each end that share the travel."""

    ONE = "one"
    TWO = "two"


@dataclass(frozen=True, slots=True)
class StopCrimp:
    """A crimp of the workshop: the stop's thickness and the mean diameter that was measured, mm.

    A stop of no thickness is the machine's own. Raises `NotANumber` or `OutOfRange`.
    """

    thickness_mm: Decimal
    diameter_mm: Decimal

    def __post_init__(self) -> None:
        require_not_negative(self.thickness_mm, "stop thickness", "mm")
        require_positive(self.diameter_mm, "crimp diameter", "mm")


@dataclass(frozen=True, slots=True)
class StopLine:
    """Diameter against stop thickness, fitted; slope in mm per mm, intercept in mm."""

    line: Line
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def slope(self) -> Estimate:
        return self.line.slope

    @property
    def intercept(self) -> Estimate:
        return self.line.intercept

    def diameter_mm(self, thickness_mm: Decimal) -> Estimate:
        """The diameter that the next crimp with such a stop is expected to have, mm.

        Raises `OffTheTable` for a stop thinner or thicker than those of the crimps: the line is not known
        to go on there.
        """
        require_not_negative(thickness_mm, "stop thickness", "mm")
        thinnest, thickest = self.line.lowest_x, self.line.highest_x
        if not thinnest <= thickness_mm <= thickest:
            raise OffTheTable(
                f"The crimps were made with stops of {plain(thinnest)} to {plain(thickest)} mm, and nothing "
                f"is known at {plain(thickness_mm)} mm. Make a trial crimp with the stop of the chart.",
                argument="stop thickness",
                unit="mm",
                allowed=f"{plain(thinnest)} to {plain(thickest)} mm",
                got=thickness_mm,
            )
        return self.line.at(thickness_mm)


@dataclass(frozen=True, slots=True)
class StopCheck:
    """The chart's stop against the workshop's own crimps: where the next crimp is expected (mm).

    `agrees` says that the range meets the chart's limits; `reason` is the sentence for the setter.
    """

    expected: Estimate
    low_mm: Decimal
    high_mm: Decimal
    agrees: bool
    reason: str
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def diameter_per_mm(taper_deg: Decimal, tapers: Tapers) -> Decimal:
    """Change of diameter (mm) for each millimetre of stop: 2 tan α with one taper, tan α with two.

    α is between the taper and the axis, not the cone's whole angle. To nine decimals. Raises `OutOfRange`
    for an angle that is not above 0° and at most 45°.
    """
    if not 0 < require_number(taper_deg, "taper angle", "°") <= STEEPEST_DEG:
        raise OutOfRange(
            f"A taper of {plain(taper_deg)}° to the axis is no crimper's. Enter half the cone's angle.",
            argument="taper angle",
            unit="°",
            allowed=f"above 0, at most {STEEPEST_DEG}°",
            got=taper_deg,
        )
    sides = 2 if tapers is Tapers.ONE else 1
    return trim(rounded(sides * Fraction(tan(radians(taper_deg))), 9))


def fit_stops(
    crimps: Sequence[StopCrimp], geometry_mm_per_mm: Decimal | None = None, *, of_one_hose: bool = True
) -> StopLine:
    """Fit diameter against stop thickness to the workshop's own crimps by least squares.

    `of_one_hose` False says that the crimps are of several, which the assumptions then say too.
    `geometry_mm_per_mm` is what `diameter_per_mm` gives for this crimper; a fitted slope that doesn't agree
    with it, and one that falls, are said in the cautions. Raises `OutOfRange` for fewer than three crimps,
    or if all have one thickness.
    """
    line = fit_line([(crimp.thickness_mm, crimp.diameter_mm) for crimp in crimps])
    cautions = [ONLY_A_CHECK]
    if line.slope.value <= 0:
        cautions.append(
            "By these crimps a thicker stop doesn't make a larger crimp. Look for exchanged numbers."
        )
    if geometry_mm_per_mm is not None:
        require_positive(geometry_mm_per_mm, "change of diameter per millimetre of stop", "mm/mm")
        reach = student_t(CONFIDENCE, line.degrees_of_freedom) * line.slope.standard_error
        if abs(line.slope.value - geometry_mm_per_mm) > reach:
            cautions.append(
                f"The crimps change by {_shown(line.slope.value)} mm per millimetre of stop, by the taper "
                f"it is {_shown(geometry_mm_per_mm)} mm. Check the taper's angle, the stops and the readings."
            )
    made_with = SAME_SET_UP if of_one_hose else SAME_PRESS_AND_DIES
    return StopLine(line, (made_with, STRAIGHT), tuple(cautions))


def check_stop(stops: StopLine, thickness_mm: Decimal, lower_mm: Decimal, upper_mm: Decimal) -> StopCheck:
    """Whether the chart's stop can be expected to give a crimp within the chart's limits (mm).

    The range holds the next crimp with 95 % (Student's t). Raises `OffTheTable` outside the fitted stops,
    `OutOfRange` for limits out of order.
    """
    require_positive(lower_mm, "lower crimp limit", "mm")
    require_positive(upper_mm, "upper crimp limit", "mm")
    if lower_mm >= upper_mm:
        raise OutOfRange(
            f"The lower limit {plain(lower_mm)} mm is not below the upper limit {plain(upper_mm)} mm. "
            "Compare them with the chart.",
            argument="crimp limits",
            unit="mm",
            allowed="lower limit below upper limit",
            got=f"{lower_mm} to {upper_mm}",
        )
    expected = stops.diameter_mm(thickness_mm)
    reach = student_t(CONFIDENCE, stops.line.degrees_of_freedom) * expected.standard_error
    low, high = expected.value - reach, expected.value + reach
    agrees = low <= upper_mm and high >= lower_mm
    what = f"With a stop of {plain(thickness_mm)} mm the next crimp is expected from {_shown(low)} to "
    limits = f"the chart's {plain(lower_mm)} to {plain(upper_mm)} mm"
    return StopCheck(
        expected=expected,
        low_mm=low,
        high_mm=high,
        agrees=agrees,
        reason=f"{what}{_shown(high)} mm, which agrees with {limits}."
        if agrees
        else f"{what}{_shown(high)} mm, away from {limits}. Check stop, dies and chart before you crimp.",
        assumptions=stops.assumptions,
        cautions=stops.cautions if high - low <= upper_mm - lower_mm else (*stops.cautions, SAYS_LITTLE),
    )


def _shown(value: Decimal) -> str:
    return plain(rounded(Fraction(value), _SHOWN_PLACES))
