"""The pressure that a flow loses in an assembly: in the hose, its bends, and the ends' smaller bores.

Straight passages by Darcy and Weisbach, Δp = f (L/d) ρ v²/2. The friction factor is laminar, f = 64/Re,
below a Reynolds number of 2040 and Colebrook and White's above, solved exactly by the `fluids` library.
Bends and changes of bore by loss coefficients on ρ v²/2 of the narrower bore: bends and sharp
contractions by Rennels and Hudson, *Pipe Flow* (2012), sharp enlargements by Borda and Carnot,
(1 - β²)², as Rennels gives them too; all of `fluids`.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from fluids.fittings import bend_rounded, contraction_sharp, diffuser_sharp
from fluids.friction import LAMINAR_TRANSITION_PIPE, friction_factor

from shop.engineering.errors import OutOfRange
from shop.engineering.flow import check_bore, check_flow, velocity_m_s
from shop.engineering.numbers import plain, trim
from shop.engineering.ranges import require_within
from shop.engineering.viscosity import Fluid, Viscosity, viscosity_at

DEFAULT_ROUGHNESS_MM = Decimal("0.01")  # of a smooth tube: common practice, no source
TURBULENT_FROM = 4000  # Reynolds number; between the two it may be either
LONGEST_MM = Decimal(1_000_000)
MOST_POINTS = 400
_PASCALS_PER_BAR = 100_000
_ARC_SLACK_MM = Decimal("0.01")  # a length that was rounded may be that much short of its arcs
_DIGITS = 6


class Regime(StrEnum):
    LAMINAR = "laminar"
    TRANSITIONAL = "transitional"
    TURBULENT = "turbulent"


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend by its angle (degrees, up to 180) and the radius of its centreline (mm).

    Raises `NotANumber` or `OutOfRange`.
    """

    angle_deg: Decimal
    centreline_radius_mm: Decimal

    def __post_init__(self) -> None:
        require_within(self.angle_deg, "angle of the bend", "°", Decimal("0.1"), Decimal(180))
        require_within(self.centreline_radius_mm, "radius of the bend", "mm", Decimal("0.5"), LONGEST_MM)


@dataclass(frozen=True, slots=True)
class Passage:
    """A length of one bore (mm) with the bends in it, whose arcs the length includes.

    Raises `NotANumber` or `OutOfRange`; a bend's centreline radius is at least half the bore.
    """

    bore_mm: Decimal
    length_mm: Decimal
    bends: tuple[Bend, ...] = ()
    roughness_mm: Decimal = DEFAULT_ROUGHNESS_MM

    def __post_init__(self) -> None:
        check_bore(self.bore_mm, "bore")
        require_within(self.length_mm, "length", "mm", Decimal(0), LONGEST_MM)
        require_within(self.roughness_mm, "roughness", "mm", Decimal(0), self.bore_mm / 20)
        arcs = sum((bend.angle_deg * bend.centreline_radius_mm for bend in self.bends), Decimal(0)) * Decimal(
            math.pi / 180
        )
        if arcs > self.length_mm + _ARC_SLACK_MM:
            raise OutOfRange(
                f"The bends alone are {arcs:.1f} mm long and the length is {plain(self.length_mm)} mm. "
                "Make it longer, or the bends fewer.",
                argument="length",
                unit="mm",
                allowed=f"{arcs:.1f} mm or more",
                got=self.length_mm,
            )
        for bend in self.bends:
            require_within(
                bend.centreline_radius_mm, "radius of the bend", "mm", self.bore_mm / 2, LONGEST_MM
            )


@dataclass(frozen=True, slots=True)
class Part:
    """What one part of the way loses (bar), with the velocity and Reynolds number it is worked out from."""

    name: str
    bar: Decimal
    velocity_m_s: Decimal
    reynolds: Decimal


@dataclass(frozen=True, slots=True)
class PressureLoss:
    """What the assembly loses at a flow, part by part in the direction of the flow."""

    bar: Decimal
    flow_l_min: Decimal
    parts: tuple[Part, ...]
    velocity_m_s: Decimal
    reynolds: Decimal
    regime: Regime
    friction_factor: Decimal
    viscosity: Viscosity
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def heat_w(self) -> Decimal:
        """The power that becomes heat: the loss times the flow."""
        return self.bar * self.flow_l_min * 100 / 60  # 10⁵ Pa, 10⁻³ m³ and 60 s


@dataclass(frozen=True, slots=True)
class CurvePoint:
    flow_l_min: Decimal
    bar: Decimal
    regime: Regime


def pressure_loss(
    flow_l_min: Decimal,
    hose: Passage,
    fluid: Fluid,
    temperature_c: Decimal,
    *,
    inlet: Passage | None = None,
    outlet: Passage | None = None,
) -> PressureLoss:
    """What a flow (l/min) of a fluid at a temperature (°C) loses from one end of an assembly to the other.

    `inlet` and `outlet` are the passages through the ends in the direction of the flow; without them
    the ends are taken to be as wide as the hose and to lose nothing. Raises `NotANumber` or `OutOfRange`
    for a flow that no hose carries, and as `viscosity_at`.
    """
    check_flow(flow_l_min)
    viscosity = viscosity_at(fluid, temperature_c)
    ways = [("inlet end", inlet), ("hose", hose), ("outlet end", outlet)]
    flowing = [(name, _Flowing(way, flow_l_min, fluid, viscosity)) for name, way in ways if way is not None]
    parts: list[Part] = []
    for number, (name, here) in enumerate(flowing):
        if number:
            before_name, before = flowing[number - 1]
            parts += _change_of_bore(f"{before_name} to {name}", before, here)
        parts += _passage(name, here)
    in_hose = next(here for name, here in flowing if name == "hose")
    return PressureLoss(
        bar=sum((part.bar for part in parts), Decimal(0)),
        flow_l_min=flow_l_min,
        parts=tuple(parts),
        velocity_m_s=_shown(in_hose.velocity),
        reynolds=_shown(in_hose.reynolds),
        regime=_regime(in_hose.reynolds),
        friction_factor=_shown(in_hose.friction),
        viscosity=viscosity,
        assumptions=_assumptions(fluid, viscosity, hose, inlet, outlet),
        cautions=_cautions(viscosity, [here for _, here in flowing]),
    )


def loss_curve(
    up_to_l_min: Decimal,
    hose: Passage,
    fluid: Fluid,
    temperature_c: Decimal,
    *,
    inlet: Passage | None = None,
    outlet: Passage | None = None,
    points: int = 40,
) -> tuple[CurvePoint, ...]:
    """The loss against flow, for drawing: at `points` flows in even steps up to `up_to_l_min`, with it.

    Where the flow turns turbulent the loss steps up; draw it as it is. Raises as `pressure_loss`, and
    `OutOfRange` for fewer than two points or more than four hundred.
    """
    require_within(Decimal(points), "number of points", "", Decimal(2), Decimal(MOST_POINTS))
    return tuple(
        CurvePoint(loss.flow_l_min, loss.bar, loss.regime)
        for loss in (
            pressure_loss(flow, hose, fluid, temperature_c, inlet=inlet, outlet=outlet)
            for flow in _steps(check_flow(up_to_l_min), points)
        )
    )


class _Flowing:
    """A passage with the flow in it, in SI units."""

    def __init__(self, way: Passage, flow_l_min: Decimal, fluid: Fluid, viscosity: Viscosity) -> None:
        self.way = way
        self.bore = float(way.bore_mm) / 1000
        self.velocity = float(velocity_m_s(flow_l_min, way.bore_mm))
        self.reynolds = self.velocity * self.bore / (float(viscosity.mm2_s) * 1e-6)
        self.friction = float(friction_factor(self.reynolds, float(way.roughness_mm / way.bore_mm)))
        self.dynamic = float(fluid.density_kg_m3) * self.velocity**2 / 2

    def part(self, name: str, coefficient: float) -> Part:
        bar = coefficient * self.dynamic / _PASCALS_PER_BAR
        return Part(name, _shown(bar), _shown(self.velocity), _shown(self.reynolds))


def _passage(name: str, here: _Flowing) -> Iterable[Part]:
    if here.way.length_mm:
        yield here.part(f"{name}, friction", here.friction * float(here.way.length_mm / here.way.bore_mm))
    for bend in here.way.bends:
        yield here.part(f"{name}, bend of {plain(bend.angle_deg)}°", _added_by(bend, here))


def _added_by(bend: Bend, here: _Flowing) -> float:
    """The coefficient of a bend beyond that of the same length laid straight, which is counted already."""
    angle, radius = float(bend.angle_deg), float(bend.centreline_radius_mm) / 1000
    whole = float(bend_rounded(here.bore, angle, fd=here.friction, rc=radius, method="Rennels"))
    return whole - here.friction * math.radians(angle) * radius / here.bore


def _change_of_bore(name: str, before: _Flowing, after: _Flowing) -> Iterable[Part]:
    if after.bore < before.bore:
        yield after.part(f"{name}, narrowing", float(contraction_sharp(before.bore, after.bore)))
    elif after.bore > before.bore:
        yield before.part(f"{name}, widening", float(diffuser_sharp(before.bore, after.bore)))


def _regime(reynolds: float) -> Regime:
    if reynolds < LAMINAR_TRANSITION_PIPE:
        return Regime.LAMINAR
    return Regime.TRANSITIONAL if reynolds < TURBULENT_FROM else Regime.TURBULENT


def _assumptions(
    fluid: Fluid, viscosity: Viscosity, hose: Passage, inlet: Passage | None, outlet: Passage | None
) -> tuple[str, ...]:
    said = [
        *viscosity.assumptions,
        f"The density is {plain(fluid.density_kg_m3)} kg/m³ at that temperature; the flow is steady, without "
        "air, and both ends are at one height.",
        f"The bore is round and {plain(hose.bore_mm)} mm all along, its roughness "
        f"{plain(hose.roughness_mm)} mm (common practice, no source, unless the maker gives one).",
        "Changes of bore are taken as sharp. The ports and whatever is beyond the ends are left out.",
    ]
    if inlet is None or outlet is None:
        said.append("An end without a bore of its own is taken to be as wide as the hose.")
    return tuple(said)


def _cautions(viscosity: Viscosity, flowing: Sequence[_Flowing]) -> tuple[str, ...]:
    said = [
        *viscosity.cautions,
        "Crimping may narrow the bore at an end by a tenth (SAE J516-2019), and the loss there is half as "
        "much again.",
        "Friction is known to 15 % at best (from memory): measure where it matters. The pressure at the "
        "inlet must stay within the rating.",
    ]
    regimes = {_regime(here.reynolds) for here in flowing}
    if Regime.LAMINAR in regimes:
        said.append("In laminar flow bends and changes of bore lose more than their coefficients say.")
    if Regime.TRANSITIONAL in regimes:
        said.append(
            "Between Reynolds numbers of about 2000 and 4000 the flow may be laminar or turbulent. It is "
            "worked out as turbulent from 2040, which is the higher loss."
        )
    return tuple(said)


def _steps(up_to: Decimal, points: int) -> list[Decimal]:
    return [check_flow(up_to * step / points) for step in range(1, points + 1)]


def _shown(value: float) -> Decimal:
    return trim(Decimal(f"{value:.{_DIGITS}g}"))
