"""A hose as it lies between its ports, drawn to scale: its path, the metal of its ends, one bend's radius."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.drawings import svg
from shop.engineering.paths import Arc, Line, Path, Point

WIDTH, MARGIN, TOP = 560.0, 34.0, 26.0
MOST_HEIGHT = 400.0  # drawing units of the hose itself, so that a U stays on the sheet
BESIDE, BELOW = 50.0, 44.0  # room for a dimension, without its label
LEADER, PER_CHARACTER = 46.0, 12.0  # drawing units; a label's length is estimated by its characters
METAL_WIDER = 1.25  # an end's metal is drawn a little wider than the hose, as ferrules are
LEAST_WIDTH = 3.0  # drawing units: a thin hose still shows both its sides


@dataclass(frozen=True, slots=True)
class RoutingDrawing:
    """A routing as the drawing needs it. The first path is the hose; others are where it travels to.

    Labels are lengths as a person reads them: the bend's inside radius, and how far end B's datum is from
    end A's along and across the first port's line; empty ones are left out.
    """

    title: str
    paths: tuple[Path, ...]
    outside_diameter_mm: Decimal
    radius_label: str = ""
    along_label: str = ""
    across_label: str = ""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """How millimetres of the path (y upwards) become places on the sheet (y downwards)."""

    left: float
    top: float
    lowest: Point
    highest: Point
    scale: float
    od: float  # of the hose as drawn, in drawing units

    def at(self, point: Point) -> svg.Point:
        return (
            self.left + (point.x - self.lowest.x) * self.scale,
            self.top + (self.highest.y - point.y) * self.scale,
        )

    @property
    def bottom(self) -> float:
        return self.at(self.lowest)[1]

    @property
    def right(self) -> float:
        return self.at(self.highest)[0]


def draw_routing(d: RoutingDrawing) -> str:
    """The routing as SVG. Slack is in the length and not in the drawing, and it says so."""
    sheet = _lay_out(d)
    body = [_path(path, sheet, class_="fb-travel", dash=svg.HIDDEN) for path in d.paths[1:]]
    body += [
        _path(d.paths[0], sheet, class_="fb-hose"),
        _centreline(d.paths[0], sheet),
        _ends(d.paths[0], sheet),
    ]
    arc = _first_bend(d)
    if arc is not None:
        body.append(_radius(arc, sheet, d.radius_label))
    below = sheet.bottom + sheet.od / 2
    if d.along_label:
        below += BELOW
        body.append(_along(d, sheet, below))
    if d.across_label:
        body.append(_across(d, sheet))
    below += 30
    body.append(
        svg.text(
            (MARGIN, below), "to scale, without its slack", class_="fb-note", size=svg.SMALL, anchor="start"
        )
    )
    return svg.document(WIDTH, below + 14, d.title, body, class_="fb-routing")


def _lay_out(d: RoutingDrawing) -> _Sheet:
    """The largest scale at which everything is on the sheet."""
    od = float(d.outside_diameter_mm)
    lows, highs = zip(*(path.extent for path in d.paths), strict=True)
    lowest = Point(min(low.x for low in lows), min(low.y for low in lows))
    highest = Point(max(high.x for high in highs), max(high.y for high in highs))
    wide, high = highest.x - lowest.x + METAL_WIDER * od, highest.y - lowest.y + METAL_WIDER * od
    room = WIDTH - 2 * MARGIN - _beside(d)
    scale = min(room / wide, MOST_HEIGHT / high)
    drawn = max(od * scale, LEAST_WIDTH)
    # A narrow figure stands in the middle, where its radius has room for its label.
    left = MARGIN + METAL_WIDER * drawn / 2 + (room - wide * scale) / 2
    sheet = _Sheet(left, TOP + METAL_WIDER * drawn / 2, lowest, highest, scale, drawn)
    arc = _first_bend(d)
    above = TOP - _leader(arc, sheet)[0][1] if arc is not None else 0
    return replace(sheet, top=sheet.top + max(above, 0))


def _beside(d: RoutingDrawing) -> float:
    """Room for the upright dimension and its label."""
    return BESIDE + PER_CHARACTER * len(d.across_label) - MARGIN if d.across_label else 0


def _first_bend(d: RoutingDrawing) -> Arc | None:
    """The bend whose radius is shown."""
    bends = (part for part in d.paths[0].segments if isinstance(part, Arc))
    return next(bends, None) if d.radius_label else None


def _path(path: Path, sheet: _Sheet, *, class_: str, dash: str | None = None) -> str:
    """Both sides of the hose, and the outline of each end's metal."""
    strokes = [
        _metal(part, sheet, dash) for part in path.segments if isinstance(part, Line) and not part.flexible
    ]
    hose = [part for part in path.segments if part.flexible]
    width = svg.MEDIUM if dash is None else svg.THIN
    strokes += [svg.path(_side(hose, side, sheet), class_=class_, width=width, dash=dash) for side in (1, -1)]
    return "".join(strokes)


def _side(parts: Iterable[Line | Arc], side: int, sheet: _Sheet) -> str:
    """Path data of one side of the hose: half the outside diameter to the left (1) or the right (-1)."""
    half = sheet.od / 2 / sheet.scale
    data = ""
    for part in parts:
        heading = _heading(part)
        if not data:
            data = f"M{_pair(sheet.at(part.start.moved(half, heading + 90 * side)))}"
        if isinstance(part, Line):
            data += f"L{_pair(sheet.at(part.end.moved(half, heading + 90 * side)))}"
            continue
        turn = math.copysign(1, part.sweep_deg)
        radius = max(part.radius - turn * side * half, 0)
        end = part.centre.moved(radius, part.from_deg + part.sweep_deg)
        r = svg.number(radius * sheet.scale)
        data += f"A{r} {r} 0 0 {int(turn < 0)} {_pair(sheet.at(end))}"
    return data


def _centreline(path: Path, sheet: _Sheet) -> str:
    data = f"M{_pair(sheet.at(path.start))}"
    for part in path.segments:
        if isinstance(part, Arc):
            r = svg.number(part.radius * sheet.scale)
            data += f"A{r} {r} 0 0 {int(part.sweep_deg < 0)} {_pair(sheet.at(part.end))}"
        else:
            data += f"L{_pair(sheet.at(part.end))}"
    return svg.path(data, class_="fb-centreline", width=svg.THIN, dash=svg.CHAIN)


def _metal(part: Line, sheet: _Sheet, dash: str | None) -> str:
    half = METAL_WIDER * sheet.od / 2 / sheet.scale
    heading = _heading(part)
    corners = [
        sheet.at(point.moved(half, heading + turn))
        for point, turn in ((part.start, 90), (part.end, 90), (part.end, -90), (part.start, -90))
    ]
    return svg.element(
        "path",
        class_="fb-metal" if dash is None else "fb-travel",
        d=svg.polyline(corners, close=True),
        stroke_width=svg.MEDIUM if dash is None else svg.THIN,
        stroke_dasharray=dash,
        fill="currentColor",
        fill_opacity="0.2" if dash is None else "0",
    )


def _ends(path: Path, sheet: _Sheet) -> str:
    """The letters of both ends, a little beyond their datums."""
    first, last = path.segments[0], path.segments[-1]
    beyond = 18 / sheet.scale
    outwards = _heading(last) + (last.sweep_deg if isinstance(last, Arc) else 0)
    letters = (("A", path.start.moved(-beyond, _heading(first))), ("B", path.end.moved(beyond, outwards)))
    return "".join(
        svg.text((x, y + 7), letter, class_=f"fb-end-{letter.lower()}", bold=True)
        for letter, (x, y) in ((letter, sheet.at(point)) for letter, point in letters)
    )


def _radius(arc: Arc, sheet: _Sheet, label: str) -> str:
    """A leader from the inside of the bend towards its centre, with the radius at its end."""
    foot, edge = _leader(arc, sheet)
    long = PER_CHARACTER * len(label)
    if foot[0] > long:
        at, anchor = (foot[0] - 6, foot[1] + 5), "end"
    else:
        at, anchor = (MARGIN, foot[1] - 8), "start"
    return (
        svg.line(foot, edge, class_="fb-radius")
        + svg.arrow_head(edge, math.degrees(math.atan2(edge[1] - foot[1], edge[0] - foot[0])))
        + svg.text(at, label, class_="fb-radius-label", anchor=anchor)
    )


def _leader(arc: Arc, sheet: _Sheet) -> tuple[svg.Point, svg.Point]:
    """From where and to where the leader goes: its foot on the way to the centre, and the inside edge."""
    middle_deg = arc.from_deg + arc.sweep_deg / 2
    inside = max(arc.radius - sheet.od / 2 / sheet.scale, 0)
    foot = arc.centre.moved(max(inside - LEADER / sheet.scale, 0), middle_deg)
    return sheet.at(foot), sheet.at(arc.centre.moved(inside, middle_deg))


def _along(d: RoutingDrawing, sheet: _Sheet, y: float) -> str:
    ends = sorted((sheet.at(d.paths[0].start), sheet.at(d.paths[0].end)))
    return svg.dimension(ends[0], ends[1], y, d.along_label, name="along")


def _across(d: RoutingDrawing, sheet: _Sheet) -> str:
    """A level pair of extension lines to the right and an upright dimension between them."""
    upper, lower = sorted((sheet.at(d.paths[0].start), sheet.at(d.paths[0].end)), key=lambda place: place[1])
    x = sheet.right + sheet.od / 2 + 40
    strokes = [
        svg.line((place[0] + 5, place[1]), (x + 5, place[1]), class_="fb-extension")
        for place in (upper, lower)
    ]
    strokes += [
        svg.line((x, upper[1]), (x, lower[1]), class_="fb-across"),
        svg.arrow_head((x, upper[1]), -90),
        svg.arrow_head((x, lower[1]), 90),
        svg.text(
            (x + 7, (upper[1] + lower[1]) / 2 + 6), d.across_label, class_="fb-across-label", anchor="start"
        ),
    ]
    return "".join(strokes)


def _heading(part: Line | Arc) -> float:
    """The direction at the start of a part, in degrees counter-clockwise from x."""
    if isinstance(part, Arc):
        return part.from_deg + math.copysign(90, part.sweep_deg)
    return math.degrees(math.atan2(part.end.y - part.start.y, part.end.x - part.start.x))


def _pair(place: svg.Point) -> str:
    return f"{svg.number(place[0])} {svg.number(place[1])}"
