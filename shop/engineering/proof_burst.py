"""Proof and burst pressure: as the specification prints them where it does, by factor only where it doesn't.

Sources: proof is twice the working pressure, held 30 to 60 s (ISO 6605:2017 5.2); burst is at least four
times it (SAE J517 and J343, EN and ISO hose standards, from memory). FAA AC 43.13-1B Table 9-3 and US Army
TM 1-1500-204-23-2 Table 4-15 print rows that are neither, so a printed one is never derived.
"""

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.numbers import plain, require_number, require_positive, trim
from shop.engineering.pressures import Pressure, PressureUnit, exceeds, lowest, show_rating
from shop.engineering.rating import proof_pressure
from shop.engineering.sizes import dash_inches

PROOF_FACTOR = Decimal(2)
BURST_FACTOR = Decimal(4)

HOLD = "Held for 30 to 60 s; it passes without a leak or any other failure (ISO 6605:2017 5.2)."
NOT_A_LICENCE = (
    "Burst pressure is never a working pressure. The margin above working pressure is for wear, surge and "
    "damage, and is used up by them."
)
TEST_SAFELY = (
    "Test with water or hydraulic fluid, never with gas: bleed all air, restrain the hose, keep behind a "
    "cover and wear eye protection. Follow the makers' instructions and local rules."
)


@dataclass(frozen=True, slots=True)
class PrintedPressures:
    """A row of a specification that prints all three for a size.

    Raises `OutOfRange` if they don't rise, and for a size below one sixteenth of an inch.
    """

    specification: str
    dash: int
    working: Pressure
    proof: Pressure
    burst: Pressure
    source: str
    note: str

    def __post_init__(self) -> None:
        dash_inches(self.dash)
        if not (exceeds(self.proof, self.working) and exceeds(self.burst, self.proof)):
            raise OutOfRange(
                f"{self.specification} -{self.dash}: working, proof and burst pressure don't rise. Compare "
                "them with the document.",
                argument="printed pressures",
                unit=self.working.unit,
                allowed="working below proof below burst",
                got=f"{self.working}, {self.proof}, {self.burst}",
            )

    @property
    def burst_is_twice_proof(self) -> bool:
        """As nearly all rows are: one that isn't may be a misprint."""
        return self.burst.exact_pascals == 2 * self.proof.exact_pascals


@dataclass(frozen=True, slots=True)
class ProofAndBurst:
    """What an assembly is proved with, and the least that its hose bursts at."""

    proof: Pressure
    burst: Pressure
    printed: bool
    reasons: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def printed_row(rows: Iterable[PrintedPressures], specification: str, dash: int) -> PrintedPressures:
    """The row of a specification and size. Raises `OffTheTable`."""
    every = [row for row in rows if row.specification == specification]
    for row in every:
        if row.dash == dash:
            return row
    sizes = ", ".join(f"-{row.dash}" for row in every) or "nothing"
    raise OffTheTable(
        f"{specification} prints no pressures for size -{dash}. It has {sizes}.",
        argument="size",
        unit="1/16 in",
        allowed=sizes,
        got=dash,
    )


def proof_and_burst(
    working: Pressure,
    printed: PrintedPressures | None = None,
    proof_factor: Decimal = PROOF_FACTOR,
    burst_factor: Decimal = BURST_FACTOR,
) -> ProofAndBurst:
    """Proof and burst of an assembly that works at `working`, whose hose may print its own.

    Printed ones are taken as they stand if the assembly works at the printed working pressure. If a part
    makes it work lower, proof is by factor and never above what is printed. Raises `OutOfRange` above the
    printed working pressure, for a proof factor below one, and a burst factor not above it.
    """
    require_positive(working.value, "working pressure", working.unit)
    _check_factors(proof_factor, burst_factor)
    by_factor = proof_pressure(working, proof_factor)
    if printed is not None:
        return _as_printed(working, printed, by_factor)
    burst = Pressure(trim(working.value * burst_factor), working.unit)
    return ProofAndBurst(
        proof=by_factor,
        burst=burst,
        printed=False,
        reasons=(
            f"No proof pressure is printed: {plain(proof_factor)} × {working} is {by_factor}.",
            f"No burst pressure is printed: {plain(burst_factor)} × {working} is {burst}, from memory.",
        ),
        assumptions=(HOLD,),
        cautions=(NOT_A_LICENCE, TEST_SAFELY),
    )


def read_printed_pressures(path: Path) -> tuple[PrintedPressures, ...]:
    """The rows of a table in CSV that prints operating, proof and burst pressure in psi."""
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(
            PrintedPressures(
                specification=cells["spec"],
                dash=int(cells["dash"]),
                working=_psi(cells["operating_psi"]),
                proof=_psi(cells["proof_psi"]),
                burst=_psi(cells["burst_psi"]),
                source=cells["source"],
                note=cells["note"],
            )
            for cells in csv.DictReader(table)
        )


def _as_printed(working: Pressure, printed: PrintedPressures, by_factor: Pressure) -> ProofAndBurst:
    name = f"{printed.specification} -{printed.dash}"
    if exceeds(working, printed.working):
        raise OutOfRange(
            f"{name} works at {show_rating(printed.working)} at most; {working} is above it.",
            argument="working pressure",
            unit=printed.working.unit,
            allowed=f"up to {printed.working}",
            got=working,
        )
    at_its_own = not exceeds(printed.working, working)
    if at_its_own:
        proof, why = printed.proof, f"Proof pressure as {name} prints it: {printed.proof}."
    else:
        proof = lowest([by_factor, printed.proof])
        why = (
            f"The assembly works at {working}, its hose at {printed.working}. By factor proof is "
            f"{by_factor}, and it is never above the printed {printed.proof}."
        )
    cautions = [NOT_A_LICENCE, TEST_SAFELY]
    if not printed.burst_is_twice_proof:
        cautions.append("The printed burst is not twice the proof pressure. Compare it with the document.")
    if printed.note:
        cautions.append(f"{printed.note[0].upper()}{printed.note[1:]}.")
    return ProofAndBurst(
        proof=proof,
        burst=printed.burst,
        printed=at_its_own,
        reasons=(why, f"Burst pressure as {name} prints it: {printed.burst}."),
        assumptions=(HOLD,),
        cautions=tuple(cautions),
    )


def _check_factors(proof_factor: Decimal, burst_factor: Decimal) -> None:
    require_number(proof_factor, "proof factor", "", "1 or more")
    more = f"more than {plain(proof_factor)}"
    if require_number(burst_factor, "burst factor", "", more) <= proof_factor:
        raise OutOfRange(
            f"A burst factor of {plain(burst_factor)} is not above the proof factor {plain(proof_factor)}.",
            argument="burst factor",
            allowed=more,
            got=burst_factor,
        )


def _psi(digits: str) -> Pressure:
    return Pressure(Decimal(digits), PressureUnit.PSI)
