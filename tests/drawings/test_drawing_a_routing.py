import math
import re
from decimal import Decimal
from itertools import pairwise

import pytest

from shop.drawings.routing import RoutingDrawing, draw_routing
from shop.engineering.routing import Route, bend_route, offset_route, straight_route, u_route
from shop.engineering.routing_shapes import Hose
from tests.drawings.reading import Drawn

D = Decimal
HOSE = Hose(D(23), D(180), D(60), D(60))
ROUTES = {
    "straight": straight_route(HOSE, D(900)),
    "bend": bend_route(HOSE, D(90), D(180)),
    "U": u_route(HOSE, D(180), D(300)),
    "offset": offset_route(HOSE, D(120), D(180)),
}


def drawn(route: Route) -> Drawn:
    return Drawn(
        draw_routing(
            RoutingDrawing(
                title=f"{route.layout} of 23 mm hose",
                paths=route.paths,
                outside_diameter_mm=D(23),
                radius_label=""
                if route.inside_radius_mm is None
                else f"R {route.inside_radius_mm} mm inside",
                along_label="900 mm",
                across_label="" if route.layout == "straight" else "406 mm",
            )
        )
    )


def ends_of(data: str) -> list[tuple[float, float]]:
    """Where each stroke of the path data ends."""
    strokes = (stroke.split() for stroke in re.findall(r"[MLA]([^MLAZ]+)", data))
    return [(float(numbers[-2]), float(numbers[-1])) for numbers in strokes]


def arc_radii(data: str) -> list[float]:
    return [float(radius) for radius in re.findall(r"A(\S+) ", data)]


@pytest.mark.parametrize("name", ROUTES)
def test_the_drawing_is_to_scale(name: str) -> None:
    route = ROUTES[name]
    path = route.paths[0]
    centreline = drawn(route).one("fb-centreline").attrib["d"]
    places = ends_of(centreline)
    apart = math.dist(places[0], places[-1]) / math.dist(path.start, path.end)
    for (here, there), part in zip(pairwise(places), path.segments, strict=True):
        assert math.dist(here, there) / math.dist(part.start, part.end) == pytest.approx(apart, rel=1e-3)


def test_both_sides_of_a_bend_are_an_outside_diameter_apart() -> None:
    drawing = drawn(ROUTES["bend"])
    inner, outer = sorted(arc_radii(side.attrib["d"])[0] for side in drawing.all("fb-hose"))
    assert outer / inner == pytest.approx(203 / 180, rel=1e-3)


def test_the_radius_points_at_the_inside_of_the_bend() -> None:
    drawing = drawn(ROUTES["bend"])
    assert drawing.text("fb-radius-label") == "R 180 mm inside"
    inner = min(arc_radii(side.attrib["d"])[0] for side in drawing.all("fb-hose"))
    leader = drawing.one("fb-radius")
    edge = float(leader.attrib["x2"]), float(leader.attrib["y2"])
    inner_side = next(s.attrib["d"] for s in drawing.all("fb-hose") if arc_radii(s.attrib["d"])[0] == inner)
    arc_starts, arc_ends = ends_of(inner_side)[1:3]
    chord = math.dist(arc_starts, arc_ends)
    # The middle of a quarter circle is equally far from both its ends.
    assert math.dist(edge, arc_starts) == pytest.approx(math.dist(edge, arc_ends), abs=0.01)
    assert chord == pytest.approx(inner * math.sqrt(2), rel=1e-3)


def test_a_u_that_travels_is_drawn_at_both_ends_of_its_travel_too() -> None:
    assert len(drawn(ROUTES["U"]).all("fb-travel")) == 2 * 4  # two sides and two ends, twice
    assert not drawn(ROUTES["bend"]).all("fb-travel")


@pytest.mark.parametrize("name", ROUTES)
def test_both_ends_are_named_and_everything_is_on_the_sheet(name: str) -> None:
    drawing = drawn(ROUTES[name])
    width, height = drawing.size
    assert (drawing.text("fb-end-a"), drawing.text("fb-end-b")) == ("A", "B")
    for side in (*drawing.all("fb-hose"), *drawing.all("fb-travel")):
        assert all(0 <= x <= width and 0 <= y <= height for x, y in ends_of(side.attrib["d"].rstrip("Z")))


def test_a_straight_hose_has_no_radius() -> None:
    drawing = drawn(ROUTES["straight"])
    assert not drawing.all("fb-radius")
    assert drawing.text("fb-along-label") == "900 mm"


def test_a_hose_thinner_than_a_stroke_still_has_two_sides() -> None:
    long = straight_route(Hose(D(8), D(50)), D(60_000))
    a, b = (ends_of(side.attrib["d"])[0][1] for side in drawn(long).all("fb-hose"))
    assert abs(a - b) >= 3
