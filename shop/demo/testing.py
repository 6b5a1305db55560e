"""Proof tests of the invented workshop, with the curves that its test bench would write."""

from collections.abc import Iterator
from decimal import Decimal

from shop.assemblies.models import Assembly, ProofFluid
from shop.assemblies.testing import READY, SEEN, Observed, prove_assembly
from shop.demo.people import Cast
from shop.engineering.numbers import plain, trim
from shop.engineering.pressures import Pressure
from shop.tooling.models import PressureGauge

RAISED_S, HELD_S, LET_OFF_S = 12, 34, 4
OVER = Decimal("1.01")  # a hand pump comes out a little above proof pressure


def prove(cast: Cast, assembly: Assembly, gauge: PressureGauge) -> None:
    """The assembly stands its proof test."""
    proof = assembly.resolution.proof
    peak = Pressure(trim(proof.value * OVER), proof.unit)
    prove_assembly(
        actor=cast.bench,
        assembly=assembly,
        gauge=gauge,
        observed=Observed(
            fluid=ProofFluid.OIL,
            adaptors=Pressure(trim(proof.value * 2), proof.unit),
            ready=list(READY),
            raised_in_s=RAISED_S,
            peak=peak,
            held_s=HELD_S,
            seen=list(SEEN),
            curve="\n".join([f"time s;pressure {proof.unit}", *_lines(peak)]),
        ),
    )


def _lines(peak: Pressure) -> Iterator[str]:
    """A line for each second: raised evenly, held, let off."""
    for second in range(RAISED_S + HELD_S + LET_OFF_S + 1):
        up, down = Decimal(second) / RAISED_S, Decimal(second - RAISED_S - HELD_S) / LET_OFF_S
        share = min(Decimal(1), up) - max(Decimal(0), down)
        yield f"{second};{plain(round(peak.value * share, 1))}"
