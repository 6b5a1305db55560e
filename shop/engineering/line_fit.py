"""A straight line through measured points by least squares, and how far it can be trusted.

Sources, from memory: the normal equations of simple linear regression and their standard errors (any
textbook of statistics); Student's t for whole degrees of freedom as a finite series, Abramowitz and
Stegun 26.7.3 and 26.7.4.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import atan, cos, pi, sin, sqrt

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_finite, require_number, rounded, trim

FEWEST_POINTS = 3  # two give a line without an error
_PLACES = 9
_HALVINGS = 80


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its standard error, in the same unit, to nine decimals."""

    value: Decimal
    standard_error: Decimal


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope · x. `residual_sd` is how far a point lies from the line (n − 2)."""

    slope: Estimate
    intercept: Estimate
    residual_sd: Decimal
    points: int
    lowest_x: Decimal
    highest_x: Decimal
    _mean_x: Fraction
    _sum_squares_x: Fraction
    _exact: tuple[Fraction, Fraction]
    _residual_variance: Fraction

    @property
    def degrees_of_freedom(self) -> int:
        return self.points - 2

    def at(self, x: Decimal) -> Estimate:
        """Where the next point is expected, and the standard error of that one point (not of the line).

        s² (1 + 1/n + (x − mean)²/Sxx). Not refused outside of the points: the caller says what that means.
        Raises `NotANumber`.
        """
        away = Fraction(require_number(x, "x", "")) - self._mean_x
        variance = self._residual_variance * (
            1 + Fraction(1, self.points) + away * away / self._sum_squares_x
        )
        intercept, slope = self._exact
        return _estimate(intercept + slope * Fraction(x), variance)


def fit_line(points: Sequence[tuple[Decimal, Decimal]]) -> Line:
    """The least-squares line through (x, y), calculated in fractions and rounded once.

    Raises `OutOfRange` for fewer than three points or a single x, `NotANumber` for what is no number.
    """
    if len(points) < FEWEST_POINTS:
        raise OutOfRange(
            f"A line with an error needs {FEWEST_POINTS} points and there are {len(points)}. Measure more.",
            argument="points",
            allowed=f"{FEWEST_POINTS} or more",
            got=len(points),
        )
    xs = [Fraction(require_number(x, "x", "")) for x, _ in points]
    ys = [Fraction(require_number(y, "y", "")) for _, y in points]
    count = len(points)
    mean_x, mean_y = sum(xs, Fraction(0)) / count, sum(ys, Fraction(0)) / count
    squares = sum(((x - mean_x) ** 2 for x in xs), Fraction(0))
    if squares == 0:
        raise OutOfRange(
            f"All points are at {plain(points[0][0])}; that gives no slope. Measure at another value too.",
            argument="points",
            allowed="two different values of x or more",
            got=points[0][0],
        )
    slope = sum(((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)), Fraction(0)) / squares
    intercept = mean_y - slope * mean_x
    residuals = (y - intercept - slope * x for x, y in zip(xs, ys, strict=True))
    variance = sum((residual**2 for residual in residuals), Fraction(0)) / (count - 2)
    return Line(
        slope=_estimate(slope, variance / squares),
        intercept=_estimate(intercept, variance * (Fraction(1, count) + mean_x**2 / squares)),
        residual_sd=_estimate(Fraction(0), variance).standard_error,
        points=count,
        lowest_x=min(x for x, _ in points),
        highest_x=max(x for x, _ in points),
        _mean_x=mean_x,
        _sum_squares_x=squares,
        _exact=(intercept, slope),
        _residual_variance=variance,
    )


def student_within(t: float, degrees_of_freedom: int) -> float:
    """Probability that Student's t lies within ±t (Abramowitz and Stegun 26.7.3 and 26.7.4).

    Raises `NotANumber`, or `OutOfRange` for a negative t and for less than one degree of freedom.
    """
    require_finite(t, "t", "", 0)
    angle = atan(t / sqrt(_degrees(degrees_of_freedom)))
    square = cos(angle) ** 2
    odd = degrees_of_freedom % 2
    term = cos(angle) if odd else 1.0
    total = 0.0
    for step in range(2 + odd, degrees_of_freedom + 1, 2):
        total += term
        term *= square * (step - 1) / step
    if odd:
        return 2 / pi * (angle + sin(angle) * total)
    return sin(angle) * total


def student_t(confidence: Decimal, degrees_of_freedom: int) -> Decimal:
    """The t that holds `confidence` (above 0, below 1) on both sides together, to nine decimals.

    Raises `OutOfRange` for another confidence, and for less than one degree of freedom.
    """
    if not 0 < require_number(confidence, "confidence", "", "above 0, below 1") < 1:
        raise OutOfRange(
            f"A confidence is above 0 and below 1; {plain(confidence)} is not. 95 % is 0.95.",
            argument="confidence",
            allowed="above 0, below 1",
            got=confidence,
        )
    _degrees(degrees_of_freedom)
    low, high = 0.0, 1.0
    while student_within(high, degrees_of_freedom) < confidence:
        high *= 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if student_within(middle, degrees_of_freedom) < confidence:
            low = middle
        else:
            high = middle
    return trim(Decimal(high).quantize(Decimal(1).scaleb(-_PLACES)))


def _degrees(degrees_of_freedom: int) -> int:
    if degrees_of_freedom < 1:
        raise OutOfRange(
            "Student's t needs one degree of freedom at least. Measure more.",
            argument="degrees of freedom",
            allowed="1 or more",
            got=degrees_of_freedom,
        )
    return degrees_of_freedom


def _estimate(value: Fraction, variance: Fraction) -> Estimate:
    root = (Decimal(variance.numerator) / Decimal(variance.denominator)).sqrt()
    return Estimate(_rounded(value), _rounded(Fraction(root)))


def _rounded(value: Fraction) -> Decimal:
    return trim(rounded(value, _PLACES))
