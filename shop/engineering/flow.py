"""The bore for a flow, and the velocity in a bore.

The mean velocity is the flow over the area of the bore, so d = √(4 Q / (π v)) (textbook *Fluid Power
Engineering* p. 64 eq. 3.2). How fast is too fast is a matter of the line's duty, and sources disagree:
the limits are rows of a table with source and basis, chosen per workshop.
"""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path

from shop.engineering.errors import OffTheTable
from shop.engineering.numbers import plain, require_positive
from shop.engineering.quantities import Quantity, Unit
from shop.engineering.ranges import require_within

PI = Decimal("3.141592653589793238462643383279")
SMALLEST_FLOW_L_MIN = Decimal("0.001")
LARGEST_FLOW_L_MIN = Decimal(100_000)
SMALLEST_BORE_MM, LARGEST_BORE_MM = Decimal("0.5"), Decimal(1000)
# 1 l/min is 10⁶ mm³ in 60 s; over mm² it gives mm/s, and 1000 of those are 1 m/s.
_M_S_PER_L_MIN_AND_MM2 = Decimal(1_000_000) / (60 * 1000)
DEFAULT_LIMITS = "inch slow"  # the lowest of the tables for pressure lines

_BASICS = (
    "The velocity is the mean over the bore, and the flow is steady.",
    "The bore is the one given: a nominal bore is a label, and ends are mostly narrower than the hose.",
)


class Duty(StrEnum):
    PRESSURE = "pressure"
    RETURN = "return"
    SUCTION = "suction"


@dataclass(frozen=True, slots=True)
class VelocityLimit:
    """How fast oil may run in a line of one duty, by one table, as printed. `at_least` is a habit of
    economy, not a limit: slower does no harm but needs a larger hose.
    """

    limits: str
    duty: Duty
    at_least: Quantity | None
    up_to: Quantity
    note: str
    source: str
    basis: str

    @property
    def up_to_m_s(self) -> Decimal:
        return self.up_to.in_unit(Unit.M_S)

    @property
    def words(self) -> str:
        note = f" ({self.note})" if self.note else ""
        return f"{self.duty} line up to {self.up_to}{note}: {self.source}"


@dataclass(frozen=True, slots=True)
class BoreChoice:
    """The smallest bore for a flow by a limit, the smallest of the bores given that has it, and the
    velocity there.
    """

    smallest_mm: Decimal
    bore_mm: Decimal
    velocity_m_s: Decimal
    limit: VelocityLimit
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def velocity_m_s(flow_l_min: Decimal, bore_mm: Decimal) -> Decimal:
    """The mean velocity (m/s) of a flow (l/min) in a bore (mm): 4 Q / (π d²).

    Raises `NotANumber` or `OutOfRange` for a flow or a bore that no hose has.
    """
    check_flow(flow_l_min)
    check_bore(bore_mm, "bore")
    return 4 * flow_l_min * _M_S_PER_L_MIN_AND_MM2 / (PI * bore_mm**2)


def smallest_bore_mm(flow_l_min: Decimal, velocity_m_s: Decimal) -> Decimal:
    """The bore (mm) in which a flow (l/min) runs at the velocity (m/s): √(4 Q / (π v)).

    Raises `NotANumber` or `OutOfRange`.
    """
    check_flow(flow_l_min)
    require_within(velocity_m_s, "velocity", "m/s", Decimal("0.01"), Decimal(100))
    return (4 * flow_l_min * _M_S_PER_L_MIN_AND_MM2 / (PI * velocity_m_s)).sqrt()


def flow_l_min(velocity_m_s: Decimal, bore_mm: Decimal) -> Decimal:
    """The flow (l/min) that runs at the velocity (m/s) in a bore (mm): π d² v / 4.

    Raises `NotANumber` or `OutOfRange`.
    """
    require_within(velocity_m_s, "velocity", "m/s", Decimal("0.01"), Decimal(100))
    check_bore(bore_mm, "bore")
    return PI * bore_mm**2 * velocity_m_s / (4 * _M_S_PER_L_MIN_AND_MM2)


def choose_bore(flow_l_min: Decimal, limit: VelocityLimit, bores_mm: Iterable[Decimal]) -> BoreChoice:
    """The smallest of the bores (mm) in which the flow (l/min) keeps within the limit.

    Raises `OffTheTable` if all of them are too small, naming the bore that it needs.
    """
    smallest = smallest_bore_mm(flow_l_min, limit.up_to_m_s)
    bores = sorted(require_positive(bore, "bore", "mm") for bore in bores_mm)
    bore = next((bore for bore in bores if bore >= smallest), None)
    if bore is None:
        there_are = ", ".join(map(plain, bores)) or "none"
        raise OffTheTable(
            f"{plain(flow_l_min)} l/min in a {limit.duty} line at up to {limit.up_to} needs a bore of "
            f"{smallest:.2f} mm, and there is none as large. Split the flow, or choose other limits.",
            argument="bore",
            unit="mm",
            allowed=there_are,
            got=f"{smallest:.2f}",
        )
    return BoreChoice(
        smallest_mm=smallest,
        bore_mm=bore,
        velocity_m_s=velocity_m_s(flow_l_min, bore),
        limit=limit,
        assumptions=(f"Limit: {limit.words}.", *_BASICS),
        cautions=_cautions(limit),
    )


def read_velocity_limits(path: Path) -> Mapping[str, Mapping[Duty, VelocityLimit]]:
    """The tables of limits in CSV: by the name of the table, then by duty."""
    with path.open(newline="", encoding="utf-8") as table:
        rows = [_limit(cells) for cells in csv.DictReader(table)]
    return {name: _of_table(name, rows) for name in dict.fromkeys(row.limits for row in rows)}


def check_flow(flow_l_min: Decimal) -> Decimal:
    """The flow (l/min), if a hose can carry it. Raises `NotANumber` or `OutOfRange`."""
    return require_within(flow_l_min, "flow", "l/min", SMALLEST_FLOW_L_MIN, LARGEST_FLOW_L_MIN)


def check_bore(bore_mm: Decimal, argument: str) -> Decimal:
    """The bore (mm), if a hose or an end can have it. Raises `NotANumber` or `OutOfRange`."""
    return require_within(bore_mm, argument, "mm", SMALLEST_BORE_MM, LARGEST_BORE_MM)


def _cautions(limit: VelocityLimit) -> tuple[str, ...]:
    said = ["Sources disagree on velocities. What the maker of the pump or machine says goes before them."]
    if limit.duty is Duty.SUCTION:
        said.append("Too narrow a suction line starves the pump; the hose must also stand the vacuum.")
    if limit.basis != "read":
        said.append("This limit is written from memory and nobody has confirmed it.")
    return tuple(said)


def _of_table(name: str, rows: Sequence[VelocityLimit]) -> Mapping[Duty, VelocityLimit]:
    return {row.duty: row for row in rows if row.limits == name}


def _limit(cells: Mapping[str, str]) -> VelocityLimit:
    unit = Unit(cells["unit"])
    return VelocityLimit(
        limits=cells["limits"],
        duty=Duty(cells["duty"]),
        at_least=Quantity(Decimal(cells["at_least"]), unit) if cells["at_least"] else None,
        up_to=Quantity(Decimal(cells["up_to"]), unit),
        note=cells["note"],
        source=cells["source"],
        basis=cells["basis"],
    )
