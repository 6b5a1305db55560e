from decimal import Decimal

import pytest

from shop.engineering.errors import NotANumber, OutOfRange
from shop.engineering.orientation import (
    angle_off,
    check_angle,
    orientation_tolerance_deg,
)


def test_a_full_turn_is_none() -> None:
    assert angle_off(Decimal(0), Decimal(360)) == 0


def test_90_and_270_are_not_the_same() -> None:
    # MIL-DTL-83796/5 Figure 3: measured in the wrong direction it makes a reject part.
    assert angle_off(Decimal(90), Decimal(270)) == 180


@pytest.mark.parametrize("angle", ["-1", "360.1", "450"])
def test_an_angle_is_within_a_turn(angle: str) -> None:
    with pytest.raises(OutOfRange):
        check_angle(Decimal(angle))


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(NotANumber):
        check_angle(Decimal("NaN"))


@pytest.mark.parametrize(
    ("measured", "wanted", "off"), [(2, 359, 3), (359, 2, 3), (0, 360, 0), (30, 25, 5), (350, 170, 180)]
)
def test_an_angle_is_off_by_the_shorter_way_round(measured: int, wanted: int, off: int) -> None:
    assert angle_off(Decimal(measured), Decimal(wanted)) == off


@pytest.mark.parametrize(("length_mm", "degrees"), [("100", 3), ("610", 3), ("610.1", 5), ("3000", 5)])
def test_it_is_3_degrees_up_to_610_mm_and_5_above(length_mm: str, degrees: int) -> None:
    # MIL-DTL-83796/5 Figure 3.
    assert orientation_tolerance_deg(Decimal(length_mm)) == degrees


def test_an_assembly_without_length_has_no_tolerance() -> None:
    with pytest.raises(OutOfRange):
        orientation_tolerance_deg(Decimal(0))
