"""A gauge is tried on a check piece between its calibrations, and a calibration tells what U comes from."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.people.models import User
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.tooling.models import CheckPiece, Gauge, GaugeCheck
from shop.tooling.refusals import (
    CheckPieceBlocked,
    CheckPieceTooCoarse,
    FarFromCheckPiece,
    NoPermittedError,
)
from shop.tooling.services import check_gauge, save_check_piece, save_gauge
from tests import factories
from tests.world import World

BUDGET = {
    "certificate_uncertainty": Decimal("0.02"),
    "temperature_effect": Decimal("0.003"),
    "repeatability": Decimal("0.005"),
}


@pytest.fixture
def piece(world: World) -> CheckPiece:
    piece: CheckPiece = factories.CheckPieceFactory(number="ring 25")  # 25.003 ± 0.002
    return piece


@pytest.fixture
def gauge(world: World) -> Gauge:
    world.caliper.permitted_error = Decimal("0.03")
    save_gauge(actor=world.bench, gauge=world.caliper)
    return world.caliper


def read(world: World, piece: CheckPiece, reading: str, *sure: str) -> GaugeCheck:
    return check_gauge(
        actor=world.bench,
        gauge=world.caliper,
        piece=piece,
        reading=Decimal(reading),
        sure=frozenset(sure),
    )


@pytest.mark.parametrize(
    ("reading", "passed"),
    [("25.00", True), ("25.031", True), ("25.032", False), ("24.975", True), ("24.974", False)],
)
def test_what_is_not_known_of_the_piece_counts_against_the_gauge(
    world: World, gauge: Gauge, piece: CheckPiece, reading: str, passed: bool
) -> None:
    assert read(world, piece, reading).passed is passed
    gauge.refresh_from_db()
    assert gauge.is_usable is passed


def test_a_gauge_that_is_not_right_is_blocked_with_what_it_read(
    world: World, gauge: Gauge, piece: CheckPiece
) -> None:
    check = read(world, piece, "25.05")
    gauge.refresh_from_db()
    assert gauge.blocked_because == "read 25.05 mm on ring 25, which is 25.003 mm"
    assert check.deviation == Decimal("0.047")


def test_the_record_says_what_the_piece_was_that_day(world: World, gauge: Gauge, piece: CheckPiece) -> None:
    check = read(world, piece, "25.00")
    piece.nominal = Decimal("25.010")
    save_check_piece(actor=world.inspector, piece=piece)
    check.refresh_from_db()
    assert (check.nominal, check.permitted_error) == (Decimal("25.003"), Decimal("0.03"))


def test_a_slip_is_asked_about_before_it_blocks_the_gauge(
    world: World, gauge: Gauge, piece: CheckPiece
) -> None:
    with pytest.raises(FarFromCheckPiece):
        read(world, piece, "52.00")
    assert not GaugeCheck.objects.exists()
    assert not read(world, piece, "52.00", "far_from_check_piece").passed


def test_without_a_permitted_error_nothing_can_be_said(world: World, piece: CheckPiece) -> None:
    world.caliper.permitted_error = None
    save_gauge(actor=world.bench, gauge=world.caliper)
    with pytest.raises(NoPermittedError):
        read(world, piece, "25.00")


def test_a_piece_that_is_hardly_better_known_than_the_gauge_tells_nothing(world: World, gauge: Gauge) -> None:
    assert read(world, factories.CheckPieceFactory(uncertainty=Decimal("0.01")), "25.00").passed
    with pytest.raises(CheckPieceTooCoarse):
        read(world, factories.CheckPieceFactory(uncertainty=Decimal("0.0101")), "25.00")


def test_a_blocked_piece_is_refused(world: World, gauge: Gauge, piece: CheckPiece) -> None:
    piece.blocked_because = "it fell"
    save_check_piece(actor=world.inspector, piece=piece)
    with pytest.raises(CheckPieceBlocked):
        read(world, piece, "25.00")


def test_a_piece_has_a_size_and_an_uncertainty(world: World) -> None:
    piece = factories.CheckPieceFactory.build(uncertainty=Decimal(0))
    with pytest.raises(ValidationError, match="both above zero"):
        save_check_piece(actor=world.inspector, piece=piece)


def test_the_bench_tries_gauges_and_keeps_no_check_pieces(
    world: World, gauge: Gauge, piece: CheckPiece, counter: User
) -> None:
    with pytest.raises(NotAllowed):
        save_check_piece(actor=world.bench, piece=piece)
    with pytest.raises(NotAllowed):
        check_gauge(actor=counter, gauge=gauge, piece=piece, reading=Decimal(25))


def test_a_calibration_with_a_budget_works_its_uncertainty_out(world: World) -> None:
    calibration = world.calibrate(world.caliper, done_on=today(), expanded_uncertainty=None, **BUDGET)
    calibration.refresh_from_db()
    assert calibration.resolution_then == world.caliper.resolution
    # Half of 0.02, a hundredth over the root of 12, 0.003 over the root of 3, 0.005: 2 × root of the squares.
    assert calibration.expanded_uncertainty == Decimal("0.023353")
    assert calibration.budget is not None
    assert calibration.budget.components[0] == ("calibration", Decimal("0.01"))


def test_the_budget_keeps_the_resolution_of_its_day(world: World) -> None:
    calibration = world.calibrate(world.caliper, done_on=today(), **BUDGET)
    world.caliper.resolution = Decimal("0.05")
    save_gauge(actor=world.bench, gauge=world.caliper)
    calibration.refresh_from_db()
    assert calibration.resolution_then == Decimal("0.01")


def test_half_a_budget_is_refused(world: World) -> None:
    with pytest.raises(ValidationError, match="all its parts"):
        world.calibrate(world.caliper, done_on=today(), **(BUDGET | {"repeatability": None}))


def test_a_calibration_without_a_budget_has_none(world: World) -> None:
    calibration = world.calibrate(world.caliper, done_on=today())
    assert (calibration.budget, calibration.resolution_then) == (None, None)
