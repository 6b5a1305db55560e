"""A gauge was wrong: what is right in spite of it, and what nobody knows any more."""

from decimal import Decimal

import pytest

from shop.assemblies.making import correct_measurement
from shop.assemblies.models import Assembly, End
from shop.assemblies.recalls import open_recalls_of
from shop.engineering.pressures import parse_pressure
from shop.policy.services import today
from shop.tooling.models import Calibration, CheckPiece
from shop.tooling.services import check_gauge, save_gauge
from shop.trace.made_with import span_before_fault
from shop.trace.recalling import found_since, recall_doubtful
from shop.trace.weighing import shifts_of, weigh, weigh_tests
from tests import factories
from tests.assemblies import bench, proving
from tests.assemblies.test_runs import cut_run
from tests.world import World

# The chart: 24.0 to 24.4. A reading this near to the upper limit stands no error of more than 0.03.
NEAR = ("24.37", "24.37", "24.37", "24.37")


def found_wrong(world: World, error: str) -> Calibration:
    """The caliper, found wrong by that at its calibration."""
    world.caliper.permitted_error = Decimal("0.02")
    save_gauge(actor=world.bench, gauge=world.caliper)
    return world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal(error))


def keys(*assemblies: Assembly) -> set[int]:
    return {assembly.pk for assembly in assemblies}


@pytest.mark.parametrize(
    ("error", "stands"),
    [
        ("0.03", True),  # 24.37 + 0.03 is 24.40, the limit itself
        ("0.031", False),
        ("-0.031", False),  # it read too little, so it was larger
    ],
)
def test_a_crimp_stays_proven_if_it_is_inside_whatever_the_gauge_was_off_by(
    world: World, error: str, stands: bool
) -> None:
    near, _ = bench.crimped(world, NEAR)
    middle, _ = bench.crimped(world)
    weighed = weigh(world.caliper, found_wrong(world, error))
    assert weighed.proven == keys(middle) | (keys(near) if stands else set())
    assert weighed.in_question == (set() if stands else keys(near))


def test_an_error_with_its_sign_counts_to_that_side_only(world: World) -> None:
    """It read 0.05 too little: a crimp at the lower limit is further inside than it looked."""
    low, _ = bench.crimped(world, ("24.03", "24.03", "24.03", "24.03"))
    assert weigh(world.caliper, found_wrong(world, "-0.05")).proven == keys(low)


def test_what_a_check_piece_told_has_its_sign(world: World) -> None:
    world.caliper.permitted_error = Decimal("0.02")
    save_gauge(actor=world.bench, gauge=world.caliper)
    near, _ = bench.crimped(world, NEAR)
    piece: CheckPiece = factories.CheckPieceFactory(nominal=Decimal(25))
    fault = check_gauge(actor=world.bench, gauge=world.caliper, piece=piece, reading=Decimal("25.05"))
    assert shifts_of(fault) == (Decimal(0), Decimal("-0.05"))
    assert weigh(world.caliper, fault).proven == keys(near)


def test_one_end_in_doubt_puts_the_assembly_in_question(world: World) -> None:
    assembly, _ = bench.crimped(world)
    bench.tool_up(world, assembly, End.B)
    bench.measure(world, bench.crimp(world, assembly, End.B), NEAR)
    assert weigh(world.caliper, found_wrong(world, "0.05")).in_question == keys(assembly)


def test_a_covered_piece_stands_as_long_as_both_that_cover_it_do(world: World) -> None:
    pieces = cut_run(world, 5, every=3)
    for piece in pieces:
        made = bench.crimp(world, piece)
        if made.sampling != "between":
            bench.measure(world, made, NEAR if piece == pieces[-1] else bench.GOOD)
    measured = [piece for piece in pieces if piece.crimps.get().measurements.exists()]
    last_covered = pieces[pieces.index(measured[-2]) + 1 : -1]
    assert last_covered
    weighed = weigh(world.caliper, found_wrong(world, "0.05"))
    assert weighed.in_question == keys(*last_covered, pieces[-1])
    assert weighed.proven == keys(*pieces) - weighed.in_question


def test_readings_of_another_gauge_are_not_shifted(world: World) -> None:
    """The last piece of a run was measured near the limit, with a caliper that was right."""
    pieces = cut_run(world, 3, every=10)
    other = factories.GaugeFactory()
    world.calibrate(other)
    bench.measure(world, bench.crimp(world, pieces[0]))
    bench.crimp(world, pieces[1])
    bench.measure(world, bench.crimp(world, pieces[2]), NEAR, gauge=other)
    assert weigh(world.caliper, found_wrong(world, "0.05")).proven == keys(*pieces[:2])


def test_a_set_that_was_corrected_does_not_count(world: World) -> None:
    assembly, made = bench.crimped(world, NEAR)
    correct_measurement(
        actor=world.inspector,
        measurement=made.measurements.get(),
        readings_mm=bench.mm(*bench.GOOD),
    )
    assert weigh(world.caliper, found_wrong(world, "0.05")).proven == keys(assembly)


def test_a_finished_length_is_weighed_by_its_own_limits(world: World) -> None:
    near, middle = bench.made(world), bench.made(world)
    longest = bench.look_over(world, middle).length_upper
    bench.look_over(world, near, finished_length_mm=longest - 1)
    world.tape.permitted_error = Decimal(1)
    save_gauge(actor=world.bench, gauge=world.tape)
    fault = world.calibrate(
        world.tape, done_on=today(), error_as_found=Decimal(2), expanded_uncertainty=Decimal(1)
    )
    weighed = weigh(world.tape, fault)
    assert (weighed.proven, weighed.in_question) == (keys(middle), keys(near))


def test_a_proof_test_stands_if_proof_pressure_was_reached_all_the_same(world: World) -> None:
    """550 bar is asked for: a gauge that showed 6 bar too much leaves 555 bar unproven, 560 bar not."""
    just, enough = proving.ready_to_test(world), proving.ready_to_test(world)
    gauge = proving.calibrated_gauge(world)
    proving.prove(world, just, gauge, peak=parse_pressure("555 bar"))
    proving.prove(world, enough, gauge, peak=parse_pressure("560 bar"))
    fault = proving.calibrate(world, gauge, done_on=today(), error_as_found="6", passed=False)
    weighed = weigh_tests(gauge, fault)
    assert (weighed.proven, weighed.in_question) == (keys(enough), keys(just))


def test_what_is_in_question_becomes_a_recall_and_what_stands_is_left_out(world: World) -> None:
    near, _ = bench.crimped(world, NEAR)
    middle, _ = bench.crimped(world)
    fault = found_wrong(world, "0.05")
    made = recall_doubtful(
        actor=world.inspector,
        gauge=world.caliper,
        span=span_before_fault(fault, world.caliper),
        weighed=weigh(world.caliper, fault),
        reason="The caliper read 0.05 mm wrong.",
    )
    assert (made.members, made.spared) == ([near.pk], [middle.pk])
    assert made.says[0] == f"Measured with {world.caliper}."
    assert open_recalls_of(near)
    assert not open_recalls_of(middle)
    assert not found_since(made).exists()
