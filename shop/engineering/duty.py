"""Whether a hose is for the duty: working pressure with its surges, vacuum, and the pressure classes.

Sources, from memory where not said otherwise: SAE J1273 (the working pressure covers the peak of every
surge), ISO 18752 (that there are ten classes and the temperatures of
the grades: read; the pressures of the classes: from memory). Standard atmosphere 101.325 kPa exactly.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.numbers import plain, require_positive, rounded_down, trim
from shop.engineering.pressures import PASCALS_PER_UNIT, Pressure, PressureUnit, exceeds, show_rating

CLASSES_BAR = tuple(map(Decimal, (35, 70, 140, 210, 250, 280, 350, 420, 490, 560)))
# Upper temperature in °C of the grades and types of ISO 18752: read.
UPPER_TEMPERATURE_C = {"AS": 100, "AC": 100, "BS": 100, "BC": 100, "CS": 120, "CC": 120, "DC": 120}
ATMOSPHERE_PA = Fraction(101_325)

NOT_A_MARGIN = (
    "The hose bursts well above its rating, but that is no margin to work in: every peak counts, and each "
    "one above the rating shortens its life."
)
PEAK_KNOWN = "The surge is the highest that happens, measured with a gauge quick enough to show it."
CLASSES_FROM_MEMORY = "The pressures of the classes are from memory. Compare them with ISO 18752."
VACUUM_AT_SEA_LEVEL = "Vacuum is counted down from standard atmosphere at sea level; higher up there is less."
RIGHT_TEMPERATURE = "The hose is at or below the temperature that its vacuum rating is for."


@dataclass(frozen=True, slots=True)
class DutyCheck:
    """Whether the demand is within the rating, exactly compared, and the sentence that says so."""

    demand: Pressure
    rating: Pressure
    within: bool
    reason: str
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PressureClass:
    """A class of ISO 18752: one working pressure for every size."""

    rating: Pressure
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def peak_of(working: Pressure, surge: Pressure | None) -> Pressure:
    """The working pressure with the surge on top of it, in its unit, up to the next thousandth.

    Raises `OutOfRange` for a working pressure that is not above zero.
    """
    require_positive(working.value, "working pressure", working.unit)
    return working if surge is None else _upwards(_exactly(working, surge), working.unit)


def check_surge(working: Pressure, surge: Pressure | None, rating: Pressure) -> DutyCheck:
    """Working pressure and the surge on top of it, together against the rating; equal is within.

    Compared as exact fractions; the peak is shown as `peak_of` gives it. Without a surge the working
    pressure is the highest that happens. Raises `OutOfRange` for a working pressure or a rating that is
    not above zero.
    """
    peak = peak_of(working, surge)
    require_positive(rating.value, "rating", rating.unit)
    within = _exactly(working, surge) <= rating.exact_pascals
    what, cause = f"Working pressure {working} and a surge of {surge} make {peak}", "surge"
    if surge is None:
        what, cause = f"The highest pressure is {peak}", "pressure"
    return DutyCheck(
        demand=peak,
        rating=rating,
        within=within,
        reason=f"{what}, within the rating of {show_rating(rating)}."
        if within
        else f"{what}, above the rating of {show_rating(rating)}. Choose a higher one, or limit the {cause}.",
        assumptions=(PEAK_KNOWN,),
        cautions=(NOT_A_MARGIN,),
    )


def check_suction(vacuum: Pressure, rated_vacuum: Pressure | None) -> DutyCheck:
    """The vacuum in a suction line, as depth below atmosphere, against that of the hose; equal is within.

    Raises `OutOfRange` for a vacuum that is not above zero or is deeper than atmosphere, `OffTheTable`
    for hose without a vacuum rating, which is not for suction: it may collapse unseen.
    """
    _check_vacuum(vacuum, "vacuum")
    if rated_vacuum is None:
        raise OffTheTable(
            "This hose has no vacuum rating, so it is not for suction: it may collapse inside. Choose a "
            "suction hose, or enter the rating from its maker's document.",
            argument="vacuum rating",
            allowed="a vacuum rating printed by the standard or the maker",
        )
    _check_vacuum(rated_vacuum, "vacuum rating")
    within = not exceeds(vacuum, rated_vacuum)
    return DutyCheck(
        demand=vacuum,
        rating=rated_vacuum,
        within=within,
        reason=f"A vacuum of {vacuum} is within the hose's {rated_vacuum}."
        if within
        else f"A vacuum of {vacuum} is deeper than the hose's {rated_vacuum}. Choose a hose rated for it.",
        assumptions=(VACUUM_AT_SEA_LEVEL, RIGHT_TEMPERATURE),
        cautions=("Above its own temperature limit a hose stands no vacuum that can be relied on.",),
    )


def lowest_class_for(demand: Pressure) -> PressureClass:
    """The lowest pressure class of ISO 18752 that covers the demand; equal covers it.

    Raises `OffTheTable` above the highest class, `OutOfRange` for a demand that is not above zero.
    """
    require_positive(demand.value, "pressure", demand.unit)
    for bar in CLASSES_BAR:
        rating = Pressure(bar, PressureUnit.BAR)
        if not exceeds(demand, rating):
            return PressureClass(
                rating=rating,
                assumptions=("The demand is the peak: working pressure with its surges.",),
                cautions=(CLASSES_FROM_MEMORY, NOT_A_MARGIN),
            )
    highest = f"{plain(CLASSES_BAR[-1])} bar"
    raise OffTheTable(
        f"{show_rating(demand)} is above the highest class of ISO 18752, {highest}.",
        argument="pressure",
        unit="bar",
        allowed=f"up to {highest}",
        got=demand,
    )


def upper_temperature_c(grade_and_type: str) -> int:
    """Upper temperature of an ISO 18752 hose by its grade and type (AS to DC), °C. Raises `OffTheTable`."""
    key = grade_and_type.strip().upper()
    if key not in UPPER_TEMPERATURE_C:
        known = ", ".join(UPPER_TEMPERATURE_C)
        raise OffTheTable(
            f"“{grade_and_type}” is not a grade and type of ISO 18752. Choose one of {known}.",
            argument="grade and type",
            allowed=known,
            got=grade_and_type,
        )
    return UPPER_TEMPERATURE_C[key]


def _check_vacuum(vacuum: Pressure, what: str) -> None:
    require_positive(vacuum.value, what, vacuum.unit)
    if vacuum.exact_pascals > ATMOSPHERE_PA:
        raise OutOfRange(
            f"A {what} of {vacuum} is deeper than atmosphere. Enter how far below atmosphere it is.",
            argument=what,
            unit=vacuum.unit,
            allowed="up to 1.01325 bar",
            got=vacuum,
        )


def _exactly(working: Pressure, surge: Pressure | None) -> Fraction:
    return working.exact_pascals + (Fraction(0) if surge is None else surge.exact_pascals)


def _upwards(pascals: Fraction, unit: PressureUnit) -> Pressure:
    return Pressure(trim(rounded_down(-pascals / PASCALS_PER_UNIT[unit], 3).copy_negate()), unit)
