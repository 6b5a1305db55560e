"""How sure a measured crimp is: its uncertainty, and the probability that the crimp is within its limits.

Sources, all from memory: GUM (JCGM 100) 4.2 and 5.1 for the uncertainty of a mean and for adding parts,
GUM 4.3.7 for resolution (step / √12), JCGM 106 7.4 for the probability of conformity.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import erfc, sqrt
from statistics import NormalDist

from shop.engineering.decision import MeasurementUncertainty
from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import (
    plain,
    require_not_negative,
    require_number,
    require_positive,
    rounded,
    rounded_down,
    trim,
)

FEWEST_DIES = 4
ENOUGH_READINGS = 3  # common practice, no source
_NANOMETRE_PLACES = 6
_PROBABILITY_PLACES = 6
_FAR = Fraction(40)  # standard deviations; beyond 38.6 the tail is less than the smallest float
_HALVINGS = 60  # of a half width: far below a nanometre

SAME_PLACE = (
    "The repeatability is that of readings at one and the same place; readings round a crimp differ by its "
    "ovality too, and that is no property of the gauge."
)
NORMAL = "What is not known of the diameter spreads as a normal distribution about the measured value."
NO_PRIOR = "Nothing else than this measurement is known about the crimp."
NOT_A_VERDICT = (
    "A probability judges nothing: the decision rule of the workshop's policy says whether a crimp passes."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyParts:
    """The parts of a reading's uncertainty, mm: `calibration_mm` is the certificate's expanded uncertainty
    divided by its coverage factor, `repeatability_mm` the standard deviation of readings at one place,
    `resolution_mm` the smallest step that the gauge shows.

    Raises `NotANumber`, or `OutOfRange` for a negative part or a step that is not above zero.
    """

    calibration_mm: Decimal
    repeatability_mm: Decimal
    resolution_mm: Decimal

    def __post_init__(self) -> None:
        require_not_negative(self.calibration_mm, "calibration uncertainty", "mm")
        require_not_negative(self.repeatability_mm, "repeatability", "mm")
        require_positive(self.resolution_mm, "resolution", "mm")


@dataclass(frozen=True, slots=True)
class MeanUncertainty:
    """Uncertainty of the mean of `readings` readings (mm, upwards to the nanometre), k beside it."""

    readings: int
    standard_mm: Decimal
    expanded_mm: Decimal
    coverage_factor: Decimal
    resolution_mm: Decimal
    assumptions: tuple[str, ...]

    @property
    def in_use(self) -> MeasurementUncertainty:
        """The same as the decision rules take it."""
        return MeasurementUncertainty(
            expanded_mm=self.expanded_mm,
            resolution_mm=self.resolution_mm,
            coverage_factor=self.coverage_factor,
        )


@dataclass(frozen=True, slots=True)
class Conformity:
    """The probability (0 to 1, down to a millionth) that the diameter is within the limits."""

    probability: Decimal
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AcceptanceZone:
    """Values measured from `lower_mm` to `upper_mm` conform with the wanted probability at least."""

    lower_mm: Decimal
    upper_mm: Decimal
    guard_mm: Decimal
    probability: Decimal
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadingPlan:
    """How many diameters to read on a crimp of so many dies, and the turn (degrees) between two."""

    dies: int
    readings: int
    turn_deg: Decimal
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def repeatability_mm(readings_mm: Sequence[Decimal]) -> Decimal:
    """Standard deviation (n − 1) of repeated readings at one place, mm, to the nanometre (GUM 4.2.2).

    Raises `OutOfRange` for fewer than two, and for a reading that is not above zero.
    """
    if len(readings_mm) < 2:
        raise OutOfRange(
            "One reading says nothing about repeatability. Measure the same place several times.",
            argument="repeated readings",
            allowed="2 or more",
            got=len(readings_mm),
        )
    exact = [Fraction(require_positive(reading, "reading", "mm")) for reading in readings_mm]
    mean = sum(exact, Fraction(0)) / len(exact)
    variance = sum(((reading - mean) ** 2 for reading in exact), Fraction(0)) / (len(exact) - 1)
    return trim(rounded(Fraction(_root(variance)), _NANOMETRE_PLACES))


def uncertainty_of_mean(
    parts: UncertaintyParts, readings: int, coverage_factor: Decimal = Decimal(2)
) -> MeanUncertainty:
    """u² = calibration² + step²/12 + repeatability²/n, and U = k·u (GUM 5.1.2, 4.2.3, 4.3.7, 6.2.1).

    Only the repeatability falls with n: what is wrong with the gauge is wrong in all readings, and they
    may all be rounded the same way. Raises `OutOfRange` for no readings or a factor that is not above zero.
    """
    if readings < 1:
        raise OutOfRange(
            "A mean is of one reading at least.",
            argument="number of readings",
            allowed="1 or more",
            got=readings,
        )
    require_positive(coverage_factor, "coverage factor", "")
    square = (
        Fraction(parts.calibration_mm) ** 2
        + Fraction(parts.resolution_mm) ** 2 / 12
        + Fraction(parts.repeatability_mm) ** 2 / readings
    )
    standard = _root(square)
    return MeanUncertainty(
        readings=readings,
        standard_mm=_upwards(Fraction(standard)),
        expanded_mm=_upwards(Fraction(coverage_factor) * Fraction(standard)),
        coverage_factor=coverage_factor,
        resolution_mm=parts.resolution_mm,
        assumptions=(
            SAME_PLACE,
            "The parts are independent. Calibration and resolution stay however many readings there are.",
        ),
    )


def probability_of_conformity(
    measured_mm: Decimal, lower_mm: Decimal, upper_mm: Decimal, standard_uncertainty_mm: Decimal
) -> Conformity:
    """Φ((upper − x)/u) − Φ((lower − x)/u), the share of what is possible that is within the limits.

    `measured_mm` is the judged value x and `standard_uncertainty_mm` its u = U/k. JCGM 106 7.4, from
    memory. Raises `NotANumber`, or `OutOfRange` for limits out of order and a u that is not above zero.
    """
    require_positive(measured_mm, "measured diameter", "mm")
    half = _half_width(lower_mm, upper_mm)
    u = require_positive(standard_uncertainty_mm, "standard uncertainty", "mm")
    off = abs(Fraction(measured_mm) - (Fraction(lower_mm) + half))
    return Conformity(
        probability=trim(rounded_down(Fraction(_within(off, half, Fraction(u))), _PROBABILITY_PLACES)),
        assumptions=(NORMAL, NO_PRIOR),
        cautions=(NOT_A_VERDICT,),
    )


def acceptance_zone(
    lower_mm: Decimal, upper_mm: Decimal, standard_uncertainty_mm: Decimal, probability: Decimal
) -> AcceptanceZone:
    """The measured values that conform with `probability` at least (above 0.5, below 1).

    Both limits count, so it is narrower than one limit alone would make it if u is large. Rounded
    inwards to the nanometre. Raises `OutOfRange` if not even the middle is sure enough, with the largest
    u that would do in `allowed`.
    """
    half = _half_width(lower_mm, upper_mm)
    u = Fraction(require_positive(standard_uncertainty_mm, "standard uncertainty", "mm"))
    wanted = _wanted(probability)
    if _within(Fraction(0), half, u) < wanted:
        most = plain(rounded_down(half / Fraction(NormalDist().inv_cdf((1 + wanted) / 2)), _NANOMETRE_PLACES))
        raise OutOfRange(
            f"With a standard uncertainty of {plain(standard_uncertainty_mm)} mm nothing within these limits "
            f"is {plain(probability * 100)} % sure. At most {most} mm is. Take a better gauge.",
            argument="standard uncertainty",
            unit="mm",
            allowed=f"at most {most} mm",
            got=standard_uncertainty_mm,
        )
    inside, outside = Fraction(0), half
    for _ in range(_HALVINGS):
        middle = (inside + outside) / 2
        if _within(middle, half, u) >= wanted:
            inside = middle
        else:
            outside = middle
    guard = min(_upwards(half - inside), _decimal(half))
    return AcceptanceZone(
        lower_mm=trim(lower_mm + guard),
        upper_mm=trim(upper_mm - guard),
        guard_mm=guard,
        probability=probability,
        assumptions=(NORMAL, NO_PRIOR),
        cautions=(NOT_A_VERDICT,),
    )


def plan_readings(dies: int) -> ReadingPlan:
    """Half as many diameters as dies: each pair of opposed flats once, turning by one die between two.

    Across flats, not ridges: common practice, no source. Raises `OutOfRange` for an odd number of dies,
    which has no opposed flats, and for fewer than four.
    """
    if dies < FEWEST_DIES or dies % 2:
        raise OutOfRange(
            f"A set of {dies} dies leaves no opposed flats to measure across. Enter an even number of dies, "
            "or take the number of readings from the chart.",
            argument="number of dies",
            allowed=f"an even number from {FEWEST_DIES}",
            got=dies,
        )
    readings = dies // 2
    return ReadingPlan(
        dies=dies,
        readings=readings,
        turn_deg=trim(rounded(Fraction(360, dies), 2)),
        assumptions=("Each reading is across two opposed flats at the middle of the crimp, not on ridges.",),
        cautions=()
        if readings >= ENOUGH_READINGS
        else (f"{readings} readings say little about ovality (common practice, no source).",),
    )


def _within(off: Fraction, half: Fraction, u: Fraction) -> float:
    """Probability within ±half of the middle for a value `off` from it; tails keep small numbers exact."""
    below, above = _tail((off + half) / u), _tail((half - off) / u)
    return 1 - below - above if off <= half else _tail((off - half) / u) - below


def _tail(z: Fraction) -> float:
    """Probability beyond z standard deviations of the normal distribution, z signed."""
    return erfc(float(max(-_FAR, min(z, _FAR))) / sqrt(2)) / 2


def _half_width(lower_mm: Decimal, upper_mm: Decimal) -> Fraction:
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
    return (Fraction(upper_mm) - Fraction(lower_mm)) / 2


def _wanted(probability: Decimal) -> float:
    if not Decimal("0.5") < require_number(probability, "wanted probability", "") < 1:
        raise OutOfRange(
            f"A wanted probability is above 0.5 and below 1; {plain(probability)} is not. 95 % is 0.95.",
            argument="wanted probability",
            allowed="above 0.5, below 1",
            got=probability,
        )
    return float(probability)


def _root(square: Fraction) -> Decimal:
    return _decimal(square).sqrt()


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _upwards(value: Fraction) -> Decimal:
    return trim(rounded_down(-value, _NANOMETRE_PLACES).copy_negate())
