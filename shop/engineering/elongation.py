"""Hose gets longer or shorter under pressure.

Sources: the test of ISO 6605:2017 5.3 (500 mm marked on an unpressurised hose and measured again at working
pressure); +2 % to -4 % to allow for (FAA AC 43.13-1B Figure 9-9); metal ends don't take part (same figure).
The formula 100 (l1 − l0)/l0: from memory.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import (
    plain,
    require_not_negative,
    require_positive,
    rounded,
    rounded_down,
    trim,
)

LONGEST_PERCENT = Decimal(2)
SHORTEST_PERCENT = Decimal(-4)
MARKED_MM = Decimal(500)
_NANOMETRE_PLACES = 6

ENDS_STAY = "Only the hose between the ferrules changes; metal ends keep their length."
FIT_WITH_SLACK = (
    "Hose that is fitted tight pulls on its ends when it shortens. Leave slack, and follow the makers' "
    "instructions for the routing."
)


@dataclass(frozen=True, slots=True)
class ChangeLimits:
    """Per cent that the length may change by, shorter (negative) to longer; the defaults are FAA's.

    Raises `NotANumber`, or `OutOfRange` if they are out of order or beyond all of the length.
    """

    shortest: Decimal = SHORTEST_PERCENT
    longest: Decimal = LONGEST_PERCENT

    def __post_init__(self) -> None:
        require_not_negative(self.longest, "allowed lengthening", "%")
        require_not_negative(self.shortest.copy_negate(), "allowed shortening", "%")
        if self.shortest <= -100:
            raise OutOfRange(
                f"A hose can't shorten by {plain(self.shortest.copy_abs())} % of its length.",
                argument="allowed shortening",
                unit="%",
                allowed="less than 100 %",
                got=self.shortest,
            )


FAA_LIMITS = ChangeLimits()


@dataclass(frozen=True, slots=True)
class LengthChange:
    """A tested change in per cent, to four decimals, and whether it is within the limits (exactly judged)."""

    percent: Decimal
    within: bool
    reason: str
    assumptions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LengthUnderPressure:
    """The shortest and the longest that an assembly may be under pressure, overall, mm."""

    shortest_mm: Decimal
    longest_mm: Decimal
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def length_change(
    measured_mm: Decimal, marked_mm: Decimal = MARKED_MM, limits: ChangeLimits = FAA_LIMITS
) -> LengthChange:
    """100 (l1 − l0)/l0 of a marked length l0, measured again at working pressure as l1 (mm).

    Raises `NotANumber` or `OutOfRange` for a length that is not above zero.
    """
    require_positive(measured_mm, "length under pressure", "mm")
    require_positive(marked_mm, "marked length", "mm")
    change = 100 * (Fraction(measured_mm) - Fraction(marked_mm)) / Fraction(marked_mm)
    within = Fraction(limits.shortest) <= change <= Fraction(limits.longest)
    percent = trim(rounded(change, 4))
    range_ = f"{plain(limits.shortest)} to +{plain(limits.longest)} %"
    return LengthChange(
        percent=percent,
        within=within,
        reason=f"The length changes by {percent:+f} %, {'within' if within else 'outside'} {range_}.",
        assumptions=(
            "The hose was unused and held at working pressure for 30 s, released for 30 s, marked, and held "
            "for 30 s again before measuring.",
        ),
    )


def length_under_pressure(
    overall_mm: Decimal, metal_mm: Decimal, limits: ChangeLimits = FAA_LIMITS
) -> LengthUnderPressure:
    """Overall length under pressure, of which `metal_mm` are both ends together with their ferrules.

    Exact to the nanometre, rounded outwards. Raises `NotANumber`, or `OutOfRange` if the ends leave no hose.
    """
    require_positive(overall_mm, "overall length", "mm")
    require_not_negative(metal_mm, "length of both ends", "mm")
    if metal_mm >= overall_mm:
        raise OutOfRange(
            f"Both ends take {plain(metal_mm)} mm of {plain(overall_mm)} mm, which leaves no hose.",
            argument="length of both ends",
            unit="mm",
            allowed=f"less than {plain(overall_mm)} mm",
            got=metal_mm,
        )
    hose = Fraction(overall_mm) - Fraction(metal_mm)
    shortest = Fraction(overall_mm) + hose * Fraction(limits.shortest) / 100
    longest = Fraction(overall_mm) + hose * Fraction(limits.longest) / 100
    return LengthUnderPressure(
        shortest_mm=trim(rounded_down(shortest, _NANOMETRE_PLACES)),
        longest_mm=trim(rounded_down(-longest, _NANOMETRE_PLACES).copy_negate()),
        assumptions=(ENDS_STAY,),
        cautions=(FIT_WITH_SLACK,),
    )
