"""Diameters that one tooling made, one after the other in time, between the chart's limits."""

from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.axis import Axis, axis_over, level_axis, upright_axis

WIDTH, HEIGHT = 640.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 78.0, 96.0, 44.0, 62.0
DOT, CROSS = 4.0, 5.0


@dataclass(frozen=True, slots=True)
class Reading:
    """One mean diameter in millimetres, and when: in the unit of the drawing's label, from its nought on.

    `passes` as it was judged then; `is_own` if it is of the assembly that the drawing is about.
    """

    at: Decimal
    mean_mm: Decimal
    passes: bool
    is_own: bool = False


@dataclass(frozen=True, slots=True)
class ReadingsDrawing:
    """Readings between their limits, all in millimetres. Without readings only the limits are drawn."""

    title: str
    time_label: str
    lower_mm: Decimal
    target_mm: Decimal
    upper_mm: Decimal
    readings: tuple[Reading, ...]


def draw_readings(d: ReadingsDrawing) -> str:
    """The readings as SVG: dots, crosses for what did not pass, and a ring around the assembly's own."""
    across = axis_over([Decimal(0), *(reading.at for reading in d.readings)], LEFT, WIDTH - RIGHT)
    diameters = [d.lower_mm, d.upper_mm, *(reading.mean_mm for reading in d.readings)]
    up = axis_over(diameters, HEIGHT - BOTTOM, TOP)
    body = [
        upright_axis(up, LEFT, "crimp diameter, mm"),
        level_axis(across, HEIGHT - BOTTOM, d.time_label),
        _limit(d.upper_mm, up, "upper limit"),
        _limit(d.target_mm, up, "target", dash=svg.CHAIN),
        _limit(d.lower_mm, up, "lower limit"),
        *(_reading(reading, across, up) for reading in d.readings),
    ]
    return svg.document(WIDTH, HEIGHT, d.title, body, class_="fb-readings")


def _limit(value: Decimal, up: Axis, label: str, dash: str | None = None) -> str:
    y = up.place(value)
    stroke = svg.line((LEFT, y), (WIDTH - RIGHT, y), class_="fb-limit", width=svg.MEDIUM, dash=dash)
    return stroke + svg.text(
        (WIDTH - RIGHT + 6, y + 5), label, class_="fb-limit-label", size=svg.SMALL, anchor="start"
    )


def _reading(reading: Reading, across: Axis, up: Axis) -> str:
    x, y = across.place(reading.at), up.place(reading.mean_mm)
    if reading.passes:
        mark = svg.circle((x, y), DOT, class_="fb-passes")
    else:
        strokes = (((x - CROSS, y + turn), (x + CROSS, y - turn)) for turn in (CROSS, -CROSS))
        mark = "".join(svg.line(*ends, class_="fb-does-not-pass", width=svg.MEDIUM) for ends in strokes)
    if not reading.is_own:
        return mark
    ring = svg.circle((x, y), 2.5 * DOT, class_="fb-own", width=svg.THICK)
    return mark + ring + svg.text((x, y - 18), "this one", class_="fb-own-label", size=svg.SMALL, bold=True)
