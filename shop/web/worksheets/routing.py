"""How long a hose has to be to lie as it should, drawn to scale, part by part."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from shop.drawings.routing import RoutingDrawing, draw_routing
from shop.engineering.numbers import plain
from shop.engineering.paths import Path
from shop.engineering.routing import (
    SLACK_PERCENT,
    Layout,
    Route,
    Stretch,
    bend_route,
    offset_route,
    straight_route,
    u_route,
)
from shop.engineering.routing_shapes import STRAIGHT_DIAMETERS, FixedEnd, SCurve
from shop.web.worksheets.routing_form import RoutingForm, hose_of
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Table, Working, Worksheet
from shop.web.worksheets.words import digits, rounded_length

SHOWN_FROM_MM = 1  # a dimension below that would be a dot
GEOMETRY = "Geometry; radii are printed for the inside (EN 853:2015 cl. 6.2)"
SOURCES = (
    Basis("Bend radius is measured on the inside: EN 853:2015 cl. 6.2", "read"),
    Basis("Straight run before a bend: DGUV Regel 113-020 Fig. 9", "read"),
    Basis(
        "The ends' metal is no part of the flexible length, +2 % to −4 % under pressure: "
        "FAA AC 43.13-1B Fig. 9-9",
        "read",
    ),
    Basis("Slack of 5 to 8 %: Navy 14105 p. 5-11; at least 5 %: Army AL0907", "read"),
)


def work(answers: Mapping[str, Any]) -> Sheet:
    """The overall length that the layout needs."""
    route = _route(answers)
    overall = rounded_length(route.overall_mm)
    return Sheet(
        says=f"{overall} overall.",
        answers=tuple(_facts(route)),
        drawing=drawn(
            route.paths, route.hose.outside_diameter_mm, route.inside_radius_mm, f"{overall} of hose and ends"
        ),
        tables=(
            Table(
                "From end A to end B",
                ("Part", "Length"),
                tuple((stretch.name, rounded_length(stretch.mm)) for stretch in route.stretches),
                frozenset({1}),
            ),
        ),
        workings=tuple(_workings(route, answers)),
        assumptions=route.assumptions,
        cautions=route.cautions,
        basis=SOURCES,
    )


def drawn(paths: tuple[Path, ...], outside_mm: Decimal, inside_mm: Decimal | None, what: str) -> str:
    """The routing with its radius and how far the datums are apart, both ways."""
    path = paths[0]
    along, across = abs(path.end.x - path.start.x), abs(path.end.y - path.start.y)
    radius = "" if inside_mm is None else f"R {rounded_length(inside_mm)} inside"
    return draw_routing(
        RoutingDrawing(
            title=f"{what}{f', bent to {radius}' if radius else ''}, to scale",
            paths=paths,
            outside_diameter_mm=outside_mm,
            radius_label=radius,
            along_label=rounded_length(Decimal(along)) if along >= SHOWN_FROM_MM else "",
            across_label=rounded_length(Decimal(across)) if across >= SHOWN_FROM_MM else "",
        )
    )


def _route(answers: Mapping[str, Any]) -> Route:
    hose = hose_of(answers)
    radius = hose.minimum_radius_mm if answers["radius"] is None else answers["radius"]
    slack: Decimal | None = answers["slack"]
    given = Decimal(0) if slack is None else slack
    match Layout(answers["layout"]):
        case Layout.STRAIGHT:
            return straight_route(hose, answers["distance"], SLACK_PERCENT if slack is None else slack)
        case Layout.BEND:
            runs = {"run_a_mm": answers["run_a"], "run_b_mm": answers["run_b"]}
            return bend_route(hose, answers["angle"], radius, **runs, slack_percent=given)
        case Layout.U:
            fixed = FixedEnd(answers["fixed_end"] or FixedEnd.MIDDLE)
            return u_route(hose, radius, answers["travel"] or Decimal(0), fixed, slack_percent=given)
        case Layout.OFFSET:
            return offset_route(hose, answers["offset"], radius, answers["distance"], slack_percent=given)


def _facts(route: Route) -> Iterator[Fact]:
    yield Fact(
        "Overall length", rounded_length(route.overall_mm), "from datum to datum, along the centreline"
    )
    yield Fact("Of that, hose that bends", rounded_length(route.flexible_mm))
    if route.inside_radius_mm is not None and route.centreline_radius_mm is not None:
        centreline = f"{rounded_length(route.centreline_radius_mm)} at the centreline"
        yield Fact("Bend radius, inside", rounded_length(route.inside_radius_mm), centreline)
    yield Fact(
        "Under pressure",
        f"+{rounded_length(route.lengthens_mm)} / −{rounded_length(route.shortens_mm)}",
        "FAA AC 43.13-1B Fig. 9-9",
    )


def _workings(route: Route, answers: Mapping[str, Any]) -> Iterator[Working]:
    hose, inside = route.hose, route.inside_radius_mm
    if inside is not None:
        runs = f"{STRAIGHT_DIAMETERS} × {plain(hose.outside_diameter_mm)} mm"
        least = rounded_length(hose.straight_run_mm)
        yield Working(
            "Least straight run", "1.5 × outside diameter", runs, least, "DGUV Regel 113-020 Fig. 9"
        )
    if route.layout is Layout.OFFSET and route.centreline_radius_mm is not None:
        yield _angle(route.centreline_radius_mm, answers["offset"])
    for stretch in route.stretches:
        if stretch.name.startswith("bend of") and inside is not None:
            yield _arc(stretch, inside, hose.outside_diameter_mm)
        elif stretch.name == "for the travel":
            yield _for_the_travel(stretch, answers["travel"], answers["fixed_end"] == FixedEnd.END)
        elif stretch.name.startswith("slack of"):
            percent = stretch.name.removeprefix("slack of ")
            yield Working(
                "Slack",
                f"{percent} of the hose that bends",
                "",
                rounded_length(stretch.mm),
                "Navy 14105 p. 5-11",
            )
    parts = " + ".join(plain(stretch.mm) for stretch in route.stretches)
    yield Working(
        "Overall length", "sum of the parts", f"{parts} mm", rounded_length(route.overall_mm), "Geometry"
    )


def _arc(stretch: Stretch, inside_mm: Decimal, outside_mm: Decimal) -> Working:
    angle = stretch.name.removeprefix("bend of ").partition("°")[0]
    return Working(
        stretch.name.capitalize(),
        "angle / 360 × 2π × (R inside + outside diameter / 2)",
        f"{angle} / 360 × 2π × ({plain(inside_mm)} + {plain(outside_mm)} / 2) mm",
        rounded_length(stretch.mm),
        GEOMETRY,
    )


def _for_the_travel(stretch: Stretch, travel_mm: Decimal, is_at_the_end: bool) -> Working:
    """From memory; that the bend moves by half the travel is geometry."""
    formula, numbers = "travel / 2, the fixed end being level with its middle", f"{plain(travel_mm)} mm / 2"
    if is_at_the_end:
        formula, numbers = "the travel, the fixed end being level with its end", f"{plain(travel_mm)} mm"
    return Working("For the travel", formula, numbers, rounded_length(stretch.mm), "Geometry; from memory")


def _angle(centreline_mm: Decimal, offset_mm: Decimal) -> Working:
    shape = SCurve(float(centreline_mm), float(offset_mm))
    return Working(
        "Angle of each bend, at most 90°",
        "arccos(1 − offset / (2 × centreline radius))",
        f"arccos(1 − {plain(offset_mm)} / (2 × {plain(centreline_mm)}))",
        f"{digits(Decimal(shape.angle_deg), 4)}°",
        "Geometry",
    )


WORKSHEET = Worksheet(
    slug="routing",
    title="Routing: how long?",
    about="The length that a hose needs to lie straight, round a bend, in a U or offset, to scale.",
    form=RoutingForm,
    work=work,
    example={
        "layout": "bend",
        "outside": "23 mm",
        "minimum": "180 mm",
        "angle": "90",
        "metal_a": "60 mm",
        "metal_b": "60 mm",
    },
)
