"""Lengths of routed hose, against hand-worked values and a numerical integration of the drawn path."""

import math
from collections.abc import Callable
from decimal import Decimal

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from shop.engineering.errors import EngineeringError, OutOfRange
from shop.engineering.paths import Arc, Line, Path, Point, Tracer
from shop.engineering.routing import (
    Layout,
    Route,
    bend_route,
    offset_route,
    straight_route,
    u_route,
)
from shop.engineering.routing_shapes import FixedEnd, Hose
from tests.engineering.outside import outside

HOSE = Hose(Decimal(23), Decimal(180))  # DN 12 two-braid: OD 23 mm, inside radius 180 mm
WITH_ENDS = Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(70))
BY_HAND = "arc = angle/360 × 2π (R + OD/2), worked out by hand beside the published radius"
WHY_HAND = "written in whole turns, not in radians, and added up on paper"


def drawn(path: Path, points: int = 4000) -> npt.NDArray[np.float64]:
    """The path as a pen would draw it: many points on each segment, from its own figures."""
    along = np.linspace(0, 1, points)[:, None]
    pieces = []
    for segment in path.segments:
        if isinstance(segment, Line):
            pieces.append(np.array(segment.start) + along * (np.array(segment.end) - np.array(segment.start)))
        else:
            angle = np.radians(segment.from_deg + along[:, 0] * segment.sweep_deg)
            circle = np.stack([np.cos(angle), np.sin(angle)], axis=1)
            pieces.append(np.array(segment.centre) + segment.radius * circle)
    return np.concatenate(pieces)


def length_of(points: npt.NDArray[np.float64]) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def sharpest_radius(path: Path) -> float:
    """The smallest radius of the circles through three neighbouring points of each drawn bend."""
    radii = []
    for arc in (segment for segment in path.segments if isinstance(segment, Arc)):
        a, b, c = (drawn(Path((arc,)), 400)[start : start + 398] for start in range(3))
        sides = [np.hypot(*(p - q).T) for p, q in ((a, b), (b, c), (c, a))]
        doubled = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
        radii.append(float((sides[0] * sides[1] * sides[2] / (2 * doubled)).min()))
    return min(radii)


def walked(path: Path) -> tuple[float, float, float]:
    """Where one comes out who walks the path by lengths and curvatures alone: x, y and heading."""
    state = np.zeros(3)
    for segment in path.segments:
        bend = 0.0 if isinstance(segment, Line) else math.copysign(1 / segment.radius, segment.sweep_deg)

        def onward(_: float, here: npt.NDArray[np.float64], bend: float = bend) -> list[float]:
            return [math.cos(here[2]), math.sin(here[2]), bend]

        state = solve_ivp(onward, (0, segment.length), state, rtol=1e-10, atol=1e-10).y[:, -1]
    return float(state[0]), float(state[1]), float(state[2])


ROUTES = [
    straight_route(WITH_ENDS, Decimal(800), Decimal(0)),
    bend_route(WITH_ENDS, Decimal(90), Decimal(180)),
    bend_route(WITH_ENDS, Decimal(45), Decimal(250), run_a_mm=Decimal(100), run_b_mm=Decimal(40)),
    bend_route(HOSE, Decimal(180), Decimal(180)),
    u_route(WITH_ENDS, Decimal(200)),
    u_route(WITH_ENDS, Decimal(200), Decimal(400)),
    u_route(WITH_ENDS, Decimal(200), Decimal(400), FixedEnd.END),
    offset_route(WITH_ENDS, Decimal(100), Decimal(180)),
    offset_route(WITH_ENDS, Decimal(383), Decimal(180)),
    offset_route(WITH_ENDS, Decimal(600), Decimal(180)),
    offset_route(WITH_ENDS, Decimal(100), Decimal(180), Decimal(1500)),
]
EVERY_PATH = [(route, path) for route in ROUTES for path in route.paths]
EVERY_BENT_PATH = [(route, path) for route, path in EVERY_PATH if route.inside_radius_mm is not None]


@outside(
    Route,
    source="chords between thousands of drawn points, by NumPy",
    independent="no formula of an arc",
)
@pytest.mark.parametrize(("route", "path"), EVERY_PATH)
def test_the_length_is_that_of_the_drawn_path_measured_with_a_thread(route: Route, path: Path) -> None:
    # Independent: chords between thousands of drawn points, no formula of an arc.
    assert length_of(drawn(path)) == pytest.approx(float(route.overall_mm), abs=0.01)


@outside(
    bend_route,
    source="circles through three neighbouring drawn points",
    independent="the radius is measured on the drawing",
)
@pytest.mark.parametrize(("route", "path"), EVERY_BENT_PATH)
def test_the_drawn_bend_has_the_radius_on_its_inside(route: Route, path: Path) -> None:
    # Independent: circles through three neighbouring points, less half the hose.
    assert route.inside_radius_mm is not None
    assert sharpest_radius(path) - 11.5 == pytest.approx(float(route.inside_radius_mm), abs=0.01)


@outside(
    Path,
    source="curvature integrated by SciPy from the start",
    independent="only lengths and curvatures, no coordinates",
)
@pytest.mark.parametrize(("route", "path"), EVERY_PATH)
def test_the_path_has_no_gap_and_no_kink(route: Route, path: Path) -> None:
    # Independent: curvature integrated by SciPy from the start has to come out where the path ends.
    for before, after in zip(path.segments, path.segments[1:], strict=False):
        assert math.dist(before.end, after.start) < 1e-9
    x, y, heading = walked(path)
    assert (x, y) == pytest.approx(path.end, abs=1e-4)
    comes_out = {Layout.STRAIGHT: 0, Layout.U: math.pi, Layout.OFFSET: 0}
    assert heading == pytest.approx(comes_out.get(route.layout, heading), abs=1e-9)


@pytest.mark.parametrize(("route", "path"), EVERY_PATH)
def test_the_extent_holds_every_drawn_point_and_is_touched_on_all_sides(route: Route, path: Path) -> None:
    points = drawn(path)
    lower, upper = path.extent
    assert tuple(points.min(axis=0)) == pytest.approx(lower, abs=1e-2), route.layout
    assert tuple(points.max(axis=0)) == pytest.approx(upper, abs=1e-2), route.layout


# what, route, overall mm, source, why_independent
WORKED = [
    ("90° and both runs", bend_route(HOSE, Decimal(90), Decimal(180)), "369.8", BY_HAND, WHY_HAND),
    ("180° and both runs", bend_route(HOSE, Decimal(180), Decimal(180)), "670.6", BY_HAND, WHY_HAND),
    (
        "U between ends of 50 mm",
        u_route(Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(50)), Decimal(180)),
        "770.6",
        "arc + 2 × 1.5 OD + both ends' metal",
        WHY_HAND,
    ),
    (
        "the same with 400 mm of travel",
        u_route(Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(50)), Decimal(180), Decimal(400)),
        "970.6",
        "half the travel is added (from memory)",
        "a rule of the trade; the drawn extremes below show it again",
    ),
    (
        "its fixed end at the end of the travel",
        u_route(
            Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(50)),
            Decimal(180),
            Decimal(400),
            FixedEnd.END,
        ),
        "1170.6",
        "all of the travel is added",
        "geometry on paper",
    ),
    (
        "straight with 5 % of slack",
        straight_route(Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(50)), Decimal(1100)),
        "1150",
        "Army AL0907: at least 5 % of slack",
        "5 % of 1000 mm in the head",
    ),
]


@pytest.mark.parametrize(("what", "route", "overall", "source", "why_independent"), WORKED)
def test_the_overall_length_is_as_worked_out_by_hand(
    what: str, route: Route, overall: str, source: str, why_independent: str
) -> None:
    assert round(route.overall_mm, 1) == Decimal(overall), (what, source, why_independent)


@pytest.mark.parametrize(("angle", "arc", "trap"), [(90, "300.8", "282.7"), (180, "601.6", "565.5")])
def test_a_bend_is_counted_along_the_centreline_and_not_along_its_inside(
    angle: int, arc: str, trap: str
) -> None:
    # The common L = A/360 × 2πB with the inside radius for B gives the trap's value.
    route = bend_route(HOSE, Decimal(angle), Decimal(180))
    (bend,) = (stretch for stretch in route.stretches if stretch.name.startswith("bend"))
    assert f"{bend.mm:.1f}" == arc
    assert f"{2 * math.pi * 180 * angle / 360:.1f}" == trap
    assert route.centreline_radius_mm == Decimal("191.5")
    assert route.assumptions[0].startswith(
        "The bend radius is 180 mm on the inside, so 191.5 mm at the centre"
    )


def test_a_radius_meant_for_the_centreline_is_too_sharp_on_the_inside() -> None:
    meant_as_inside = Decimal(180) - HOSE.outside_diameter_mm / 2
    with pytest.raises(OutOfRange, match=r"168\.5") as refusal:
        bend_route(HOSE, Decimal(90), meant_as_inside)
    assert (refusal.value.argument, refusal.value.unit) == ("inside bend radius", "mm")
    assert refusal.value.allowed == "180 mm or more"


def test_the_stretches_make_the_whole_and_the_metal_is_not_flexible() -> None:
    route = u_route(WITH_ENDS, Decimal(180), Decimal(400), slack_percent=Decimal(5))
    assert [stretch.name for stretch in route.stretches] == [
        "metal of end A",
        "straight run at end A",
        "for the travel",
        "bend of 180°",
        "straight run at end B",
        "slack of 5 %",
        "metal of end B",
    ]
    assert sum(stretch.mm for stretch in route.stretches) == route.overall_mm
    assert route.flexible_mm == route.overall_mm - 120
    assert (route.lengthens_mm, route.shortens_mm) == (route.flexible_mm / 50, route.flexible_mm / 25)


def test_the_drawing_tells_metal_from_hose() -> None:
    path = bend_route(WITH_ENDS, Decimal(90), Decimal(180)).paths[0]
    assert [segment.flexible for segment in path.segments] == [False, True, True, True, False]
    stiff = sum(segment.length for segment in path.segments if not segment.flexible)
    assert stiff == pytest.approx(120)


@pytest.mark.parametrize("fixed_end", FixedEnd)
def test_over_the_travel_the_moving_end_goes_all_the_way_and_no_run_becomes_too_short(
    fixed_end: FixedEnd,
) -> None:
    # Independent of the formula: read off the three drawings.
    paths = u_route(WITH_ENDS, Decimal(180), Decimal(400), fixed_end).paths
    ends = [path.end.x for path in paths]
    assert max(ends) - min(ends) == pytest.approx(400)
    assert ends[0] == pytest.approx((max(ends) + min(ends)) / 2)
    assert ends[0 if fixed_end is FixedEnd.MIDDLE else 1] == pytest.approx(0, abs=1e-9)
    assert all(path.end.y == pytest.approx(2 * 191.5) for path in paths)
    shortest = min(
        segment.length for path in paths for segment in path.segments if segment.name.startswith("side")
    )
    assert shortest == pytest.approx(1.5 * 23)


@pytest.mark.parametrize("offset", ["1", "100", "382.9", "383", "383.1", "900"])
def test_an_offset_comes_out_beside_and_along_as_asked(offset: str) -> None:
    route = offset_route(WITH_ENDS, Decimal(offset), Decimal(180), Decimal(1500))
    assert route.paths[0].end == pytest.approx((1500, float(offset)), abs=1e-6)


def test_without_a_distance_an_offset_takes_the_least() -> None:
    least = offset_route(WITH_ENDS, Decimal(600), Decimal(180))
    # Two bends of 90° on 191.5 mm, two runs of 34.5 mm and 120 mm of metal, by hand.
    assert least.paths[0].end.x == pytest.approx(2 * 191.5 + 2 * 34.5 + 120, abs=1e-3)
    with pytest.raises(OutOfRange) as refusal:
        offset_route(WITH_ENDS, Decimal(600), Decimal(180), Decimal(571))
    assert (refusal.value.argument, refusal.value.allowed) == ("distance", "572 mm or more")


@pytest.mark.parametrize("run", ["34.4", "0"])
def test_a_run_before_a_bend_shorter_than_one_and_a_half_diameters_is_refused(run: str) -> None:
    with pytest.raises(OutOfRange) as refusal:
        bend_route(HOSE, Decimal(90), Decimal(180), run_b_mm=Decimal(run))
    assert refusal.value.argument == "straight run at end B"
    assert refusal.value.allowed == "34.5 mm or more"


def test_a_run_of_just_one_and_a_half_diameters_is_enough() -> None:
    least = bend_route(HOSE, Decimal(90), Decimal(180), run_a_mm=Decimal("34.5"), run_b_mm=Decimal("34.5"))
    assert least.overall_mm == bend_route(HOSE, Decimal(90), Decimal(180)).overall_mm


def test_a_distance_that_the_metal_fills_is_refused() -> None:
    with pytest.raises(OutOfRange, match="metal alone"):
        straight_route(WITH_ENDS, Decimal(120))


NONSENSE = ["-1", "NaN", "Infinity", "1e9"]


@pytest.mark.parametrize("value", NONSENSE)
def test_nonsense_is_refused_by_name(value: str) -> None:
    wrong = Decimal(value)
    asking: dict[str, Callable[[], object]] = {
        "outside diameter": lambda: Hose(wrong, Decimal(180)),
        "minimum bend radius": lambda: Hose(Decimal(23), wrong),
        "metal of end A": lambda: Hose(Decimal(23), Decimal(180), wrong),
        "metal of end B": lambda: Hose(Decimal(23), Decimal(180), Decimal(0), wrong),
        "distance": lambda: straight_route(HOSE, wrong),
        "slack": lambda: straight_route(HOSE, Decimal(800), wrong),
        "angle of the bend": lambda: bend_route(HOSE, wrong, Decimal(180)),
        "inside bend radius": lambda: bend_route(HOSE, Decimal(90), wrong),
        "straight run at end A": lambda: bend_route(HOSE, Decimal(90), Decimal(180), run_a_mm=wrong),
        "travel": lambda: u_route(HOSE, Decimal(180), wrong),
        "offset": lambda: offset_route(HOSE, wrong, Decimal(180)),
    }
    for name, ask in asking.items():
        with pytest.raises(EngineeringError) as refusal:
            ask()
        assert refusal.value.argument == name
        assert refusal.value.unit in {"mm", "%", "°"}


def test_every_result_carries_assumptions_and_cautions() -> None:
    for route in ROUTES:
        assert any("1.5 outside diameters" in said for said in route.assumptions)
        assert any("maker" in said for said in route.cautions)


def test_a_tracer_turns_left_for_positive_and_right_for_negative() -> None:
    assert Tracer().turn("left", 100, 90).path().end == pytest.approx((100, 100))
    assert Tracer().turn("right", 100, -90).path().end == pytest.approx((100, -100))
    assert Tracer().ahead("on", 30).path() == Path((Line("on", Point(0, 0), Point(30, 0), True),))


RADII = st.decimals(180, 1000, places=1)
ANGLES = st.decimals(1, 180, places=1)


@given(ANGLES, RADII)
def test_no_route_is_shorter_than_the_straight_line_between_its_ends(angle: Decimal, radius: Decimal) -> None:
    route = bend_route(WITH_ENDS, angle, radius)
    path = route.paths[0]
    assert float(route.overall_mm) + 0.01 >= math.dist(path.start, path.end)


@given(RADII, RADII, ANGLES, ANGLES)
def test_a_larger_radius_or_angle_never_needs_less_hose(
    radius_a: Decimal, radius_b: Decimal, angle_a: Decimal, angle_b: Decimal
) -> None:
    (less, more), (small, large) = sorted((radius_a, radius_b)), sorted((angle_a, angle_b))
    assert bend_route(HOSE, small, less).overall_mm <= bend_route(HOSE, large, more).overall_mm


@given(st.decimals(1, 2000, places=1), RADII)
def test_an_offset_of_any_size_comes_out_beside_by_just_that(offset: Decimal, radius: Decimal) -> None:
    path = offset_route(HOSE, offset, radius).paths[0]
    assert path.end.y == pytest.approx(float(offset), abs=1e-6)
