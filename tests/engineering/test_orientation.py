import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import NotANumber, OutOfRange
from shop.engineering.orientation import (
    AngleConvention,
    angle_as_we_count,
    angle_off,
    check_angle,
    orientation_tolerance_deg,
    seen_from_the_far_end,
    takes_up_error,
)
from tests.engineering.outside import outside

ANGLES = st.integers(min_value=0, max_value=3599).map(lambda tenths: Decimal(tenths) / 10)
Vector = tuple[float, float, float]


def turned(point: Vector, degrees: float) -> Vector:
    """The point turned about the hose's axis (z), counter-clockwise for who looks against the axis."""
    x, y, z = point
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    return (x * cosine - y * sine, x * sine + y * cosine, z)


def counter_clockwise(start: Vector, end: Vector, eye: float) -> float:
    """Degrees from one bend to the other as seen from the eye, before the hose (+1) or behind it (-1)."""
    cross, dot = start[0] * end[1] - start[1] * end[0], start[0] * end[0] + start[1] * end[1]
    return math.degrees(math.atan2(eye * cross, dot)) % 360


def clockwise(start: Vector, end: Vector, eye: float) -> float:
    return -counter_clockwise(start, end, eye) % 360


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


@outside(
    angle_as_we_count,
    source="the words of each convention",
    independent="both ends as vectors in space, turned by a rotation matrix and measured by their products",
)
@given(ANGLES, st.integers(min_value=0, max_value=359))
def test_each_way_of_counting_leads_to_the_same_assembly(angle: Decimal, rolled: int) -> None:
    # The hose may lie rolled about its axis in any way; the eye is before the near end.
    near = turned((0.0, -1.0, 0.0), rolled)
    far = turned(near, float(angle))
    measured = {
        AngleConvention.NEAR_SIX_CCW: counter_clockwise(near, far, 1),
        AngleConvention.NEAR_SIX_CW: clockwise(near, far, 1),
        AngleConvention.FAR_TWELVE_CCW: counter_clockwise(far, near, 1),
        AngleConvention.FAR_TWELVE_CW: clockwise(far, near, 1),
    }
    for convention, typed in measured.items():
        counted = angle_as_we_count(Decimal(str(round(typed, 6))), convention)
        assert float(angle_off(counted, angle)) == pytest.approx(0, abs=1e-5)


@outside(
    seen_from_the_far_end,
    source="the convention of MIL-DTL-83796/5 Figure 3, from either end",
    independent="both ends as vectors in space, looked at from the other side",
)
@given(ANGLES)
def test_reversing_the_ends_keeps_the_angle(angle: Decimal) -> None:
    near = (0.0, -1.0, 0.0)
    far = turned(near, float(angle))
    from_behind = counter_clockwise(far, near, -1)
    assert float(angle_off(seen_from_the_far_end(angle), Decimal(str(round(from_behind, 6))))) == (
        pytest.approx(0, abs=1e-5)
    )
    assert seen_from_the_far_end(angle) == angle


@pytest.mark.parametrize("convention", AngleConvention)
@given(angle=ANGLES)
def test_the_same_conversion_leads_back(convention: AngleConvention, angle: Decimal) -> None:
    assert angle_as_we_count(angle_as_we_count(angle, convention), convention) == angle


@pytest.mark.parametrize("convention", AngleConvention)
def test_a_full_turn_is_none_however_it_is_counted(convention: AngleConvention) -> None:
    assert angle_as_we_count(Decimal(360), convention) == angle_as_we_count(Decimal(0), convention) == 0


def test_90_counted_clockwise_is_270() -> None:
    assert angle_as_we_count(Decimal(90), AngleConvention.NEAR_SIX_CW) == 270


@pytest.mark.parametrize(("free_mm", "takes"), [("229.999", False), ("230", True), ("0", False)])
def test_less_than_ten_diameters_of_hose_take_up_no_error(free_mm: str, takes: bool) -> None:
    # Common practice, no source.
    assert takes_up_error(Decimal(free_mm), Decimal(23)) is takes


@pytest.mark.parametrize(("free_mm", "diameter_mm"), [("-1", "23"), ("100", "0"), ("NaN", "23")])
def test_what_is_no_hose_twists_not(free_mm: str, diameter_mm: str) -> None:
    with pytest.raises((OutOfRange, NotANumber)):
        takes_up_error(Decimal(free_mm), Decimal(diameter_mm))
