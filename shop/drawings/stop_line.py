"""Crimp diameter against stop thickness: the crimps, the line through them, and what is asked of it."""

from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.axis import Axis, axis_over, level_axis, upright_axis

WIDTH, HEIGHT = 560.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 84.0, 20.0, 48.0, 64.0

Pair = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class Expected:
    """Where the next crimp with a stop is expected, mm: from `low` to `high` with 95 %."""

    thickness: Decimal
    diameter: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class StopLineDrawing:
    """All in mm. `line` are two points of the fitted line; `limits` are the chart's, if asked for."""

    title: str
    crimps: tuple[Pair, ...]
    line: tuple[Pair, Pair]
    expected: Expected | None = None
    limits: Pair | None = None


def draw_stop_line(d: StopLineDrawing) -> str:
    """The crimps and their line as SVG, both axes linear and only as long as the figures need."""
    thicknesses, diameters = [[pair[i] for pair in (*d.crimps, *d.line)] for i in (0, 1)]
    if d.expected is not None:
        thicknesses.append(d.expected.thickness)
        diameters += [d.expected.low, d.expected.high]
    across = axis_over(thicknesses, LEFT, WIDTH - RIGHT)
    up = axis_over([*diameters, *(d.limits or ())], HEIGHT - BOTTOM, TOP)
    body = [
        level_axis(across, HEIGHT - BOTTOM, "stop thickness, mm"),
        upright_axis(up, LEFT, "crimp diameter, mm"),
        _limits(d, up),
        svg.path(
            svg.polyline([(across.place(x), up.place(y)) for x, y in d.line]),
            class_="fb-line",
            width=svg.MEDIUM,
        ),
        *(svg.circle((across.place(x), up.place(y)), 4.5, class_="fb-crimp") for x, y in d.crimps),
        _expected(d, across, up),
    ]
    return svg.document(WIDTH, HEIGHT, d.title, body, class_="fb-stop-line")


def _limits(d: StopLineDrawing, up: Axis) -> str:
    """Both limits of the chart across the drawing, named at the right."""
    if d.limits is None:
        return ""
    strokes = []
    for value, words, above in ((d.limits[0], "lower limit", 18), (d.limits[1], "upper limit", -6)):
        y = up.place(value)
        strokes.append(svg.line((LEFT, y), (WIDTH - RIGHT, y), class_="fb-limit", dash=svg.HIDDEN))
        at = (WIDTH - RIGHT, y + above)
        strokes.append(svg.text(at, words, class_="fb-limit-label", size=svg.SMALL, anchor="end"))
    return "".join(strokes)


def _expected(d: StopLineDrawing, across: Axis, up: Axis) -> str:
    """The next crimp's interval as a bar with caps, and the stop down to its axis."""
    if d.expected is None:
        return ""
    x = across.place(d.expected.thickness)
    low, middle, high = (up.place(v) for v in (d.expected.low, d.expected.diameter, d.expected.high))
    caps = "".join(svg.line((x - 6, y), (x + 6, y), class_="fb-cap", width=svg.MEDIUM) for y in (low, high))
    return (
        svg.line((x, middle), (x, HEIGHT - BOTTOM), class_="fb-at", dash=svg.CHAIN)
        + svg.line((x, low), (x, high), class_="fb-expected", width=svg.THICK)
        + caps
        + svg.line((x - 9, middle), (x + 9, middle), class_="fb-expected-middle", width=svg.THICK)
    )
