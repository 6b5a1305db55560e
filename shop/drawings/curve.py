"""One quantity against another: a curve in stretches, with axes, and a point on it."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from shop.drawings import svg
from shop.engineering.numbers import plain

WIDTH, HEIGHT = 560.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 18.0, 40.0, 56.0
FIRST_ROW, ROW = 46.0, 20.0  # names of stretches stand above the curve, each on a line of its own
PER_CHARACTER = 9.0  # a name's length is estimated by its characters
MOST_TICKS = 6
_STEPS = (Decimal(1), Decimal(2), Decimal(5), Decimal(10))

Pair = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the curve by its name, from left to right; broken if it is not sure."""

    name: str
    points: tuple[Pair, ...]
    is_sure: bool = True


@dataclass(frozen=True, slots=True)
class CurveDrawing:
    """A curve as the drawing needs it: both quantities from nought up, with their units in the labels.

    `at` is the point that the page is about, and `at_label` what stands at it.
    """

    title: str
    x_label: str
    y_label: str
    stretches: tuple[Stretch, ...]
    at: Pair
    at_label: str

    @property
    def furthest(self) -> Pair:
        """The largest of both quantities that has to be on the sheet."""
        points = [self.at, *(point for stretch in self.stretches for point in stretch.points)]
        return max(x for x, _ in points), max(y for _, y in points)


def draw_curve(d: CurveDrawing) -> str:
    """The curve as SVG: both axes linear and from nought, a jump between two stretches left open."""
    x_to, y_to = (_end(value) for value in d.furthest)
    top = TOP + ROW * len(d.stretches)
    height = HEIGHT + ROW * len(d.stretches)

    def place(pair: Pair) -> svg.Point:
        return (
            LEFT + float(pair[0] / x_to) * (WIDTH - LEFT - RIGHT),
            height - BOTTOM - float(pair[1] / y_to) * (height - top - BOTTOM),
        )

    body = [_axes(d, x_to, y_to, place)]
    body += [_stretch(stretch, row, place, top) for row, stretch in enumerate(d.stretches)]
    return svg.document(WIDTH, height, d.title, [*body, _at(d, place)], class_="fb-curve")


def tick_step(up_to: Decimal) -> Decimal:
    """1, 2 or 5 times a power of ten, so that at most `MOST_TICKS` of it reach `up_to`."""
    least = up_to / MOST_TICKS
    power = Decimal(10) ** math.floor(least.log10())
    return next(step * power for step in _STEPS if step * power >= least)


def _end(value: Decimal) -> Decimal:
    """The tick at or beyond a value, where an axis ends."""
    step = tick_step(value)
    return (value / step).to_integral_value(ROUND_CEILING) * step


Place = Callable[[Pair], svg.Point]


def _axes(d: CurveDrawing, x_to: Decimal, y_to: Decimal, place: Place) -> str:
    nought = Decimal(0)
    origin, right, top = place((nought, nought)), place((x_to, nought)), place((nought, y_to))
    strokes = [svg.line(origin, right, class_="fb-axis"), svg.line(origin, top, class_="fb-axis")]
    for value in _ticks(x_to):
        x, y = place((value, nought))
        strokes.append(svg.line((x, y), (x, y + 5), class_="fb-tick"))
        strokes.append(svg.text((x, y + 22), plain(value), class_="fb-tick-x", size=svg.SMALL))
    for value in _ticks(y_to):
        x, y = place((nought, value))
        strokes.append(svg.line((x - 5, y), (x, y), class_="fb-tick"))
        strokes.append(
            svg.text((x - 9, y + 5), plain(value), class_="fb-tick-y", size=svg.SMALL, anchor="end")
        )
    strokes.append(
        svg.text((right[0], right[1] + 44), d.x_label, class_="fb-x-label", size=svg.SMALL, anchor="end")
    )
    strokes.append(svg.text((8, 24), d.y_label, class_="fb-y-label", size=svg.SMALL, anchor="start"))
    return "".join(strokes)


def _ticks(up_to: Decimal) -> list[Decimal]:
    step = tick_step(up_to)
    return [step * number for number in range(int(up_to / step) + 1)]


def _stretch(stretch: Stretch, row: int, place: Place, plot_top: float) -> str:
    """The stretch, and its name above the axes where it begins."""
    points = [place(point) for point in stretch.points]
    x, above = points[0][0], FIRST_ROW + row * ROW
    is_far = x + PER_CHARACTER * len(stretch.name) > WIDTH
    return (
        svg.path(
            svg.polyline(points),
            class_="fb-stretch",
            width=svg.THICK,
            dash=None if stretch.is_sure else svg.HIDDEN,
        )
        + svg.line((x, above - 12), (x, plot_top), class_="fb-begins")
        + svg.text(
            (x - 5 if is_far else x + 5, above),
            stretch.name,
            class_="fb-stretch-name",
            size=svg.SMALL,
            anchor="end" if is_far else "start",
        )
    )


def _at(d: CurveDrawing, place: Place) -> str:
    """The point with a line down to each axis, and its label above and to the left of it."""
    x, y = place(d.at)
    foot, side = place((d.at[0], Decimal(0))), place((Decimal(0), d.at[1]))
    anchor, left = ("end", x - 10) if x > WIDTH / 2 else ("start", x + 10)
    return (
        svg.line((x, y), foot, class_="fb-at-x", dash=svg.CHAIN)
        + svg.line((x, y), side, class_="fb-at-y", dash=svg.CHAIN)
        + svg.circle((x, y), 5, class_="fb-at", width=svg.THICK)
        + svg.text((left, y - 12), d.at_label, class_="fb-at-label", anchor=anchor, bold=True)
    )
