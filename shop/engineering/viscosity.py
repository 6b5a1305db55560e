"""The viscosity of a fluid at a temperature, from two that its data sheet gives.

ASTM D341 (from memory): lg lg (ν + 0.7) falls in a straight line over lg T, with ν in mm²/s and T in
kelvin. This form holds from 2 mm²/s upwards; thinner fluids need further terms and are refused.
"""

import math
from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, trim
from shop.engineering.ranges import require_within

ZERO_CELSIUS_K = 273.15
THINNEST_MM2_S, THICKEST_MM2_S = Decimal(2), Decimal(1_000_000)
COLDEST_C, HOTTEST_C = Decimal(-60), Decimal(250)
LIGHTEST_KG_M3, HEAVIEST_KG_M3 = Decimal(600), Decimal(2000)
_SHIFT = 0.7
_DIGITS = 6


@dataclass(frozen=True, slots=True)
class ViscosityPoint:
    """A kinematic viscosity (mm²/s, the same as cSt) at a temperature (°C), as a data sheet gives it.

    Raises `NotANumber` or `OutOfRange`: 2 to 1 000 000 mm²/s, -60 to 250 °C.
    """

    temperature_c: Decimal
    mm2_s: Decimal

    def __post_init__(self) -> None:
        require_within(self.temperature_c, "temperature of the viscosity", "°C", COLDEST_C, HOTTEST_C)
        require_within(self.mm2_s, "viscosity", "mm²/s", THINNEST_MM2_S, THICKEST_MM2_S)


@dataclass(frozen=True, slots=True)
class Fluid:
    """A fluid by its density (kg/m³) and two viscosities. Raises `OutOfRange` unless the warmer one is
    the thinner.
    """

    name: str
    density_kg_m3: Decimal
    cold: ViscosityPoint
    warm: ViscosityPoint

    def __post_init__(self) -> None:
        require_within(self.density_kg_m3, "density", "kg/m³", LIGHTEST_KG_M3, HEAVIEST_KG_M3)
        if self.cold.temperature_c >= self.warm.temperature_c or self.cold.mm2_s <= self.warm.mm2_s:
            raise OutOfRange(
                f"{plain(self.cold.mm2_s)} mm²/s at {plain(self.cold.temperature_c)} °C and "
                f"{plain(self.warm.mm2_s)} at {plain(self.warm.temperature_c)} don't fit: give the colder "
                "one first, and the warmer has to be thinner.",
                argument="viscosity",
                unit="mm²/s",
                allowed="two, the second at a higher temperature and lower",
                got=f"{plain(self.cold.mm2_s)}, {plain(self.warm.mm2_s)}",
            )


@dataclass(frozen=True, slots=True)
class Viscosity:
    """The viscosity (mm²/s, to six digits) at a temperature, and whether it lies beyond the two given."""

    mm2_s: Decimal
    temperature_c: Decimal
    extrapolated: bool
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def viscosity_at(fluid: Fluid, temperature_c: Decimal) -> Viscosity:
    """The fluid's kinematic viscosity at a temperature (°C) by ASTM D341.

    Raises `NotANumber`, or `OutOfRange` for a temperature outside -60 to 250 °C and for one at which
    the line leaves 2 to 1 000 000 mm²/s.
    """
    require_within(temperature_c, "temperature", "°C", COLDEST_C, HOTTEST_C)
    slope, height = _line(fluid)
    level = height + slope * math.log10(_kelvin(temperature_c))
    # Above 10³⁰⁸ a float has no number left; the line is far off its range long before.
    found = 10 ** (10**level) - _SHIFT if level < 2 else math.inf
    if not float(THINNEST_MM2_S) * (1 - 1e-9) <= found <= float(THICKEST_MM2_S) * (1 + 1e-9):
        raise _beyond_the_line(fluid, temperature_c)
    extrapolated = not fluid.cold.temperature_c <= temperature_c <= fluid.warm.temperature_c
    return Viscosity(
        mm2_s=trim(Decimal(f"{found:.{_DIGITS}g}")),
        temperature_c=temperature_c,
        extrapolated=extrapolated,
        assumptions=(
            f"{fluid.name} follows ASTM D341 between {_words(fluid.cold)} and {_words(fluid.warm)}.",
            "It is at atmospheric pressure: oil under high pressure is thicker.",
        ),
        cautions=_extrapolated(fluid) if extrapolated else (),
    )


def _line(fluid: Fluid) -> tuple[float, float]:
    """Slope and height of the straight line through both points."""
    colder, warmer = (_on_paper(point) for point in (fluid.cold, fluid.warm))
    slope = (warmer[1] - colder[1]) / (warmer[0] - colder[0])
    return slope, colder[1] - slope * colder[0]


def _on_paper(point: ViscosityPoint) -> tuple[float, float]:
    """Where the point lies on the paper of ASTM D341."""
    return math.log10(_kelvin(point.temperature_c)), math.log10(math.log10(float(point.mm2_s) + _SHIFT))


def _kelvin(temperature_c: Decimal) -> float:
    return float(temperature_c) + ZERO_CELSIUS_K


def _words(point: ViscosityPoint) -> str:
    return f"{plain(point.mm2_s)} mm²/s at {plain(point.temperature_c)} °C"


def _extrapolated(fluid: Fluid) -> tuple[str, ...]:
    between = f"{plain(fluid.cold.temperature_c)} to {plain(fluid.warm.temperature_c)} °C"
    return (
        f"The temperature is outside {between}, where the viscosities were given. Below it oil may be much "
        "thicker than the line says, near its pour point above all.",
    )


def _beyond_the_line(fluid: Fluid, temperature_c: Decimal) -> OutOfRange:
    return OutOfRange(
        f"At {plain(temperature_c)} °C the viscosity of {fluid.name} can't be told from the two given. "
        "Give two that lie nearer to it.",
        argument="temperature",
        unit="°C",
        allowed=f"where it stays within {plain(THINNEST_MM2_S)} to {plain(THICKEST_MM2_S)} mm²/s",
        got=temperature_c,
    )
