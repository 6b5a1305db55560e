"""The question of routing the other way round: this length between these ports, which bend results?

Radii are inside ones unless they are named centreline, as in `routing`. A length that can't lie in the
layout at all is refused with the lengths that can; one that can is returned with the radius and the
straight runs that result, and whether hose and rules allow them. Sources: the geometry itself; those of the
rules stand in `routing`.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain
from shop.engineering.paths import Path
from shop.engineering.ranges import require_within
from shop.engineering.routing import SHORTENS_PERCENT, SLACK_PERCENT, Layout
from shop.engineering.routing_shapes import (
    CAUTIONS,
    ENDS_ARE_STIFF,
    LONGEST_MM,
    STRAIGHT_BEFORE_A_BEND,
    FixedEnd,
    Hose,
    SCurve,
    bend_path,
    rounded_mm,
    s_path,
    straight_path,
    u_paths,
)

_ROUNDED_MM = Decimal("0.01")  # what lengths kept to a thousandth may add up to
_HALVINGS = 80  # of an interval of up to 10⁵ mm: far below a thousandth
_SHARPEST_DEG, _WIDEST_DEG = Decimal(1), Decimal(170)
_ASSUMPTIONS = (
    ENDS_ARE_STIFF,
    STRAIGHT_BEFORE_A_BEND,
    "The hose lies in one plane, in arcs of one radius; real hose bends most in its middle, and its "
    "sharpest place is sharper than an arc.",
)


@dataclass(frozen=True, slots=True)
class Fit:
    """What results when a length lies in a layout (mm), and each thing that speaks against it.

    A straight layout has no radius and no runs, but `slack_percent`.
    """

    layout: Layout
    inside_radius_mm: Decimal | None
    run_a_mm: Decimal | None
    run_b_mm: Decimal | None
    slack_percent: Decimal | None
    objections: tuple[str, ...]
    paths: tuple[Path, ...]
    assumptions: tuple[str, ...] = _ASSUMPTIONS
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def allowed(self) -> bool:
        return not self.objections


def fit_straight(hose: Hose, overall_mm: Decimal, distance_mm: Decimal) -> Fit:
    """The slack of an overall length between two ports that face each other, as a share of the hose's.

    Raises `NotANumber`, or `OutOfRange` for a length that doesn't reach or a distance that the metal fills.
    """
    _check_length(hose, overall_mm)
    require_within(distance_mm, "distance", "mm", hose.metal_mm, LONGEST_MM)
    laid = distance_mm - hose.metal_mm
    if overall_mm < distance_mm or laid == 0:
        raise _does_not_lie(overall_mm, float(distance_mm), math.inf)
    slack = (overall_mm - distance_mm) * 100 / laid
    too_little = (
        f"It has {slack:.1f} % of slack and pressure may make it {plain(SHORTENS_PERCENT)} % shorter (FAA AC "
        f"43.13-1B Fig. 9-9). Give it {plain(SLACK_PERCENT)} % or more."
    )
    return Fit(
        layout=Layout.STRAIGHT,
        inside_radius_mm=None,
        run_a_mm=None,
        run_b_mm=None,
        slack_percent=rounded_mm(float(slack)),
        objections=(too_little,) if slack < SHORTENS_PERCENT else (),
        paths=(straight_path(hose, float(laid)),),
    )


def fit_bend(
    hose: Hose, overall_mm: Decimal, angle_deg: Decimal, to_corner_a_mm: Decimal, to_corner_b_mm: Decimal
) -> Fit:
    """The bend of an overall length between two ports whose lines meet at a corner.

    `angle_deg` is the change of direction, 1 to 170; the distances are from each datum to the corner. With
    the centreline radius r the hose is shorter than the way round the corner by r (2 tan(α/2) - α).
    Raises `NotANumber`, or `OutOfRange` with the lengths that can lie so.
    """
    _check_length(hose, overall_mm)
    require_within(angle_deg, "angle of the bend", "°", _SHARPEST_DEG, _WIDEST_DEG)
    require_within(to_corner_a_mm, "distance from end A to the corner", "mm", hose.metal_a_mm, LONGEST_MM)
    require_within(to_corner_b_mm, "distance from end B to the corner", "mm", hose.metal_b_mm, LONGEST_MM)
    angle = math.radians(float(angle_deg))
    tangent = math.tan(angle / 2)
    saved = _saved(angle)
    legs = float(to_corner_a_mm - hose.metal_a_mm), float(to_corner_b_mm - hose.metal_b_mm)
    round_the_corner = float(to_corner_a_mm + to_corner_b_mm)
    shortest = round_the_corner - min(legs) / tangent * saved
    longest = round_the_corner - float(hose.outside_diameter_mm) / 2 * saved
    if not shortest <= float(overall_mm) <= longest:
        raise _does_not_lie(overall_mm, shortest, longest)
    centreline = (round_the_corner - float(overall_mm)) / saved
    runs = [max(leg - centreline * tangent, 0) for leg in legs]
    path = bend_path(hose, centreline, float(angle_deg), runs[0], runs[1])
    return _fit(Layout.BEND, hose, centreline, runs, (path,), saved=saved)


def fit_u(
    hose: Hose,
    overall_mm: Decimal,
    span_mm: Decimal,
    travel_mm: Decimal = Decimal(0),
    fixed_end: FixedEnd = FixedEnd.MIDDLE,
) -> Fit:
    """The U of an overall length between two ports that point the same way, `span_mm` between centres.

    The span alone makes the radius; the length is left for the straight runs, given where each is shortest
    over the travel. Raises `NotANumber`, or `OutOfRange` with the lengths that can lie so.
    """
    _check_length(hose, overall_mm)
    require_within(span_mm, "span", "mm", hose.outside_diameter_mm, LONGEST_MM)
    require_within(travel_mm, "travel", "mm", Decimal(0), LONGEST_MM)
    centreline = float(span_mm) / 2
    difference = float(fixed_end.difference_mm(travel_mm))
    sides = float(overall_mm) - math.pi * centreline
    metals = float(hose.metal_a_mm), float(hose.metal_b_mm)
    shortest = math.pi * centreline + difference + 2 * max(metals)
    if float(overall_mm) < shortest:
        raise _does_not_lie(overall_mm, shortest, math.inf)
    runs = [max((sides - difference) / 2 - metal, 0) for metal in metals]
    return _fit(Layout.U, hose, centreline, runs, u_paths(hose, centreline, sides, travel_mm, fixed_end))


def fit_offset(hose: Hose, overall_mm: Decimal, distance_mm: Decimal, offset_mm: Decimal) -> Fit:
    """The two bends of an overall length between two ports that face each other on parallel lines.

    `distance_mm` is along the lines from datum to datum, `offset_mm` across. The longer the hose, the
    tighter both bends. Raises `NotANumber`, or `OutOfRange` with the lengths that can lie so.
    """
    _check_length(hose, overall_mm)
    require_within(distance_mm, "distance", "mm", hose.metal_mm + 1, LONGEST_MM)
    require_within(offset_mm, "offset", "mm", Decimal("0.1"), LONGEST_MM)
    room, offset = float(distance_mm - hose.metal_mm), float(offset_mm)
    tightest = float(hose.outside_diameter_mm) / 2
    gentlest = room / (2 * math.sin(2 * math.atan(offset / room))) if offset < room else room / 2

    def overall_at(centreline: float) -> float:
        shape = SCurve(centreline, offset)
        return float(distance_mm) - shape.advance + 2 * shape.arc + shape.between

    shortest, longest = overall_at(gentlest), overall_at(tightest)
    if gentlest < tightest or not shortest <= float(overall_mm) <= longest:
        raise _does_not_lie(overall_mm, shortest, longest)
    centreline = _where_it_falls_to(float(overall_mm), overall_at, tightest, gentlest)
    shape = SCurve(centreline, offset)
    run = max(room - shape.advance, 0) / 2
    saved = 2 * _saved(math.radians(shape.angle_deg))
    return _fit(Layout.OFFSET, hose, centreline, [run, run], (s_path(hose, shape, run),), saved=saved)


def _fit(
    layout: Layout,
    hose: Hose,
    centreline: float,
    runs: list[float],
    paths: tuple[Path, ...],
    *,
    saved: float | None = None,
) -> Fit:
    inside = rounded_mm(centreline - float(hose.outside_diameter_mm) / 2)
    run_a, run_b = map(rounded_mm, runs)
    said = []
    if inside < hose.minimum_radius_mm - _ROUNDED_MM:
        said.append(
            f"The bend comes to {plain(inside)} mm on the inside and the hose needs "
            f"{plain(hose.minimum_radius_mm)} mm. Move the ports, or take a hose that bends more."
        )
    said += [
        f"The straight run at end {end} comes to {plain(run)} mm and has to be "
        f"{plain(hose.straight_run_mm)} mm or more. Make the hose longer or move the port."
        for end, run in (("A", run_a), ("B", run_b))
        if run < hose.straight_run_mm - _ROUNDED_MM
    ]
    return Fit(
        layout=layout,
        inside_radius_mm=inside,
        run_a_mm=run_a,
        run_b_mm=run_b,
        slack_percent=None,
        objections=tuple(said),
        paths=paths,
        cautions=CAUTIONS if saved is None else (*CAUTIONS, _how_sharp(saved)),
    )


def _saved(angle: float) -> float:
    """What a bend saves against going round its corner, for each mm of centreline radius."""
    return 2 * math.tan(angle / 2) - angle


def _how_sharp(saved: float) -> str:
    return (
        f"A millimetre more or less of hose changes the radius by about {1 / saved:.1f} mm here. Mind "
        "the tolerance of the length, and what pressure does to it."
    )


def _where_it_falls_to(wanted: float, falling: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that falls from `low` to `high` has the wanted value, by halving the interval."""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if falling(middle) > wanted else (low, middle)
    return (low + high) / 2


def _check_length(hose: Hose, overall_mm: Decimal) -> None:
    require_within(overall_mm, "overall length", "mm", hose.metal_mm, 10 * LONGEST_MM)


def _does_not_lie(overall_mm: Decimal, shortest: float, longest: float) -> OutOfRange:
    upper = "" if math.isinf(longest) else f" up to {longest:.1f} mm"
    allowed = f"{shortest:.1f} mm{upper or ' or more'}" if longest >= shortest else "none between these ports"
    return OutOfRange(
        f"An overall length of {plain(overall_mm)} mm can't lie so between these ports: {allowed} would. "
        "Change the length or move the ports.",
        argument="overall length",
        unit="mm",
        allowed=allowed,
        got=overall_mm,
    )
