from dataclasses import replace
from decimal import Decimal

import pytest

from shop.drawings.curve import CurveDrawing, Stretch, draw_curve, tick_step
from tests.drawings.reading import Drawn

D = Decimal
LOSS = CurveDrawing(
    title="Loss against flow: 0.75 bar at 60 l/min",
    x_label="flow, l/min",
    y_label="loss, bar",
    stretches=(
        Stretch("laminar", tuple((D(x), D(x) / 100) for x in (10, 20, 30, 40))),
        Stretch("transitional", tuple((D(x), D(x) / 80) for x in (50, 60, 70)), is_sure=False),
    ),
    at=(D(60), D("0.75")),
    at_label="0.75 bar",
)


def drawn(curve: CurveDrawing) -> Drawn:
    return Drawn(draw_curve(curve))


def points(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (pair.split() for pair in path.lstrip("M").split("L"))]


def test_the_point_lies_on_its_curve() -> None:
    drawing = drawn(LOSS)
    curve = points(drawing.all("fb-stretch")[1].attrib["d"])
    centre = drawing.number("fb-at", "cx"), drawing.number("fb-at", "cy")
    assert curve[1] == pytest.approx(centre, abs=0.01)


def test_both_axes_are_linear_and_begin_at_nought() -> None:
    drawing = drawn(LOSS)
    x_at, y_at = drawing.number("fb-at", "cx"), drawing.number("fb-at", "cy")
    origin, right = (drawing.all("fb-axis")[0].attrib[name] for name in ("x1", "x2"))
    top, bottom = (float(drawing.all("fb-axis")[1].attrib[name]) for name in ("y2", "y1"))
    ends = [float(drawing.all(name)[-1].text or "") for name in ("fb-tick-x", "fb-tick-y")]
    assert (x_at - float(origin)) / (float(right) - float(origin)) * ends[0] == pytest.approx(60, abs=0.01)
    assert (bottom - y_at) / (bottom - top) * ends[1] == pytest.approx(0.75, abs=0.001)


def test_a_stretch_that_is_not_sure_is_broken() -> None:
    sure, unsure = drawn(LOSS).all("fb-stretch")
    assert "stroke-dasharray" not in sure.attrib
    assert "stroke-dasharray" in unsure.attrib


def test_a_jump_is_left_open() -> None:
    laminar, turbulent = (points(path.attrib["d"]) for path in drawn(LOSS).all("fb-stretch"))
    assert laminar[-1] != turbulent[0]


def test_it_says_what_it_shows() -> None:
    drawing = drawn(LOSS)
    assert drawing.title == LOSS.title
    assert {"flow, l/min", "loss, bar", "laminar", "transitional", "0.75 bar"} <= set(drawing.texts)


@pytest.mark.parametrize("flow", ["0.004", "1", "3", "60", "99999"])
def test_axes_have_a_few_round_ticks_for_any_quantity(flow: str) -> None:
    drawing = drawn(replace(LOSS, stretches=(), at=(D(flow), D("0.75"))))
    ticks = [D(tick.text or "") for tick in drawing.all("fb-tick-x")]
    assert 3 <= len(ticks) <= 7
    assert ticks[-1] >= D(flow)
    assert {tick.normalize().as_tuple().digits for tick in (tick_step(D(flow)),)} <= {(1,), (2,), (5,)}
