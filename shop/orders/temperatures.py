"""From what to what temperature an assembly may be used: hose, standard, fluid and seals, the narrowest."""

from collections.abc import Iterator
from dataclasses import dataclass

from shop.orders import refusals
from shop.orders.models import OrderLine


@dataclass(frozen=True, slots=True)
class TemperatureLimits:
    """What one thing allows, °C, None where it is not known; and how it is said that it allows no more."""

    part: str
    lowest_c: int | None
    highest_c: int | None
    too_hot: type[refusals.TooHot] = refusals.TooHot
    too_cold: type[refusals.TooCold] = refusals.TooCold


def temperature_limits(line: OrderLine) -> tuple[TemperatureLimits, ...]:
    """Everything that has a say. The year in which the hose will have been made is not known yet."""
    hose, standard, fluid = line.hose, line.hose.standard, line.fluid
    limits = [TemperatureLimits(str(hose), hose.temperature_min_c, hose.temperature_max_c)]
    if standard is not None:
        highest = standard.upper_temperature_c(None)
        limits.append(TemperatureLimits(str(standard), standard.temperature_min_c, highest))
    of_fluid = refusals.FluidTooHot, refusals.FluidTooCold
    limits.append(TemperatureLimits(str(fluid), fluid.temperature_min_c, fluid.temperature_max_c, *of_fluid))
    return (*limits, *_of_seals(line))


def lowest_c(limits: tuple[TemperatureLimits, ...]) -> int:
    """The highest of the lowest temperatures, °C; a hose always has its own."""
    return max(each.lowest_c for each in limits if each.lowest_c is not None)


def highest_c(limits: tuple[TemperatureLimits, ...]) -> int:
    """The lowest of the highest temperatures, °C; a hose always has its own."""
    return min(each.highest_c for each in limits if each.highest_c is not None)


def _of_seals(line: OrderLine) -> Iterator[TemperatureLimits]:
    for fitting, ends in line.fittings_and_ends:
        seal = fitting.seal
        if seal is not None:
            part, says = f"The seal {seal} {ends}", (refusals.SealTooHot, refusals.SealTooCold)
            yield TemperatureLimits(part, seal.temperature_min_c, seal.temperature_max_c, *says)
