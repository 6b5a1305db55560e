"""Orientation as a clock face, seen along the hose from its near end.

The near end points to six o'clock; the angle runs counter-clockwise to the far end (MIL-DTL-83796/5
Figure 3, which points to SAE J517).
"""

import math
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.svg import Point
from shop.engineering.numbers import plain
from shop.engineering.orientation import AngleConvention

FULL_TURN = 360
CONVENTION_SIZE = 132.0
EXAMPLE_DEG = 75.0  # large enough for its arrow, and no angle that is the same the other way round


def on_clock(centre: Point, radius: float, angle_deg: float) -> Point:
    """A point of the clock face at an angle counter-clockwise from six o'clock, in drawing units."""
    turn = math.radians(angle_deg)
    return (centre[0] + radius * math.sin(turn), centre[1] + radius * math.cos(turn))


def draw_clock(centre: Point, radius: float, orientation_deg: Decimal, near: str, far: str) -> str:
    """The face, a hand for each end with its letter, and the angle as an arc with an arrow."""
    angle = float(orientation_deg % FULL_TURN)
    strokes = [
        _face(centre, radius),
        _hand(centre, radius, 0, class_="fb-hand-near"),
        _hand(centre, radius, angle, class_="fb-hand-far"),
        _arc(centre, radius * 0.5, 0, angle),
    ]
    letters: list[tuple[str, float]] = [(near, 0.0), (far, angle)] if angle else [(f"{near}, {far}", 0.0)]
    strokes += [_letter(centre, radius, letter, at) for letter, at in letters]
    label = f"{plain(orientation_deg)}°"
    strokes.append(
        svg.text((centre[0], centre[1] - radius - 32), label, class_="fb-orientation-label", bold=True)
    )
    return "".join(strokes)


def draw_convention(convention: AngleConvention) -> str:
    """How somebody counts the angle, as SVG: from which end at which hour, and which way round."""
    centre, radius = (CONVENTION_SIZE / 2, CONVENTION_SIZE / 2), CONVENTION_SIZE / 2 - 24
    first, at, other = ("A", 0.0, "B") if convention.is_from_near_end else ("B", 180.0, "A")
    turn = EXAMPLE_DEG if convention.is_counter_clockwise else -EXAMPLE_DEG
    hands = {"A": "fb-hand-near", "B": "fb-hand-far"}
    body = [
        _face(centre, radius),
        _hand(centre, radius, at, class_=hands[first]),
        _hand(centre, radius, at + turn, class_=hands[other]),
        _arc(centre, radius * 0.6, at, turn),
        _letter(centre, radius, first, at),
        _letter(centre, radius, other, at + turn),
    ]
    title = f"How the angle is counted, seen from A: {convention.words}"
    return svg.document(CONVENTION_SIZE, CONVENTION_SIZE, title, body, class_="fb-convention")


def _face(centre: Point, radius: float) -> str:
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
    return "".join(strokes)


def _hand(centre: Point, radius: float, at_deg: float, *, class_: str) -> str:
    return svg.line(centre, on_clock(centre, radius, at_deg), class_=class_, width=svg.THICK)


def _letter(centre: Point, radius: float, letter: str, at_deg: float) -> str:
    x, y = on_clock(centre, radius + 15, at_deg)
    return svg.text((x, y + 6), letter, class_="fb-clock-letter", size=svg.SMALL, bold=True)


def _arc(centre: Point, radius: float, from_deg: float, turn_deg: float) -> str:
    """The angle itself, drawn the way it is measured, clockwise if negative; nothing for two ends in line."""
    if turn_deg == 0:
        return ""
    end_deg = from_deg + turn_deg
    start, end = on_clock(centre, radius, from_deg), on_clock(centre, radius, end_deg)
    large = 1 if abs(turn_deg) > FULL_TURN / 2 else 0
    # Counter-clockwise on the page is sweep 0; the arrow follows the circle at the arc's end.
    sweep, ahead = (0, -end_deg) if turn_deg > 0 else (1, 180 - end_deg)
    size = svg.number(radius)
    d = (
        f"M{svg.number(start[0])} {svg.number(start[1])}"
        f"A{size} {size} 0 {large} {sweep} {svg.number(end[0])} {svg.number(end[1])}"
    )
    chord = math.degrees(svg.ARROW_LENGTH / radius) / 2
    follow = chord if turn_deg > 0 else -chord
    return svg.path(d, class_="fb-orientation", width=svg.THIN) + svg.arrow_head(end, ahead + follow)
