from dataclasses import replace
from decimal import Decimal

import pytest

from shop.drawings.axis import axis_over
from shop.drawings.stop_line import Expected, StopLineDrawing, draw_stop_line
from shop.drawings.strip import StripDrawing, draw_strip
from tests.drawings.reading import Drawn

D = Decimal
STRIP = StripDrawing(
    title="Five pieces: 3.2 mm longer than wanted",
    label="longer than wanted, mm",
    values=(D(3), D(4), D(2), D(3), D(4)),
    mean=D("3.2"),
    low=D("1.75"),
    high=D("4.65"),
)
STOPS = StopLineDrawing(
    title="Crimp diameter against stop thickness",
    crimps=((D(10), D("20.2")), (D(14), D("21.6")), (D(18), D("23.0"))),
    line=((D(10), D("20.2")), (D(18), D("23.0"))),
    expected=Expected(D(16), D("22.3"), D("22.2"), D("22.4")),
    limits=(D("22.1"), D("22.5")),
)


def strip(drawing: StripDrawing = STRIP) -> Drawn:
    return Drawn(draw_strip(drawing))


def stops(drawing: StopLineDrawing = STOPS) -> Drawn:
    return Drawn(draw_stop_line(drawing))


def test_every_piece_is_a_dot_and_those_alike_stand_on_each_other() -> None:
    dots = strip().all("fb-piece")
    assert len(dots) == 5
    places = {(dot.attrib["cx"], dot.attrib["cy"]) for dot in dots}
    assert len(places) == 5
    assert len({dot.attrib["cx"] for dot in dots}) == 3


def test_dots_mean_and_nought_are_on_one_scale() -> None:
    drawing = strip()
    nought, mean = drawing.number("fb-nought", "x1"), drawing.number("fb-mean", "x1")
    four = max(float(dot.attrib["cx"]) for dot in drawing.all("fb-piece"))
    assert (mean - nought) / (four - nought) == pytest.approx(3.2 / 4, abs=1e-4)
    interval = drawing.one("fb-interval").attrib
    assert (float(interval["x1"]) - nought) / (four - nought) == pytest.approx(1.75 / 4, abs=1e-4)
    assert (float(interval["x2"]) - nought) / (four - nought) == pytest.approx(4.65 / 4, abs=1e-4)


def test_too_few_pieces_have_no_mean_drawn() -> None:
    few = strip(replace(STRIP, values=(D(-1),), mean=None, low=None, high=None))
    assert few.all("fb-mean") == []
    assert len(few.all("fb-piece")) == 1


def test_a_strip_and_a_line_say_what_they_show() -> None:
    assert strip().title == STRIP.title
    assert "longer than wanted, mm" in strip().texts
    assert {"stop thickness, mm", "crimp diameter, mm", "lower limit", "upper limit"} <= set(stops().texts)


def test_crimps_lie_on_the_line_that_goes_through_them() -> None:
    drawing = stops()
    path = drawing.one("fb-line").attrib["d"].lstrip("M").split("L")
    ends = [tuple(map(float, pair.split())) for pair in path]
    dots = [(float(dot.attrib["cx"]), float(dot.attrib["cy"])) for dot in drawing.all("fb-crimp")]
    assert (dots[0], dots[-1]) == (pytest.approx(ends[0]), pytest.approx(ends[1]))
    middle = [(a + b) / 2 for a, b in zip(*ends, strict=True)]
    assert list(dots[1]) == pytest.approx(middle, abs=0.002)


def test_what_is_expected_lies_between_the_limits_that_it_meets() -> None:
    drawing = stops()
    lower, upper = (float(mark.attrib["y1"]) for mark in drawing.all("fb-limit"))
    bar = drawing.one("fb-expected").attrib
    assert upper < float(bar["y2"]) < float(bar["y1"]) < lower  # y points down


def test_without_a_question_there_is_the_line_alone() -> None:
    drawing = stops(replace(STOPS, expected=None, limits=None))
    assert drawing.all("fb-expected") == drawing.all("fb-limit") == []


@pytest.mark.parametrize("values", [("5", "5"), ("-0.01", "0.02"), ("20.2", "23"), ("-1000", "4000")])
def test_an_axis_has_its_values_inside_and_a_few_ticks(values: tuple[str, ...]) -> None:
    axis = axis_over([D(value) for value in values], 0, 500)
    assert all(0 < axis.place(D(value)) < 500 for value in values)
    assert 2 <= len(axis.ticks) <= 7
    assert all(axis.low <= tick <= axis.high for tick in axis.ticks)
