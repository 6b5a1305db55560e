"""What routing forwards and backwards share: the hose with its ends, the shapes that it is laid in.

Sources: the shapes are geometry itself; the straight run before a bend is DGUV Regel 113-020's (Fig. 9), the
distance of supports FAA AC 43.13-1B's (p. 9-20).
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_finite
from shop.engineering.paths import Path, Tracer
from shop.engineering.ranges import require_within

STRAIGHT_DIAMETERS = Decimal("1.5")  # before a bend: DGUV Regel 113-020 Fig. 9
LONGEST_MM = Decimal(100_000)
_THINNEST_MM, _THICKEST_MM = Decimal(2), Decimal(500)

CAUTIONS = (
    "The bend radius of the hose's maker goes before any other, and moving hose may need a larger one.",
    "Bend in one plane and don't twist: the layline has to lie straight.",
    "Keep the hose off edges, heat and moving parts; support it at least every 610 mm (FAA AC 43.13-1B "
    "p. 9-20).",
)
ENDS_ARE_STIFF = (
    "Each end is stiff from its datum to the end of its ferrule; only the rest is hose that bends."
)
STRAIGHT_BEFORE_A_BEND = (
    f"Straight runs of {plain(STRAIGHT_DIAMETERS)} outside diameters before a bend (DGUV Regel 113-020 "
    "Fig. 9)."
)


class FixedEnd(StrEnum):
    """Where the fixed end of a moving U lies: level with the middle of the travel or with its end."""

    MIDDLE = "middle of the travel"
    END = "end of the travel"

    def difference_mm(self, travel_mm: Decimal) -> Decimal:
        """By how much one side of the U is longer than the other where they differ most.

        Raises `NotANumber` or `OutOfRange`.
        """
        require_within(travel_mm, "travel", "mm", Decimal(0), LONGEST_MM)
        return travel_mm / 2 if self is FixedEnd.MIDDLE else travel_mm


@dataclass(frozen=True, slots=True)
class Hose:
    """A hose and its two ends, for routing (mm).

    `minimum_radius_mm` is the smallest inside bend radius that its document allows; `metal_a_mm` and
    `metal_b_mm` are what of each end is stiff, from its datum to where the hose leaves the ferrule.
    Raises `NotANumber` or `OutOfRange`.
    """

    outside_diameter_mm: Decimal
    minimum_radius_mm: Decimal
    metal_a_mm: Decimal = Decimal(0)
    metal_b_mm: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        require_within(self.outside_diameter_mm, "outside diameter", "mm", _THINNEST_MM, _THICKEST_MM)
        require_within(self.minimum_radius_mm, "minimum bend radius", "mm", Decimal(1), LONGEST_MM)
        for end, metal in (("A", self.metal_a_mm), ("B", self.metal_b_mm)):
            require_within(metal, f"metal of end {end}", "mm", Decimal(0), LONGEST_MM)

    @property
    def straight_run_mm(self) -> Decimal:
        """The least straight run of hose between an end and a bend."""
        return STRAIGHT_DIAMETERS * self.outside_diameter_mm

    @property
    def metal_mm(self) -> Decimal:
        return self.metal_a_mm + self.metal_b_mm

    def centreline_mm(self, inside_radius_mm: Decimal) -> Decimal:
        """The radius of the centreline of a bend, from that on its inside.

        Raises `NotANumber` or `OutOfRange`.
        """
        require_within(inside_radius_mm, "inside bend radius", "mm", Decimal(0), LONGEST_MM)
        return inside_radius_mm + self.outside_diameter_mm / 2


@dataclass(frozen=True, slots=True)
class SCurve:
    """Two equal bends, one each way, that shift a line by `offset` (mm, floats for the geometry).

    Raises `NotANumber`, or `OutOfRange` for a centreline radius below the thinnest hose's.
    """

    centreline: float
    offset: float

    def __post_init__(self) -> None:
        require_finite(self.centreline, "centreline radius", "mm", float(_THINNEST_MM) / 2)
        require_finite(self.offset, "offset", "mm", 0)

    @property
    def angle_deg(self) -> float:
        # sin²(θ/2) = h/4r, at most 90°: an arc cosine would lose its digits for a gentle curve.
        return math.degrees(2 * math.asin(math.sqrt(min(self.offset / (4 * self.centreline), 0.5))))

    @property
    def between(self) -> float:
        return max(self.offset - 2 * self.centreline, 0)

    @property
    def arc(self) -> float:
        return self.centreline * math.radians(self.angle_deg)

    @property
    def advance(self) -> float:
        """How far it gets along the line."""
        return 2 * self.centreline * math.sin(math.radians(self.angle_deg))


def u_paths(
    hose: Hose, centreline: float, sides: float, travel_mm: Decimal, fixed_end: FixedEnd
) -> tuple[Path, ...]:
    """The centreline in the middle of the travel and at both its ends; one path without travel.

    `sides` are both sides of the U together, metal included. Raises `NotANumber` or `OutOfRange`.
    """
    require_within(travel_mm, "travel", "mm", Decimal(0), LONGEST_MM)
    half = float(travel_mm) / 2
    middle = 0.0 if fixed_end is FixedEnd.MIDDLE else half
    leads = [middle, middle - half, middle + half] if travel_mm else [middle]
    return tuple(_u_path(hose, centreline, (sides + lead) / 2, (sides - lead) / 2) for lead in leads)


def straight_path(hose: Hose, laid: float) -> Path:
    """Metal, hose, metal. Raises `NotANumber` or `OutOfRange`."""
    return _metal(_metal(Tracer(), "A", hose).ahead("hose", laid), "B", hose).path()


def bend_path(hose: Hose, centreline: float, angle_deg: float, run_a: float, run_b: float) -> Path:
    """One bend to the left, with a straight run on either side. Raises `NotANumber` or `OutOfRange`."""
    tracer = _metal(Tracer(), "A", hose).ahead("straight run at end A", run_a)
    tracer.turn(f"bend of {angle_deg:g}°", centreline, angle_deg).ahead("straight run at end B", run_b)
    return _metal(tracer, "B", hose).path()


def s_path(hose: Hose, shape: SCurve, run: float) -> Path:
    """Two bends, the first to the left, with the same straight run on either side.

    Raises `NotANumber` or `OutOfRange`.
    """
    tracer = _metal(Tracer(), "A", hose).ahead("straight run at end A", run)
    tracer.turn("bend one way", shape.centreline, shape.angle_deg)
    tracer.ahead("straight between the bends", shape.between)
    tracer.turn("bend the other way", shape.centreline, -shape.angle_deg)
    return _metal(tracer.ahead("straight run at end B", run), "B", hose).path()


def check_radius(hose: Hose, inside_radius_mm: Decimal) -> Decimal:
    """The inside radius (mm), if the hose stands it. Raises `NotANumber` or `OutOfRange`."""
    require_within(inside_radius_mm, "inside bend radius", "mm", Decimal(0), LONGEST_MM)
    if inside_radius_mm < hose.minimum_radius_mm:
        raise at_least("inside bend radius", inside_radius_mm, hose.minimum_radius_mm, "The hose would kink.")
    return inside_radius_mm


def check_run(hose: Hose, end: str, run_mm: Decimal | None) -> Decimal:
    """The straight run at an end (mm), the least where none is given. Raises as `check_radius`."""
    if run_mm is None:
        return hose.straight_run_mm
    require_within(run_mm, f"straight run at end {end}", "mm", Decimal(0), LONGEST_MM)
    if run_mm < hose.straight_run_mm:
        raise at_least(f"straight run at end {end}", run_mm, hose.straight_run_mm, "It must not bend there.")
    return run_mm


def at_least(argument: str, got: Decimal, least: Decimal, why: str) -> OutOfRange:
    """The refusal of a length (mm) that is too small."""
    return OutOfRange(
        f"The {argument} is {plain(got)} mm and must be {plain(least)} mm or more. {why}",
        argument=argument,
        unit="mm",
        allowed=f"{plain(least)} mm or more",
        got=got,
    )


def rounded_mm(value: float) -> Decimal:
    """To a thousandth of a millimetre. Raises `NotANumber`."""
    require_finite(value, "length", "mm")
    return Decimal(f"{value:.3f}")


def _u_path(hose: Hose, centreline: float, side_a: float, side_b: float) -> Path:
    tracer = _metal(Tracer(), "A", hose).ahead("side A", side_a - float(hose.metal_a_mm))
    tracer.turn("bend of 180°", centreline, 180).ahead("side B", side_b - float(hose.metal_b_mm))
    return _metal(tracer, "B", hose).path()


def _metal(tracer: Tracer, end: str, hose: Hose) -> Tracer:
    length = hose.metal_a_mm if end == "A" else hose.metal_b_mm
    return tracer.ahead(f"metal of end {end}", float(length), flexible=False)
