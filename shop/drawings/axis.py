"""A level axis that need not begin at nought: its ticks, and where a value stands on it."""

import math
from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.curve import tick_step
from shop.engineering.numbers import plain

ROOM = Decimal("0.06")  # of the span, beside the outermost values
NO_SPAN = Decimal(1)  # for values that are all the same


@dataclass(frozen=True, slots=True)
class Axis:
    """From `low` to `high`, drawn from `start` to `end` in drawing units."""

    low: Decimal
    high: Decimal
    start: float
    end: float

    def place(self, value: Decimal) -> float:
        return self.start + float((value - self.low) / (self.high - self.low)) * (self.end - self.start)

    @property
    def ticks(self) -> tuple[Decimal, ...]:
        step = tick_step(self.high - self.low)
        first, last = math.ceil(self.low / step), math.floor(self.high / step)
        return tuple(step * number for number in range(first, last + 1))


def axis_over(values: list[Decimal], start: float, end: float) -> Axis:
    """An axis with all of the values on it and a little room beside them."""
    low, high = min(values), max(values)
    room = (high - low) * ROOM or NO_SPAN
    return Axis(low - room, high + room, start, end)


def level_axis(axis: Axis, y: float, label: str) -> str:
    """The axis as a line at height `y` with ticks, figures and its label below."""
    strokes = [svg.line((axis.start, y), (axis.end, y), class_="fb-axis")]
    for value in axis.ticks:
        x = axis.place(value)
        strokes.append(svg.line((x, y), (x, y + 5), class_="fb-tick"))
        strokes.append(svg.text((x, y + 22), plain(value), class_="fb-tick-x", size=svg.SMALL))
    middle = ((axis.start + axis.end) / 2, y + 46)
    strokes.append(svg.text(middle, label, class_="fb-x-label", size=svg.SMALL))
    return "".join(strokes)


def upright_axis(axis: Axis, x: float, label: str) -> str:
    """The axis as a line at `x` with ticks and figures to its left and its label above; `start` is below."""
    strokes = [svg.line((x, axis.start), (x, axis.end), class_="fb-axis")]
    for value in axis.ticks:
        y = axis.place(value)
        strokes.append(svg.line((x - 5, y), (x, y), class_="fb-tick"))
        strokes.append(
            svg.text((x - 9, y + 5), plain(value), class_="fb-tick-y", size=svg.SMALL, anchor="end")
        )
    strokes.append(svg.text((8, axis.end - 14), label, class_="fb-y-label", size=svg.SMALL, anchor="start"))
    return "".join(strokes)
