from dataclasses import replace
from decimal import Decimal

import pytest

from shop.drawings.bars import Bar, BarsDrawing, draw_bars
from tests.drawings.reading import Drawn

D = Decimal
DUTY = BarsDrawing(
    title="Demand 260 bar against a rating of 275 bar",
    label="bar",
    bars=(
        Bar("demand", "working 210 bar + surge 50 bar = 260 bar", (D(210), D(50))),
        Bar("rating", "rating 275 bar", (D(275),)),
        Bar("burst", "burst, at least 1100 bar", (D(1100),), is_hatched=True),
    ),
    limit=D(275),
)


def drawn(bars: BarsDrawing = DUTY) -> Drawn:
    return Drawn(draw_bars(bars))


def test_bars_are_to_one_scale() -> None:
    drawing = drawn()
    [rating], [burst] = drawing.all("fb-rating"), drawing.all("fb-burst")
    assert float(burst.attrib["width"]) / float(rating.attrib["width"]) == pytest.approx(4, abs=1e-4)


def test_the_surge_stands_on_the_working_pressure() -> None:
    working, surge = drawn().all("fb-demand")
    end = float(working.attrib["x"]) + float(working.attrib["width"])
    assert float(surge.attrib["x"]) == pytest.approx(end, abs=0.002)
    assert float(surge.attrib["width"]) / float(working.attrib["width"]) == pytest.approx(5 / 21, abs=1e-4)


def test_the_rating_is_marked_across_every_bar() -> None:
    drawing = drawn()
    [rating] = drawing.all("fb-rating")
    end = float(rating.attrib["x"]) + float(rating.attrib["width"])
    marks = drawing.all("fb-limit")
    assert len(marks) == len(DUTY.bars)
    assert [float(mark.attrib["x1"]) for mark in marks] == pytest.approx([end] * len(marks), abs=0.002)


def test_a_demand_beyond_the_rating_ends_beyond_its_mark() -> None:
    over = replace(DUTY, bars=(Bar("demand", "working 300 bar", (D(300),)), *DUTY.bars[1:]))
    drawing = drawn(over)
    [demand] = drawing.all("fb-demand")
    end = float(demand.attrib["x"]) + float(demand.attrib["width"])
    assert end > float(drawing.all("fb-limit")[0].attrib["x1"])


def test_only_a_bar_that_warns_is_hatched() -> None:
    drawing = drawn()
    assert drawing.one("fb-burst-hatching") is not None
    assert drawing.all("fb-rating-hatching") == []


def test_it_says_what_it_shows() -> None:
    drawing = drawn()
    assert drawing.title == DUTY.title
    assert {bar.words for bar in DUTY.bars} <= set(drawing.texts)


def test_without_a_rating_no_bar_is_marked() -> None:
    assert drawn(replace(DUTY, limit=None)).all("fb-limit") == []
