"""The proof test as people do it, 550 bar on 275, with every value open to change."""

import datetime
from collections.abc import Mapping
from typing import Any

from shop.assemblies.models import Assembly, ProofFluid, ProofTest
from shop.assemblies.testing import READY, SEEN, Observed, correct_proof_test, prove_assembly
from shop.engineering.pressures import parse_pressure
from shop.policy.services import today
from shop.tooling.models import PressureCalibration, PressureGauge
from shop.tooling.pressure_gauges import record_pressure_calibration, save_pressure_gauge
from tests import factories
from tests.assemblies import bench
from tests.world import World

CURVE = "\n".join(
    [
        "time s; pressure bar",
        "0; 0",
        "5; 300",
        "9,5; 552",
        *(f"{second}; 555" for second in range(10, 43)),
        "44; 0",
    ]
)


def calibrated_gauge(world: World, **changes: Any) -> PressureGauge:
    """A pressure gauge for the tests of this world, calibrated a month ago: U is 1.5 of its unit."""
    gauge = save_pressure_gauge(actor=world.bench, gauge=factories.PressureGaugeFactory.build(**changes))
    calibrate(world, gauge)
    return gauge


def calibrate(world: World, gauge: PressureGauge, **changes: Any) -> PressureCalibration:
    values: dict[str, Any] = {
        "gauge": gauge,
        "done_on": today() - datetime.timedelta(days=30),
        "due_on": today() + datetime.timedelta(days=335),
        "error_as_found": "1",
        "error_as_left": "-0.5",
        "expanded_uncertainty": "1.5",
        "certificate": "P-1",
    }
    return record_pressure_calibration(
        actor=world.inspector, calibration=PressureCalibration(**(values | changes))
    )


def ready_to_test(world: World, **changes: object) -> Assembly:
    """An inspected assembly whose order line asks for a proof test."""
    assembly = bench.made(world, proof_test_wanted=True, **changes)
    bench.look_over(world, assembly)
    assembly.refresh_from_db()
    return assembly


def observed(**changes: Any) -> Observed:
    """A test that went as it should."""
    values: dict[str, Any] = {
        "fluid": ProofFluid.OIL,
        "adaptors": parse_pressure("700 bar"),
        "ready": list(READY),
        "raised_in_s": 10,
        "peak": parse_pressure("555 bar"),
        "held_s": 32,
        "seen": list(SEEN),
    }
    return Observed(**(values | changes))


def prove(world: World, assembly: Assembly, gauge: PressureGauge | None = None, **changes: Any) -> ProofTest:
    """Test it with these values changed, by the bench."""
    own: Mapping[str, Any] = {name: changes.pop(name) for name in ("actor", "sure") if name in changes}
    test = prove_assembly(
        **{"actor": world.bench, "sure": frozenset()} | own,
        assembly=assembly,
        gauge=gauge or calibrated_gauge(world),
        observed=observed(**changes),
    )
    assembly.refresh_from_db()
    return test


def prove_anew(world: World, test: ProofTest, **changes: Any) -> ProofTest:
    """Tested by the bench in place of a test that was recorded wrong."""
    return correct_proof_test(actor=world.bench, test=test, gauge=test.gauge, observed=observed(**changes))
