"""What is in question when a gauge turns out to have been wrong."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.assemblies.models import Assembly
from shop.policy.services import today
from shop.tooling.models import CheckPiece, Gauge
from shop.tooling.services import check_gauge, save_gauge
from shop.trace.made_with import measured_with, span_before_fault
from tests import factories
from tests.assemblies import bench
from tests.assemblies.test_runs import cut_run
from tests.world import World


@pytest.fixture
def piece(world: World) -> CheckPiece:
    world.caliper.permitted_error = Decimal("0.03")
    save_gauge(actor=world.bench, gauge=world.caliper)
    piece: CheckPiece = factories.CheckPieceFactory(nominal=Decimal("25.00"))
    return piece


def rests_on(gauge: Gauge, fault: object = None) -> list[Assembly]:
    return list(measured_with(gauge, span_before_fault(fault, gauge)))  # type: ignore[arg-type]  # a fault


def test_what_was_measured_since_the_calibration_rests_on_the_gauge(world: World) -> None:
    assembly = bench.made(world)
    assert rests_on(world.caliper) == [assembly]
    assert rests_on(world.tape) == []


def test_a_finished_length_rests_on_its_tape(world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    assert rests_on(world.tape) == [assembly]


def test_a_check_piece_that_was_read_right_begins_anew(world: World, piece: CheckPiece) -> None:
    bench.made(world)
    check_gauge(actor=world.bench, gauge=world.caliper, piece=piece, reading=Decimal("25.01"))
    after = bench.made(world)
    bad = check_gauge(actor=world.bench, gauge=world.caliper, piece=piece, reading=Decimal("25.06"))
    assert rests_on(world.caliper, bad) == [after]
    span = span_before_fault(bad, world.caliper)
    assert span.because == f"since it was last right on {piece}"


def test_a_calibration_that_found_it_wrong_asks_for_all_since_the_last_good_one(
    world: World, piece: CheckPiece
) -> None:
    made = bench.made(world)
    found = world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.05"))
    assert not found.found_right
    bench.made(world)
    assert rests_on(world.caliper, found) == [made]
    assert span_before_fault(found, world.caliper).because == (
        f"since its calibration of {world.caliper.calibrations.order_by('done_on')[0].done_on}"
    )


def test_a_calibration_that_left_it_wrong_is_not_the_last_good_one(world: World, piece: CheckPiece) -> None:
    first = world.caliper.calibrations.get()
    made = bench.made(world)
    wrong = {"error_as_found": Decimal("0.05"), "error_as_left": Decimal("0.05")}
    world.calibrate(world.caliper, done_on=today() - timedelta(days=1), **wrong)
    found = world.calibrate(world.caliper, done_on=today(), **wrong)
    assert rests_on(world.caliper, found) == [made]
    assert span_before_fault(found, world.caliper).because == f"since its calibration of {first.done_on}"


def test_a_gauge_that_was_never_right_puts_all_in_question(world: World) -> None:
    gauge = factories.GaugeFactory()
    span = span_before_fault(None, gauge)
    assert (span.since, rests_on(gauge)) == (None, [])


def test_a_crimp_covered_by_one_that_was_measured_with_it_rests_on_it_too(world: World) -> None:
    pieces = cut_run(world, quantity=4, every=10)
    bench.tool_up(world, pieces[0])
    for piece in pieces:
        made = bench.crimp(world, piece)
        if piece in (pieces[0], pieces[-1]):
            bench.measure(world, made)
    assert set(rests_on(world.caliper)) == set(pieces)
