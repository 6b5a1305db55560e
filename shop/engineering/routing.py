"""How long a hose has to be to lie straight, round a bend, in a U, or offset, and the path that it takes.

The bend radius that standards print is measured on the INSIDE of the bend (EN 853:2015 cl. 6.2); a
hose's length is that of its centreline, whose radius is larger by half the outside diameter. So an arc
is angle/360 × 2π (R + OD/2). Printed formulas that leave OD/2 out come out short: 282.7 mm instead of
300.8 for 90° at R 180 with OD 23. Radii here are inside ones unless they are named centreline.

Before and after a bend the hose runs straight for 1.5 outside diameters (DGUV Regel 113-020 Fig. 9),
and the ends' metal is not part of the flexible length (FAA AC 43.13-1B Fig. 9-9).
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.engineering.numbers import plain
from shop.engineering.paths import Path
from shop.engineering.ranges import require_within
from shop.engineering.routing_shapes import (
    CAUTIONS,
    ENDS_ARE_STIFF,
    LONGEST_MM,
    STRAIGHT_BEFORE_A_BEND,
    FixedEnd,
    Hose,
    SCurve,
    at_least,
    bend_path,
    check_radius,
    check_run,
    rounded_mm,
    s_path,
    straight_path,
    u_paths,
)

SLACK_PERCENT = Decimal(5)  # at least 5 (Army AL0907), 5 to 8 (Navy 14105 p. 5-11)
LENGTHENS_PERCENT, SHORTENS_PERCENT = Decimal(2), Decimal(4)  # FAA AC 43.13-1B Fig. 9-9


class Layout(StrEnum):
    STRAIGHT = "straight"
    BEND = "bend"
    U = "U"
    OFFSET = "offset"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the length, in words, and how long it is (mm, rounded to a thousandth)."""

    name: str
    mm: Decimal


@dataclass(frozen=True, slots=True)
class Route:
    """The length that a layout needs, part by part from end A to end B.

    `overall_mm` is from datum to datum along the centreline and is the sum of the stretches. `paths` show
    the hose without its slack: one, or for a U that travels the middle and both extremes.
    """

    layout: Layout
    hose: Hose
    stretches: tuple[Stretch, ...]
    inside_radius_mm: Decimal | None
    paths: tuple[Path, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def overall_mm(self) -> Decimal:
        return sum((stretch.mm for stretch in self.stretches), Decimal(0))

    @property
    def flexible_mm(self) -> Decimal:
        return self.overall_mm - self.hose.metal_mm

    @property
    def centreline_radius_mm(self) -> Decimal | None:
        return None if self.inside_radius_mm is None else self.hose.centreline_mm(self.inside_radius_mm)

    @property
    def lengthens_mm(self) -> Decimal:
        """How much longer pressure may make it: 2 % of the flexible length (FAA AC 43.13-1B Fig. 9-9)."""
        return self.flexible_mm * LENGTHENS_PERCENT / 100

    @property
    def shortens_mm(self) -> Decimal:
        """How much shorter pressure may make it: 4 % of the flexible length (FAA AC 43.13-1B Fig. 9-9)."""
        return self.flexible_mm * SHORTENS_PERCENT / 100


def straight_route(hose: Hose, distance_mm: Decimal, slack_percent: Decimal = SLACK_PERCENT) -> Route:
    """The length between two ports that face each other, `distance_mm` from datum to datum.

    Slack is a share of the flexible length. Raises `NotANumber`, or `OutOfRange` for a distance that the
    ends' metal fills.
    """
    require_within(distance_mm, "distance", "mm", Decimal(0), LONGEST_MM)
    laid = distance_mm - hose.metal_mm
    if laid <= 0:
        raise at_least("distance", distance_mm, hose.metal_mm, "The ends' metal alone fills it.")
    return Route(
        layout=Layout.STRAIGHT,
        hose=hose,
        stretches=_stretches(hose, [("hose, laid straight", laid)], slack_percent),
        inside_radius_mm=None,
        paths=(straight_path(hose, float(laid)),),
        assumptions=(*_assumptions(slack_percent), "Both ports lie on one line and face each other."),
    )


def bend_route(
    hose: Hose,
    angle_deg: Decimal,
    inside_radius_mm: Decimal,
    *,
    run_a_mm: Decimal | None = None,
    run_b_mm: Decimal | None = None,
    slack_percent: Decimal = Decimal(0),
) -> Route:
    """The length round one bend of `angle_deg` (the change of direction) at an inside radius.

    The straight runs are 1.5 outside diameters where none are given. Raises `NotANumber`, or
    `OutOfRange` for a radius below the hose's or a run that is too short.
    """
    require_within(angle_deg, "angle of the bend", "°", Decimal(1), Decimal(180))
    check_radius(hose, inside_radius_mm)
    run_a = check_run(hose, "A", run_a_mm)
    run_b = check_run(hose, "B", run_b_mm)
    centreline = float(hose.centreline_mm(inside_radius_mm))
    name = f"bend of {plain(angle_deg)}°"
    arc = centreline * math.radians(float(angle_deg))
    return Route(
        layout=Layout.BEND,
        hose=hose,
        stretches=_stretches(
            hose,
            [("straight run at end A", run_a), (name, arc), ("straight run at end B", run_b)],
            slack_percent,
        ),
        inside_radius_mm=inside_radius_mm,
        paths=(bend_path(hose, centreline, float(angle_deg), float(run_a), float(run_b)),),
        assumptions=(_radius_meant(hose, inside_radius_mm), *_assumptions(slack_percent)),
    )


def u_route(
    hose: Hose,
    inside_radius_mm: Decimal,
    travel_mm: Decimal = Decimal(0),
    fixed_end: FixedEnd = FixedEnd.MIDDLE,
    *,
    slack_percent: Decimal = Decimal(0),
) -> Route:
    """The length of a U between two ports that point the same way, one of which may travel along it.

    Travel moves the bend by half of itself. With the fixed end level with the middle of the travel, half
    the travel is added (from memory; geometry says the same), else all of it. Ends with unequal metal
    have level datums in the middle, so the shorter one has the longer run. Raises as `bend_route`.
    """
    check_radius(hose, inside_radius_mm)
    require_within(travel_mm, "travel", "mm", Decimal(0), LONGEST_MM)
    difference = fixed_end.difference_mm(travel_mm)
    side = hose.straight_run_mm + max(hose.metal_a_mm, hose.metal_b_mm)
    centreline = hose.centreline_mm(inside_radius_mm)
    return Route(
        layout=Layout.U,
        hose=hose,
        stretches=_stretches(
            hose,
            [
                ("straight run at end A", side - hose.metal_a_mm),
                ("for the travel", difference),
                ("bend of 180°", float(centreline) * math.pi),
                ("straight run at end B", side - hose.metal_b_mm),
            ],
            slack_percent,
        ),
        inside_radius_mm=inside_radius_mm,
        paths=u_paths(hose, float(centreline), float(2 * side + difference), travel_mm, fixed_end),
        assumptions=(
            _radius_meant(hose, inside_radius_mm),
            f"The ports are {plain(2 * centreline)} mm apart, centre to centre, and point the same way.",
            f"Travel is along the U, and the fixed end is level with the {fixed_end}.",
            *_assumptions(slack_percent),
        ),
    )


def offset_route(
    hose: Hose,
    offset_mm: Decimal,
    inside_radius_mm: Decimal,
    distance_mm: Decimal | None = None,
    *,
    slack_percent: Decimal = Decimal(0),
) -> Route:
    """The length between two ports that face each other on parallel lines, `offset_mm` apart.

    Two equal bends, one each way; beyond twice the centreline radius they are of 90° with a straight
    piece between. `distance_mm` is along the lines from datum to datum; without it, the least. Raises as
    `bend_route`, and `OutOfRange` for a distance that is too short.
    """
    require_within(offset_mm, "offset", "mm", Decimal("0.1"), LONGEST_MM)
    check_radius(hose, inside_radius_mm)
    shape = SCurve(float(hose.centreline_mm(inside_radius_mm)), float(offset_mm))
    least = rounded_mm(float(hose.metal_mm + 2 * hose.straight_run_mm) + shape.advance)
    distance = (
        least
        if distance_mm is None
        else require_within(distance_mm, "distance", "mm", Decimal(0), LONGEST_MM)
    )
    if distance < least:
        raise at_least("distance", distance, least, "The bends and the straight runs need more.")
    run = max(float(distance - hose.metal_mm) - shape.advance, 0) / 2
    bend = f"bend of {shape.angle_deg:.1f}°"
    return Route(
        layout=Layout.OFFSET,
        hose=hose,
        stretches=_stretches(
            hose,
            [
                ("straight run at end A", run),
                (f"{bend} one way", shape.arc),
                ("straight between the bends", shape.between),
                (f"{bend} the other way", shape.arc),
                ("straight run at end B", run),
            ],
            slack_percent,
        ),
        inside_radius_mm=inside_radius_mm,
        paths=(s_path(hose, shape, run),),
        assumptions=(
            _radius_meant(hose, inside_radius_mm),
            f"The datums are {plain(distance)} mm apart along the ports; both bends lie in one plane.",
            *_assumptions(slack_percent),
        ),
    )


def _stretches(
    hose: Hose, flexible: list[tuple[str, Decimal | float]], slack_percent: Decimal
) -> tuple[Stretch, ...]:
    require_within(slack_percent, "slack", "%", Decimal(0), Decimal(50))
    bending = [Stretch(name, rounded_mm(float(length))) for name, length in flexible if length]
    slack = sum((stretch.mm for stretch in bending), Decimal(0)) * slack_percent / 100
    whole = [
        Stretch("metal of end A", hose.metal_a_mm),
        *bending,
        Stretch(f"slack of {plain(slack_percent)} %", rounded_mm(float(slack))),
        Stretch("metal of end B", hose.metal_b_mm),
    ]
    return tuple(stretch for stretch in whole if stretch.mm)


def _assumptions(slack_percent: Decimal) -> tuple[str, ...]:
    return (
        ENDS_ARE_STIFF,
        STRAIGHT_BEFORE_A_BEND,
        f"Slack of {plain(slack_percent)} % is in the length and not in the drawing.",
        f"Under pressure the hose may become {plain(LENGTHENS_PERCENT)} % longer or "
        f"{plain(SHORTENS_PERCENT)} % shorter (FAA AC 43.13-1B Fig. 9-9); a bend that is free to move takes "
        "that up.",
    )


def _radius_meant(hose: Hose, inside_radius_mm: Decimal) -> str:
    return (
        f"The bend radius is {plain(inside_radius_mm)} mm on the inside, so "
        f"{plain(hose.centreline_mm(inside_radius_mm))} mm at the centreline, along which length is counted."
    )
