"""The angle between two bent ends.

Look along the hose with the near end's centreline at six o'clock and measure counter-clockwise to the
centreline of the far end (MIL-DTL-83796/5 Figure 3, which points to SAE J517). Measured the other way
round it makes a reject part: 90° and 270° are never the same, 0° and 360° are. Seen from the other end it
is the same angle.
"""

from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_number, require_positive

FULL_TURN = Decimal(360)
SHORT_UP_TO_MM = Decimal(610)
# Common practice, no source: a hose twists out of a few degrees only if it is long for its thickness.
DIAMETERS_THAT_TWIST = 10


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

    @property
    def is_from_near_end(self) -> bool:
        """Whether it begins at the near end, which is then at six o'clock; else at the far end, at twelve."""
        return self in {AngleConvention.NEAR_SIX_CCW, AngleConvention.NEAR_SIX_CW}

    @property
    def is_counter_clockwise(self) -> bool:
        return self in {AngleConvention.NEAR_SIX_CCW, AngleConvention.FAR_TWELVE_CCW}


_CONVENTION_WORDS = {
    AngleConvention.NEAR_SIX_CCW: "near end at six o'clock, counter-clockwise to the far end",
    AngleConvention.NEAR_SIX_CW: "near end at six o'clock, clockwise to the far end",
    AngleConvention.FAR_TWELVE_CCW: "far end at twelve o'clock, counter-clockwise to the near end",
    AngleConvention.FAR_TWELVE_CW: "far end at twelve o'clock, clockwise to the near end",
}


def angle_as_we_count(angle: Decimal, convention: AngleConvention) -> Decimal:
    """The angle (degrees, 0 up to but not 360) near end at six, counter-clockwise to the far end.

    From the far end to the near one is the way back, and so is the other sense: each turns the angle into
    360° less it, and both together leave it. The same turns it back. Raises as `check_angle`.
    """
    turned = check_angle(angle) % FULL_TURN
    as_we_count = convention.is_from_near_end is convention.is_counter_clockwise
    return turned if as_we_count else (FULL_TURN - turned) % FULL_TURN


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


def seen_from_the_far_end(angle: Decimal) -> Decimal:
    """The angle (degrees, 0 up to but not 360) of the same assembly with near and far end exchanged.

    From the far end to the near one is the way back, and seen from the other side counter-clockwise is
    clockwise: each turns the angle into 360° less it, so reversing the ends keeps it. Raises as
    `check_angle`.
    """
    way_back = (FULL_TURN - check_angle(angle)) % FULL_TURN
    return (FULL_TURN - way_back) % FULL_TURN


def angle_off(measured: Decimal, wanted: Decimal) -> Decimal:
    """How far the measured angle is from the wanted one (degrees, 0 to 180, the shorter way round).

    Raises as `check_angle`.
    """
    apart = abs(check_angle(measured) - check_angle(wanted)) % FULL_TURN
    return min(apart, FULL_TURN - apart)


def orientation_tolerance_deg(length_mm: Decimal) -> Decimal:
    """Degrees either way: 3 up to 610 mm of assembly length, 5 above (MIL-DTL-83796/5 Figure 3).

    Raises `NotANumber`, or `OutOfRange` for a length that is not above zero.
    """
    require_positive(length_mm, "overall length", "mm")
    return Decimal(3) if length_mm <= SHORT_UP_TO_MM else Decimal(5)


def takes_up_error(free_hose_mm: Decimal, outside_diameter_mm: Decimal) -> bool:
    """Whether the hose can twist out of a small error of the angle when it is fitted.

    `free_hose_mm` lies between the ferrules. Less than ten outside diameters of it can't (common practice,
    no source), and twisting shortens the life of any hose. Raises `NotANumber` or `OutOfRange`.
    """
    require_not_negative(free_hose_mm, "free hose between the ferrules", "mm")
    require_positive(outside_diameter_mm, "outside diameter", "mm")
    return free_hose_mm >= DIAMETERS_THAT_TWIST * outside_diameter_mm
