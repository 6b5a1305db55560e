"""Which split flange a measured head may be: candidates in order, and what each is confused with.

Sources: SAE J518-1 and ISO 6162-1 (code 61), SAE J518-2 and ISO 6162-2 (code 62), from memory: head
diameters and pressures of the connection table. The heads of both codes in one size look alike and are
clamped by different halves.
"""

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from shop.engineering.errors import OffTheTable
from shop.engineering.numbers import plain, require_positive
from shop.engineering.pressures import Pressure, PressureUnit, lowest

REACH_MM = Decimal(2)  # further off no head is a candidate: common practice, no source
ALIKE_MM = Decimal("3.5")  # heads nearer to each other are taken for one another: common practice, no source
_FLANGE = "flange"

DEFER = (
    "A head that goes under the clamp proves nothing. Compare head, clamp halves and port with the documents "
    "of their makers before they are put under pressure."
)
LOWER_UNTIL_KNOWN = (
    "Until the code is known, only the lower pressure may be counted on. Measure the bolt holes of the port: "
    "those of the two codes are differently far apart."
)
NOT_IN_THE_TABLE = (
    "Some machine makers have flanges of their own, with a thicker head of such a diameter (from memory). "
    "They are in no standard and not in this table: measure how thick the head is and ask the maker."
)


@dataclass(frozen=True, slots=True)
class Flange:
    """A split flange of the connection table: diameter of its head in mm, pressure as it is printed.

    Raises `NotANumber`, or `OutOfRange` for a head that is no diameter.
    """

    system: str
    size: str
    head_mm: Decimal
    rating: Pressure
    source: str
    basis: str
    note: str

    def __post_init__(self) -> None:
        require_positive(self.head_mm, "diameter of the head", "mm")

    @property
    def words(self) -> str:
        return f"{self.system} {self.size}"


@dataclass(frozen=True, slots=True)
class FlangeCandidate:
    """A flange and how far its head is from what was measured, mm."""

    flange: Flange
    off_mm: Decimal


@dataclass(frozen=True, slots=True)
class FlangeIdentification:
    """Candidates, the nearest first; `traps` names what the first one is confused with.

    `until_known` is the lowest pressure of all of them, which is what may be counted on till one is sure.
    """

    candidates: tuple[FlangeCandidate, ...]
    until_known: Pressure
    traps: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def identify_flange(head_mm: Decimal, flanges: Iterable[Flange]) -> FlangeIdentification:
    """Which flanges of the table have a head like that, mm.

    Raises `OffTheTable` if none is within 2 mm, `NotANumber` or `OutOfRange` for what is no diameter.
    """
    require_positive(head_mm, "diameter of the head", "mm")
    every = tuple(flanges)
    near = sorted(
        (
            FlangeCandidate(flange, abs(flange.head_mm - head_mm))
            for flange in every
            if abs(flange.head_mm - head_mm) <= REACH_MM
        ),
        key=lambda candidate: candidate.off_mm,
    )
    if not near:
        raise OffTheTable(
            f"No flange in the table has a head near {plain(head_mm)} mm. Measure across the head where it "
            "is widest, and ask the machine's maker if it stays so.",
            argument="diameter of the head",
            unit="mm",
            allowed=f"within {plain(REACH_MM)} mm of a flange in the table",
            got=head_mm,
        )
    first = near[0].flange
    confused = _taken_for(first, every)
    cautions = [DEFER, LOWER_UNTIL_KNOWN, NOT_IN_THE_TABLE]
    if first.basis == "memory":
        cautions.append("Heads and pressures are from memory. Compare them with the standard.")
    return FlangeIdentification(
        candidates=tuple(near),
        until_known=lowest(flange.rating for flange in [*(c.flange for c in near), *confused]),
        traps=tuple(_confused(first, other) for other in confused),
        assumptions=(
            "The head was measured across its outside, not across the seal's groove, and is not worn.",
        ),
        cautions=tuple(cautions),
    )


def read_flanges(path: Path) -> tuple[Flange, ...]:
    """The split flanges of the connection table in CSV."""
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(_row(cells) for cells in csv.DictReader(table) if cells["thread"] == _FLANGE)


def _taken_for(first: Flange, every: Sequence[Flange]) -> list[Flange]:
    """The same size of another code, and any head that is nearly as wide, the nearest first."""
    return sorted(
        (flange for flange in every if flange != first and _is_taken_for(flange, first)),
        key=lambda flange: abs(flange.head_mm - first.head_mm),
    )


def _is_taken_for(one: Flange, other: Flange) -> bool:
    same_size = one.size == other.size and one.system != other.system
    return same_size or abs(one.head_mm - other.head_mm) <= ALIKE_MM


def _confused(first: Flange, other: Flange) -> str:
    apart = other.head_mm - first.head_mm
    than = f"only {plain(abs(apart))} mm {'wider' if apart > 0 else 'narrower'}"
    return (
        f"{other.words} has a head of {plain(other.head_mm)} mm, {than}, and is for {other.rating}; "
        f"{first.words} is for {first.rating}. The clamp halves of one don't hold the other."
    )


def _row(cells: dict[str, str]) -> Flange:
    return Flange(
        system=cells["system"],
        size=cells["size"],
        head_mm=Decimal(cells["flange_head_mm"]),
        rating=Pressure(Decimal(cells["printed_value"]), PressureUnit(cells["printed_unit"])),
        source=cells["source"],
        basis=cells["basis"],
        note=cells["note"],
    )
