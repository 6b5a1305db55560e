"""A bent fitting, projected truly: an outlet that points at the onlooker is seen end-on."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shop.drawings import svg
from shop.drawings.frame import BEND_RADIUS, NUT_LENGTH, NUT_RADIUS, TUBE_RADIUS, EndDrawing, Frame, mouth_mm
from shop.drawings.svg import Point

EDGE_ON = 1e-6  # a disc is seen as a line below this share of its radius
ALMOST_BACK = 170.0  # degrees from which the two legs are as good as parallel: a half circle
SLANTED = 0.2  # share of its length from which an outlet is seen to point at or away from the onlooker


@dataclass(frozen=True, slots=True)
class _Elbow:
    """A bend's centreline in its own plane (out along the axis, across it) and how that plane is seen."""

    points: Sequence[Point]
    outlet: Point  # direction of the outlet in the bend's plane
    seen: Callable[[Point], Point]
    towards: float  # share of the outlet's direction that points at the onlooker


def bend_centreline(angle_deg: float, drop_mm: float, face_mm: float, radius_mm: float) -> list[Point]:
    """The centreline of a bend as points (mm out, mm across): on the axis, round the bend, to its face.

    The face's centre is at (0, drop). The bend takes `radius_mm` if both its legs have room for it.
    """
    turn = math.radians(angle_deg)
    if angle_deg > ALMOST_BACK:
        leg, radius = radius_mm / 2, drop_mm / 2  # a straight leg before the face, as long as its nut
        steps = (math.pi * i / 24 for i in range(25))
        half = [(leg + radius * math.sin(step), radius * (1 - math.cos(step))) for step in steps]
        return [(face_mm, 0.0), *half, (0.0, drop_mm)]
    vertex, leg = -drop_mm / math.tan(turn), drop_mm / math.sin(turn)
    room = max(vertex - face_mm, 0.0)
    tangent = min(radius_mm * math.tan(turn / 2), 0.7 * leg, 0.9 * room)
    radius = tangent / math.tan(turn / 2)
    arc = [
        (vertex - tangent + radius * math.sin(step), radius * (1 - math.cos(step)))
        for step in (turn * i / 24 for i in range(25))
    ]
    return [(min(face_mm, vertex - tangent), 0.0), *arc, (0.0, drop_mm)]


def _centreline(end: EndDrawing, od_mm: float) -> list[Point]:
    face = mouth_mm(end) + float(end.ferrule_length_mm)
    return bend_centreline(float(end.angle_deg), end.drawn_drop_mm(od_mm), face, BEND_RADIUS * od_mm)


def outward_mm(end: EndDrawing, od_mm: float) -> float:
    """How far a bent end reaches beyond its datum along the hose's axis."""
    return max(out for out, _ in _centreline(end, od_mm)) + NUT_RADIUS * od_mm


def draw_bent(end: EndDrawing, frame: Frame) -> str:
    """The fitting from the ferrule's outer face round its bend to its nut."""
    turn = math.radians(float(end.angle_deg))
    orientation = math.radians(frame.orientation_deg)
    across = math.cos(orientation)
    elbow = _Elbow(
        _centreline(end, frame.od_mm),
        (math.cos(turn), math.sin(turn)),
        lambda point: frame.at(point[0], point[1] * across),
        math.sin(turn) * math.sin(orientation),
    )
    chain = svg.path(
        svg.polyline(elbow.seen(point) for point in elbow.points),
        class_=f"fb-centreline-{frame.name}",
        width=svg.THIN,
        dash=svg.CHAIN,
    )
    return _tube(elbow, frame) + chain + _outlet(elbow, frame)


def _tube(elbow: _Elbow, frame: Frame) -> str:
    """Both outlines of the bent tube, less what a nut that faces the onlooker hides."""
    radius, nut = TUBE_RADIUS * frame.od_mm * frame.scale, NUT_RADIUS * frame.od_mm * frame.scale
    nut_length = NUT_LENGTH * frame.od_mm
    tip = elbow.points[-1]
    base = (tip[0] - nut_length * elbow.outlet[0], tip[1] - nut_length * elbow.outlet[1])
    seen = [elbow.seen(point) for point in (*elbow.points[:-1], base)]
    mouth = elbow.seen(tip)
    sides: tuple[list[Point], list[Point]] = ([], [])
    normal = (0.0, 1.0)
    for here, there in zip(seen, [*seen[1:], seen[-1]], strict=True):
        step = math.dist(here, there)
        if step > 0.05:
            normal = ((here[1] - there[1]) / step, (there[0] - here[0]) / step)
        for side, sign in zip(sides, (1, -1), strict=True):
            point = (here[0] + sign * radius * normal[0], here[1] + sign * radius * normal[1])
            if elbow.towards < SLANTED or math.dist(point, mouth) > nut:
                side.append(point)
    outlines = [
        svg.path(svg.polyline(side), class_=f"fb-elbow-{frame.name}") for side in sides if len(side) > 1
    ]
    if elbow.towards < -SLANTED:
        # The tube turns away behind its own bend: close it where it goes out of sight.
        outlines.append(_rim(seen[-1], radius, _direction(elbow) + 180, elbow.towards, class_="fb-tube-bend"))
    return "".join(outlines)


def _direction(elbow: _Elbow) -> float:
    """Where the outlet points in the view, in degrees (0 right, 90 down)."""
    tip = elbow.points[-1]
    here, ahead = elbow.seen(tip), elbow.seen((tip[0] + elbow.outlet[0], tip[1] + elbow.outlet[1]))
    return math.degrees(math.atan2(ahead[1] - here[1], ahead[0] - here[0]))


def _outlet(elbow: _Elbow, frame: Frame) -> str:
    """The nut at the end of a bend: a cylinder seen from the side, end-on, or anything between."""
    radius, length = NUT_RADIUS * frame.od_mm * frame.scale, NUT_LENGTH * frame.od_mm
    tip = elbow.points[-1]
    base = elbow.seen((tip[0] - length * elbow.outlet[0], tip[1] - length * elbow.outlet[1]))
    mouth = elbow.seen(tip)
    direction = _direction(elbow)
    turn = math.radians(direction)
    offset = (-radius * math.sin(turn), radius * math.cos(turn))
    behind = svg.HIDDEN if elbow.towards < -SLANTED else None
    strokes = [
        svg.line(
            (base[0] + sign * offset[0], base[1] + sign * offset[1]),
            (mouth[0] + sign * offset[0], mouth[1] + sign * offset[1]),
            class_="fb-nut",
            width=svg.MEDIUM,
            dash=behind,
        )
        for sign in (1, -1)
    ]
    if math.dist(base, mouth) > svg.THICK:  # else the nut is seen exactly end-on: one circle
        strokes.append(_rim(base, radius, direction, elbow.towards, class_="fb-nut-base", dash=behind))
    strokes.append(
        _disc(mouth, radius, direction, elbow.towards, class_=f"fb-outlet-{frame.name}", dash=behind)
    )
    if elbow.towards > SLANTED:
        bore = radius * TUBE_RADIUS / NUT_RADIUS
        strokes.append(_disc(mouth, bore, direction, elbow.towards, class_="fb-outlet-bore"))
    return "".join(strokes)


def _rim(
    centre: Point,
    radius: float,
    direction_deg: float,
    towards: float,
    *,
    class_: str,
    dash: str | None = None,
) -> str:
    """The half of a round edge that lies away from `direction_deg`; a straight line if seen from the side."""
    turn = math.radians(direction_deg)
    reach = (-radius * math.sin(turn), radius * math.cos(turn))
    start, end = (centre[0] + reach[0], centre[1] + reach[1]), (centre[0] - reach[0], centre[1] - reach[1])
    if abs(towards) < EDGE_ON:  # printers do not agree on an arc without depth
        return svg.line(start, end, class_=class_, width=svg.MEDIUM, dash=dash)
    n = svg.number
    return svg.path(
        f"M{n(start[0])} {n(start[1])}"
        f"A{n(radius * abs(towards))} {n(radius)} {n(direction_deg)} 0 1 {n(end[0])} {n(end[1])}",
        class_=class_,
        dash=dash,
    )


def _disc(
    centre: Point,
    radius: float,
    direction_deg: float,
    towards: float,
    *,
    class_: str,
    dash: str | None = None,
) -> str:
    """A round face whose axis points to `direction_deg` in the view and `towards` the onlooker."""
    if abs(towards) < EDGE_ON:
        return _rim(centre, radius, direction_deg, 0, class_=class_, dash=dash)
    return svg.element(
        "ellipse",
        class_=class_,
        cx=centre[0],
        cy=centre[1],
        rx=radius * abs(towards),
        ry=radius,
        transform=f"rotate({svg.number(direction_deg)} {svg.number(centre[0])} {svg.number(centre[1])})",
        stroke_width=svg.MEDIUM,
        stroke_dasharray=dash,
    )
