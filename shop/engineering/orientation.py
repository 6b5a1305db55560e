"""The angle between two bent ends.

Look along the hose with the near end's centreline at six o'clock and measure counter-clockwise to the
centreline of the far end (MIL-DTL-83796/5 Figure 3, which points to SAE J517). Measured the other way
round it makes a reject part: 90° and 270° are never the same, 0° and 360° are.
"""

from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_number, require_positive

FULL_TURN = Decimal(360)
SHORT_UP_TO_MM = Decimal(610)


class AngleConvention(StrEnum):
    """How somebody measures the angle between two bent ends, looking along the hose from the near end.

    The first is MIL-DTL-83796/5's; that others are in use is from memory.
    """

    NEAR_SIX_CCW = "near_six_ccw"
    NEAR_SIX_CW = "near_six_cw"
    FAR_TWELVE_CCW = "far_twelve_ccw"
    FAR_TWELVE_CW = "far_twelve_cw"

    @property
    def words(self) -> str:
        return _CONVENTION_WORDS[self]


_CONVENTION_WORDS = {
    AngleConvention.NEAR_SIX_CCW: "near end at six o'clock, counter-clockwise to the far end",
    AngleConvention.NEAR_SIX_CW: "near end at six o'clock, clockwise to the far end",
    AngleConvention.FAR_TWELVE_CCW: "far end at twelve o'clock, counter-clockwise to the near end",
    AngleConvention.FAR_TWELVE_CW: "far end at twelve o'clock, clockwise to the near end",
}
_AS_WE_COUNT = frozenset({AngleConvention.NEAR_SIX_CCW, AngleConvention.FAR_TWELVE_CW})


def angle_as_we_count(angle: Decimal, convention: AngleConvention) -> Decimal:
    """The angle (degrees, 0 up to but not 360) near end at six, counter-clockwise to the far end.

    From the far end to the near one is the way back, and so is the other sense: each turns the angle into
    360° less it, and both together leave it. The same turns it back. Raises as `check_angle`.
    """
    turned = check_angle(angle) % FULL_TURN
    return turned if convention in _AS_WE_COUNT else (FULL_TURN - turned) % FULL_TURN


def check_angle(angle: Decimal) -> Decimal:
    """The angle in degrees, as given. Raises `NotANumber`, or `OutOfRange` outside 0 to 360."""
    if not 0 <= require_number(angle, "angle", "°") <= FULL_TURN:
        raise OutOfRange(
            f"An angle between the ends is from 0 to 360°; {plain(angle)}° is not.",
            argument="angle",
            unit="°",
            allowed="0 to 360°",
            got=angle,
        )
    return angle


def angle_off(measured: Decimal, wanted: Decimal) -> Decimal:
    """How far the measured angle is from the wanted one (degrees, 0 to 180, the shorter way round)."""
    apart = abs(check_angle(measured) - check_angle(wanted)) % FULL_TURN
    return min(apart, FULL_TURN - apart)


def orientation_tolerance_deg(length_mm: Decimal) -> Decimal:
    """Degrees either way: 3 up to 610 mm of assembly length, 5 above (MIL-DTL-83796/5 Figure 3)."""
    require_positive(length_mm, "overall length", "mm")
    return Decimal(3) if length_mm <= SHORT_UP_TO_MM else Decimal(5)
