"""The angle between two bent ends.

Look along the hose with the near end's centreline at six o'clock and measure counter-clockwise to the
centreline of the far end (MIL-DTL-83796/5 Figure 3, which points to SAE J517). Measured the other way
round it makes a reject part: 90° and 270° are never the same, 0° and 360° are.
"""

from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_number, require_positive

FULL_TURN = Decimal(360)
SHORT_UP_TO_MM = Decimal(610)


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
