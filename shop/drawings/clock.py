"""Orientation as a clock face, seen along the hose from its near end.

The near end points to six o'clock; the angle runs counter-clockwise to the far end (MIL-DTL-83796/5
Figure 3, which points to SAE J517).
"""

import math
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.svg import Point
from shop.engineering.numbers import plain

FULL_TURN = 360


def on_clock(centre: Point, radius: float, angle_deg: float) -> Point:
    """A point of the clock face at an angle counter-clockwise from six o'clock, in drawing units."""
    turn = math.radians(angle_deg)
    return (centre[0] + radius * math.sin(turn), centre[1] + radius * math.cos(turn))


def draw_clock(centre: Point, radius: float, orientation_deg: Decimal, near: str, far: str) -> str:
    """The face, a hand for each end with its letter, and the angle as an arc with an arrow."""
    angle = float(orientation_deg % FULL_TURN)
    strokes = [svg.circle(centre, radius, class_="fb-clock")]
    for hour in range(12):
        inner = radius * (0.84 if hour % 3 == 0 else 0.92)
        strokes.append(
            svg.line(
                on_clock(centre, inner, hour * 30),
                on_clock(centre, radius, hour * 30),
                class_="fb-clock-hour",
            )
        )
    strokes.append(svg.line(centre, on_clock(centre, radius, 0), class_="fb-hand-near", width=svg.THICK))
    strokes.append(svg.line(centre, on_clock(centre, radius, angle), class_="fb-hand-far", width=svg.THICK))
    strokes.append(_arc(centre, radius * 0.5, angle))
    letters: list[tuple[str, float]] = [(near, 0.0), (far, angle)] if angle else [(f"{near}, {far}", 0.0)]
    for letter, at in letters:
        x, y = on_clock(centre, radius + 15, at)
        strokes.append(svg.text((x, y + 6), letter, class_="fb-clock-letter", size=svg.SMALL, bold=True))
    label = f"{plain(orientation_deg)}°"
    strokes.append(
        svg.text((centre[0], centre[1] - radius - 32), label, class_="fb-orientation-label", bold=True)
    )
    return "".join(strokes)


def _arc(centre: Point, radius: float, angle_deg: float) -> str:
    """The angle itself, drawn the way it is measured; nothing for two ends in line."""
    if angle_deg == 0:
        return ""
    start, end = on_clock(centre, radius, 0), on_clock(centre, radius, angle_deg)
    large = 1 if angle_deg > FULL_TURN / 2 else 0
    size = svg.number(radius)
    # Counter-clockwise on the page is sweep 0; the arrow follows the circle at the arc's end.
    d = (
        f"M{svg.number(start[0])} {svg.number(start[1])}"
        f"A{size} {size} 0 {large} 0 {svg.number(end[0])} {svg.number(end[1])}"
    )
    chord = math.degrees(svg.ARROW_LENGTH / radius) / 2
    return svg.path(d, class_="fb-orientation", width=svg.THIN) + svg.arrow_head(end, chord - angle_deg)
