from decimal import Decimal

import pytest

from shop.drawings.readings import Reading, ReadingsDrawing, draw_readings
from tests.drawings.reading import Drawn

D = Decimal


def around(*readings: Reading) -> ReadingsDrawing:
    return ReadingsDrawing("End A: set 17", "days", D("23.25"), D("23.40"), D("23.55"), readings)


def test_limits_and_target_are_drawn_from_the_largest_down() -> None:
    drawn = Drawn(draw_readings(around(Reading(D(0), D("23.4"), passes=True))))
    upper, target, lower = (float(line.attrib["y1"]) for line in drawn.all("fb-limit"))
    assert upper < target < lower
    assert drawn.text("fb-limit-label") == "upper limit target lower limit"


def test_a_reading_stands_at_its_time_and_diameter() -> None:
    drawn = Drawn(
        draw_readings(
            around(*(Reading(D(day), mean, passes=True) for day, mean in ((-2, D("23.40")), (4, D("23.55")))))
        )
    )
    first, second = drawn.all("fb-passes")
    upper, target, _ = (float(line.attrib["y1"]) for line in drawn.all("fb-limit"))
    assert float(first.attrib["cx"]) < float(second.attrib["cx"])
    assert float(first.attrib["cy"]) == pytest.approx(target, abs=0.01)
    assert float(second.attrib["cy"]) == pytest.approx(upper, abs=0.01)


def test_what_did_not_pass_is_a_cross_and_the_assembly_itself_has_a_ring() -> None:
    drawn = Drawn(
        draw_readings(
            around(
                Reading(D(-1), D("23.60"), passes=False),
                Reading(D(0), D("23.41"), passes=True, is_own=True),
            )
        )
    )
    assert len(drawn.all("fb-does-not-pass")) == 2  # two strokes
    assert len(drawn.all("fb-passes")) == len(drawn.all("fb-own")) == 1
    assert drawn.one("fb-own").attrib["cx"] == drawn.one("fb-passes").attrib["cx"]
    assert drawn.text("fb-own-label") == "this one"


def test_everything_is_on_the_sheet_however_far_out_it_lies() -> None:
    wild = [Reading(D(day), D(mean), passes=False) for day, mean in ((-400, "9.8"), (0, "23.4"), (900, "40"))]
    drawn = Drawn(draw_readings(around(*wild)))
    width, height = drawn.size
    for line in drawn.root.iter("{http://www.w3.org/2000/svg}line"):
        assert 0 <= float(line.attrib["x1"]) <= width
        assert 0 <= float(line.attrib["y1"]) <= height


def test_without_readings_the_limits_stand_alone() -> None:
    drawn = Drawn(draw_readings(around()))
    assert len(drawn.all("fb-limit")) == 3
    assert not drawn.all("fb-passes")
