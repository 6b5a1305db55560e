"""One end of an assembly in side view: ferrule, and a straight or bent fitting up to its datum.

What the data give is drawn to scale: hose, ferrule, insertion, cut-off, angle and drop. What no data
give (the nut, the fitting's tube) is drawn in a fixed proportion to the hose's outside diameter, as a
symbol. A bent end is projected truly: one that points at the onlooker is seen end-on.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.svg import Point
from shop.engineering.cut_length import Datum

# Proportions of symbols to the hose's outside diameter.
FERRULE_RADIUS = 0.58
NUT_RADIUS, NUT_LENGTH = 0.55, 0.5
TUBE_RADIUS = 0.3
OVERHANG = 0.75  # room beyond the datum for what reaches past it
EDGE_ON = 1e-6  # a disc is seen as a line below this share of its radius
SLANTED = 0.2  # share of its length from which an outlet is seen to point at or away from the onlooker


@dataclass(frozen=True, slots=True)
class EndDrawing:
    """An end as the drawing needs it: lengths in mm, angle in degrees (0 for straight).

    `datum` is a value of `Datum`; `drop_mm` runs from the hose's axis to the centre of a bent end's
    face, and is not looked at for a straight end. `form` and `connection` are words to show.
    """

    label: str
    form: str
    angle_deg: Decimal
    drop_mm: Decimal
    cut_off_mm: Decimal
    insertion_mm: Decimal
    datum: str
    connection: str
    ferrule_length_mm: Decimal

    @property
    def is_bent(self) -> bool:
        return self.angle_deg > 0 and self.drop_mm > 0


@dataclass(frozen=True, slots=True)
class Frame:
    """Where an end stands: its datum on the hose's axis, and which way is out.

    `outwards` is -1 for the end on the left and 1 for the one on the right; `orientation_deg` turns a
    bent end counter-clockwise from six o'clock, seen from the left.
    """

    name: str
    datum: Point
    scale: float
    outwards: int
    od_mm: float
    orientation_deg: float = 0.0

    def at(self, out_mm: float, down_mm: float) -> Point:
        """Drawing units of a point `out_mm` beyond the datum and `down_mm` below the axis."""
        return (
            self.datum[0] + self.outwards * out_mm * self.scale,
            self.datum[1] + down_mm * self.scale,
        )

    def block(self, inner_mm: float, outer_mm: float, radius_mm: float, *, class_: str) -> str:
        """A body of revolution about the axis, between two stations beyond the datum."""
        inner, outer = self.at(inner_mm, -radius_mm), self.at(outer_mm, -radius_mm)
        return svg.rectangle(
            (min(inner[0], outer[0]), inner[1]),
            abs(outer[0] - inner[0]),
            2 * radius_mm * self.scale,
            class_=class_,
        )

    def level(self, inner_mm: float, outer_mm: float, radius_mm: float, *, class_: str) -> str:
        """Two thin lines along the axis, above and below it."""
        return "".join(
            svg.line(self.at(inner_mm, side * radius_mm), self.at(outer_mm, side * radius_mm), class_=class_)
            for side in (-1, 1)
        )


def mouth_mm(end: EndDrawing) -> float:
    """Station of the ferrule's mouth, where the hose comes into sight (mm beyond the datum: negative)."""
    return float(-end.cut_off_mm - end.insertion_mm)


def draw_end(end: EndDrawing, frame: Frame) -> str:
    """Ferrule and fitting."""
    face = mouth_mm(end) + float(end.ferrule_length_mm)
    fitting = _bent(end, frame, face) if end.is_bent else _straight(end, frame, face)
    return _ferrule(end, frame) + fitting


def _ferrule(end: EndDrawing, frame: Frame) -> str:
    mouth, radius = mouth_mm(end), FERRULE_RADIUS * frame.od_mm
    length = float(end.ferrule_length_mm)
    start, stop = mouth + 0.06 * length, mouth + 0.86 * length
    hose_end, hose_radius = float(-end.cut_off_mm), frame.od_mm / 2
    return (
        frame.block(mouth, mouth + length, radius, class_=f"fb-ferrule fb-ferrule-{frame.name}")
        + frame.level(start, stop, 0.85 * radius, class_="fb-crimp")
        + frame.level(start, stop, 0.5 * radius, class_="fb-crimp")
        + svg.line(frame.at(start, 0), frame.at(stop, 0), class_="fb-crimp")
        + svg.line(
            frame.at(hose_end, -hose_radius),
            frame.at(hose_end, hose_radius),
            class_=f"fb-hose-end-{frame.name}",
            dash=svg.HIDDEN,
        )
    )


def _straight(end: EndDrawing, frame: Frame, face: float) -> str:
    """Tube, nut and what the datum is: a face, a seat inside the nut, or the end of a thread."""
    od, room = frame.od_mm, max(-face, 0.25 * frame.od_mm)
    nut, tube = min(NUT_LENGTH * od, 0.6 * room), TUBE_RADIUS * od
    if end.datum == Datum.SEAT:
        inner, outer = -nut / 2, nut / 2
        tip = _cone(frame, -nut / 2, tube)
    else:
        front = min(0.35 * od, 0.3 * room) if end.datum == Datum.THREAD_END else 0.12 * nut
        inner, outer = -nut - front, -front
        radius = (0.75 if end.datum == Datum.THREAD_END else 0.85) * NUT_RADIUS * od
        tip = frame.block(-front, 0, radius, class_="fb-tip")
        if end.datum == Datum.THREAD_END:
            tip += frame.level(-front, 0, 0.8 * radius, class_="fb-thread")
    return (
        frame.level(min(face, inner), inner, tube, class_="fb-tube")
        + frame.block(inner, outer, NUT_RADIUS * od, class_="fb-nut")
        + frame.level(inner, outer, NUT_RADIUS * od / 2, class_="fb-nut-flat")
        + tip
    )


def _cone(frame: Frame, base: float, radius: float) -> str:
    """The sealing seat, hidden in the nut: it ends at the datum."""
    corners = [
        frame.at(base, -radius),
        frame.at(0, -radius / 2),
        frame.at(0, radius / 2),
        frame.at(base, radius),
    ]
    return svg.path(svg.polyline(corners), class_="fb-seat", width=svg.THIN, dash=svg.HIDDEN)


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
    vertex, leg = -drop_mm / math.tan(turn), drop_mm / math.sin(turn)
    room = max(vertex - face_mm, 0.0)
    tangent = min(radius_mm * math.tan(turn / 2), 0.7 * leg, 0.9 * room)
    radius = tangent / math.tan(turn / 2)
    arc = [
        (vertex - tangent + radius * math.sin(step), radius * (1 - math.cos(step)))
        for step in (turn * i / 24 for i in range(25))
    ]
    return [(min(face_mm, vertex - tangent), 0.0), *arc, (0.0, drop_mm)]


def _bent(end: EndDrawing, frame: Frame, face: float) -> str:
    od, turn = frame.od_mm, math.radians(float(end.angle_deg))
    orientation = math.radians(frame.orientation_deg)
    across = math.cos(orientation)
    elbow = _Elbow(
        bend_centreline(float(end.angle_deg), float(end.drop_mm), face, 1.1 * od),
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
    n = svg.number
    return svg.path(
        f"M{n(centre[0] + reach[0])} {n(centre[1] + reach[1])}"
        f"A{n(radius * abs(towards))} {n(radius)} {n(direction_deg)} 0 1"
        f" {n(centre[0] - reach[0])} {n(centre[1] - reach[1])}",
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
