"""The small clock that says from which end at which hour, and which way round, an angle is counted."""

import math
import re

import pytest

from shop.drawings.clock import EXAMPLE_DEG, draw_convention
from shop.engineering.orientation import AngleConvention
from tests.drawings.reading import Drawn

Case = tuple[AngleConvention, str, float, str, float]
CASES: list[Case] = [
    # Which hand stands where, in degrees counter-clockwise from six o'clock, and where the other is.
    (AngleConvention.NEAR_SIX_CCW, "near", 0, "far", EXAMPLE_DEG),
    (AngleConvention.NEAR_SIX_CW, "near", 0, "far", 360 - EXAMPLE_DEG),
    (AngleConvention.FAR_TWELVE_CCW, "far", 180, "near", 180 + EXAMPLE_DEG),
    (AngleConvention.FAR_TWELVE_CW, "far", 180, "near", 180 - EXAMPLE_DEG),
]


def hand_deg(drawing: Drawn, hand: str) -> float:
    across = drawing.number(f"fb-hand-{hand}", "x2") - drawing.number(f"fb-hand-{hand}", "x1")
    down = drawing.number(f"fb-hand-{hand}", "y2") - drawing.number(f"fb-hand-{hand}", "y1")
    return math.degrees(math.atan2(across, down)) % 360


@pytest.mark.parametrize(("convention", "first", "at", "other", "to"), CASES)
def test_the_hands_stand_where_the_words_say(
    convention: AngleConvention, first: str, at: float, other: str, to: float
) -> None:
    drawing = Drawn(draw_convention(convention))
    assert hand_deg(drawing, first) == pytest.approx(at, abs=0.1)
    assert hand_deg(drawing, other) == pytest.approx(to, abs=0.1)
    assert convention.words in drawing.title


@pytest.mark.parametrize("convention", AngleConvention)
def test_the_arrow_runs_from_the_first_hand_to_the_other_the_way_it_is_counted(
    convention: AngleConvention,
) -> None:
    drawing = Drawn(draw_convention(convention))
    numbers = re.findall(r"-?[0-9.]+", drawing.one("fb-orientation").attrib["d"])
    start, end, sweep = numbers[0:2], numbers[7:9], numbers[6]
    tip = re.findall(r"-?[0-9.]+", drawing.one("fb-arrow").attrib["d"])[:2]
    assert tip == end != start
    assert sweep == ("0" if "counter-clockwise" in convention.words else "1")
    # The tail of the arrow head lies on the arc's side: nearer to its start than the tip is.
    tail = [float(x) for x in re.findall(r"-?[0-9.]+", drawing.one("fb-arrow").attrib["d"])[2:4]]
    assert math.dist(tail, list(map(float, start))) < math.dist(
        list(map(float, tip)), list(map(float, start))
    )
