"""Readings pass, hold or fail a crimp (rules 5, 6 and 9)."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.assemblies import refusals
from shop.assemblies.making import correct_measurement, decide
from shop.assemblies.models import Assembly, Crimp, DecisionKind, End, Measurement, State, Trouble
from shop.assemblies.steps import Step, next_step
from shop.engineering.crimp import Judged
from shop.people.refusals import NeedsSecondPerson
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def guarded(world: World) -> World:
    """A workshop that wants U of distance from each limit: 24.03 to 24.37 mm is accepted."""
    bench.choose(world, decision_rule="guarded_u")
    return world


def standing(assembly: Assembly) -> tuple[str, str, Step]:
    assembly.refresh_from_db()
    return assembly.state, assembly.trouble, next_step(assembly).step


def test_a_crimp_within_its_limits_passes_and_the_next_end_is_set_up(world: World) -> None:
    assembly, crimp = bench.crimped(world)
    measurement = crimp.measurements.get()
    assert (measurement.outcome, measurement.mean) == ("pass", Decimal("24.2"))
    assert measurement.readings_mm == bench.mm(*bench.GOOD)
    assert (measurement.gauge, measurement.policy) == (world.caliper, world.policy)
    assert standing(assembly) == (State.CRIMPED_A, Trouble.NONE, Step.SET_UP)
    assert next_step(assembly).end == End.B


@pytest.mark.parametrize(
    ("reading", "outcome"), [("24.40", "pass"), ("24.41", "fail"), ("24.00", "pass"), ("23.99", "fail")]
)
def test_a_hundredth_of_a_millimetre_outside_a_limit_fails(world: World, reading: str, outcome: str) -> None:
    assembly, crimp = bench.crimped(world, [reading] * 4)
    assert crimp.measurements.get().outcome == outcome
    wanted = (State.CRIMPED_A, Trouble.NONE) if outcome == "pass" else (State.CUT, Trouble.FAILED)
    assert (assembly.state, assembly.trouble) == wanted


def test_the_failing_is_said_with_the_limit(world: World) -> None:
    _, crimp = bench.crimped(world, ["24.41"] * 4)
    assert crimp.measurements.get().reasons == [
        "The mean diameter is 24.41 mm, above the upper limit of 24.4 mm."
    ]


def test_the_mean_is_kept_to_the_nearest_nanometre(world: World) -> None:
    bench.reissue(world, "2", readings=3)
    _, crimp = bench.crimped(world, ["24.20", "24.20", "24.21"])
    assert crimp.measurements.get().mean == Decimal("24.203333")


def test_where_each_reading_is_judged_one_outside_fails(world: World) -> None:
    bench.reissue(world, "2", judged=Judged.EACH)
    assembly, _ = bench.crimped(world, ["24.20", "24.20", "24.41", "24.20"])
    assert assembly.trouble == Trouble.FAILED


def test_an_oval_crimp_fails(world: World) -> None:
    bench.reissue(world, "2", ovality=Decimal("0.1"))
    assembly, crimp = bench.crimped(world, ["24.10", "24.20", "24.21", "24.20"])
    assert assembly.trouble == Trouble.FAILED
    assert crimp.measurements.get().reasons == ["The crimp is oval: 0.11 mm, at most 0.1 mm allowed."]


def test_a_chart_that_limits_taper_wants_the_other_section_measured(world: World) -> None:
    bench.reissue(world, "2", taper=Decimal("0.1"))
    assembly, crimp = bench.crimped(world)
    assert standing(assembly) == (State.CUT, Trouble.HELD, Step.DECIDE)
    bench.measure(world, crimp, other_section_mm=bench.mm("24.25", "24.25", "24.26", "24.25"))
    assert standing(assembly)[:2] == (State.CRIMPED_A, Trouble.NONE)


def test_a_tapered_crimp_fails(world: World) -> None:
    bench.reissue(world, "2", taper=Decimal("0.1"))
    assembly = bench.ready_to_crimp(world)
    bench.measure(world, bench.crimp(world, assembly), other_section_mm=bench.mm(*["24.31"] * 4))
    assert standing(assembly)[:2] == (State.CUT, Trouble.FAILED)


def test_inside_the_limits_but_not_proven_is_held_and_stops_the_assembly(guarded: World) -> None:
    assembly, _ = bench.crimped(guarded, ["24.38"] * 4)
    assert standing(assembly) == (State.CUT, Trouble.HELD, Step.DECIDE)
    with pytest.raises(refusals.NotTheNextStep):
        bench.tool_up(guarded, assembly, End.B)


def test_more_readings_may_prove_what_was_held_and_all_of_them_count(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.38"] * 4)
    second = bench.measure(guarded, crimp, ["24.34"] * 4)
    assert (second.number, second.mean, second.outcome) == (2, Decimal("24.36"), "pass")
    assert standing(assembly)[:2] == (State.CRIMPED_A, Trouble.NONE)


def test_more_readings_may_leave_it_held(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.39"] * 4)
    assert bench.measure(guarded, crimp, ["24.36"] * 4).outcome == "held"
    assert standing(assembly)[:2] == (State.CUT, Trouble.HELD)


def test_a_set_that_fails_by_itself_is_not_averaged_away(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.38"] * 4)
    second = bench.measure(guarded, crimp, ["24.41"] * 4)
    assert (second.mean, second.outcome) == (Decimal("24.395"), "fail")
    assert standing(assembly)[:2] == (State.CUT, Trouble.FAILED)


def test_a_better_gauge_may_prove_what_was_held(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.38"] * 4)
    better = factories.GaugeFactory(resolution=Decimal("0.001"))
    guarded.calibrate(better, expanded_uncertainty=Decimal("0.005"))
    measurement = bench.measure(guarded, crimp, ["24.380"] * 4, gauge=better)
    assert (measurement.gauge, measurement.outcome) == (better, "pass")
    assert standing(assembly)[:2] == (State.CRIMPED_A, Trouble.NONE)


def test_a_coarser_gauges_readings_do_not_prove_what_the_finer_one_does_not(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.375"] * 4)
    finer = factories.GaugeFactory(resolution=Decimal("0.001"))
    guarded.calibrate(finer, expanded_uncertainty=Decimal("0.01"))
    # All together they mean 24.3835, below 24.39; by themselves the finer gauge's readings are above it.
    measurement = bench.measure(guarded, crimp, ["24.392"] * 4, gauge=finer)
    assert (measurement.mean, measurement.outcome) == (Decimal("24.3835"), "held")
    assert measurement.reasons[0].startswith("Only 24.01 to 24.39 mm is proven")
    assert standing(assembly)[1] == Trouble.HELD


def test_a_coarser_gauge_does_not_undo_what_the_finer_one_left_open(guarded: World) -> None:
    finer = factories.GaugeFactory(resolution=Decimal("0.001"))
    guarded.calibrate(finer, expanded_uncertainty=Decimal("0.01"))
    assembly = bench.ready_to_crimp(guarded)
    crimp = bench.crimp(guarded, assembly)
    assert bench.measure(guarded, crimp, ["24.392"] * 4, gauge=finer).outcome == "held"
    assert bench.measure(guarded, crimp, ["24.20"] * 4).outcome == "held"
    assert bench.measure(guarded, crimp, ["24.370"] * 4, gauge=finer).outcome == "pass"


def test_what_was_held_can_be_treated_as_failed_and_then_only_scrapped(guarded: World) -> None:
    assembly, crimp = bench.crimped(guarded, ["24.38"] * 4)
    decide(
        actor=guarded.bench, assembly=assembly, kind=DecisionKind.TREAT_AS_FAILED, reason="No better gauge."
    )
    assert standing(assembly) == (State.CUT, Trouble.FAILED, Step.DECIDE)
    with pytest.raises(refusals.NotTheNextStep):
        bench.measure(guarded, crimp)


def test_what_failed_is_not_measured_until_it_passes(world: World) -> None:
    assembly, crimp = bench.crimped(world, ["24.41"] * 4)
    with pytest.raises(refusals.NotTheNextStep) as refused:
        bench.measure(world, crimp)
    assert refused.value.what == f"{assembly} can't be measured at end A now."


def test_it_refuses_fewer_readings_than_the_chart_asks_for(world: World) -> None:
    crimp = bench.crimp(world, bench.ready_to_crimp(world))
    with pytest.raises(refusals.TooFewReadings):
        bench.measure(world, crimp, ["24.2"] * 3)
    with pytest.raises(refusals.TooFewReadings):
        bench.measure(world, crimp, other_section_mm=bench.mm("24.2"))


def test_it_refuses_readings_of_a_crimp_that_was_crimped_again(world: World) -> None:
    bench.allow_crimping_again(world)
    assembly, first = bench.crimped(world, ["24.45"] * 4)
    decide(actor=world.inspector, assembly=assembly, kind=DecisionKind.CRIMP_AGAIN, reason="Too large.")
    bench.crimp(world, assembly)
    with pytest.raises(refusals.NotTheNewestCrimp):
        bench.measure(world, first)
    with pytest.raises(refusals.NotTheNewestCrimp):
        correct(world, first.measurements.get(), bench.GOOD, actor=world.inspector)


@pytest.mark.parametrize("reading", ["-24.2", "0", "NaN", "24.1234567"])
def test_it_refuses_what_is_no_reading(world: World, reading: str) -> None:
    crimp = bench.crimp(world, bench.ready_to_crimp(world))
    with pytest.raises(refusals.ReadingNotUsable):
        bench.measure(world, crimp, [*bench.GOOD[:3], reading])


def test_an_implausible_reading_is_asked_about_before_it_is_stored(world: World) -> None:
    crimp = bench.crimp(world, bench.ready_to_crimp(world))
    in_inches = ["0.953", "0.953", "0.953", "0.953"]
    with pytest.raises(refusals.ImplausibleReading) as doubt:
        bench.measure(world, crimp, in_inches)
    assert doubt.value.what == "0.953 would be 24.2062 mm if it were inches. Is it really 0.953 mm?"
    assert not Measurement.objects.exists()
    sure = frozenset({doubt.value.code})
    assert bench.measure(world, crimp, in_inches, sure=sure).outcome == "fail"


def test_it_refuses_a_gauge_that_is_not_calibrated_for_the_readings(guarded: World) -> None:
    _, crimp = bench.crimped(guarded, ["24.38"] * 4)
    with pytest.raises(refusals.GaugeOutOfCalibration):
        bench.measure(guarded, crimp, gauge=factories.GaugeFactory())


def correct(
    world: World, measurement: Measurement, readings: Sequence[str], **changes: object
) -> Measurement:
    values = {"actor": world.bench, "measurement": measurement, "readings_mm": bench.mm(*readings)}
    return correct_measurement(**(values | changes))


def test_a_correction_is_a_new_measurement_and_the_first_stays(world: World) -> None:
    assembly, crimp = bench.crimped(world)
    first = crimp.measurements.get()
    correction = correct(world, first, ["24.42"] * 4)
    assert (correction.corrects, correction.number) == (first, 2)
    assert [m.outcome for m in crimp.measurements.order_by("number")] == ["pass", "fail"]
    assert standing(assembly) == (State.CUT, Trouble.FAILED, Step.DECIDE)


def test_readings_that_were_corrected_no_longer_count(guarded: World) -> None:
    _, crimp = bench.crimped(guarded, ["24.38"] * 4)
    correction = correct(guarded, crimp.measurements.get(), ["24.20"] * 4)
    assert (correction.mean, correction.outcome) == (Decimal("24.2"), "pass")


def test_who_measured_it_cannot_turn_it_from_failed_but_a_second_person_can(world: World) -> None:
    assembly, crimp = bench.crimped(world, ["24.41"] * 4)
    first = crimp.measurements.get()
    with pytest.raises(NeedsSecondPerson):
        correct(world, first, ["24.40"] * 4)
    assert crimp.measurements.count() == 1
    assert correct(world, first, ["24.40"] * 4, actor=world.inspector).outcome == "pass"
    assert standing(assembly)[:2] == (State.CRIMPED_A, Trouble.NONE)


def test_who_measured_first_cannot_turn_it_after_somebody_else_failed_it_too(world: World) -> None:
    _, crimp = bench.crimped(world, ["24.41"] * 4)
    second = correct(world, crimp.measurements.get(), ["24.42"] * 4, actor=world.inspector)
    with pytest.raises(NeedsSecondPerson):
        correct(world, second, ["24.40"] * 4)


def test_a_one_person_workshop_may_correct_alone_by_its_policy(world: World) -> None:
    _, crimp = bench.crimped(world, ["24.41"] * 4)
    policy = bench.choose(world, needs_second_person=False)
    correction = correct(world, crimp.measurements.get(), ["24.40"] * 4)
    assert (correction.outcome, correction.policy) == ("pass", policy)


def test_a_set_is_corrected_once_and_not_after_a_decision_or_a_release(world: World) -> None:
    assembly, crimp = bench.crimped(world)
    first = crimp.measurements.get()
    correct(world, first, ["24.21"] * 4)
    with pytest.raises(refusals.CorrectedAlready):
        correct(world, first, ["24.22"] * 4)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Dropped.")
    with pytest.raises(refusals.TooLateToCorrect):
        correct(world, crimp.measurements.last(), ["24.22"] * 4)
    released = bench.released(world)
    with pytest.raises(refusals.TooLateToCorrect):
        correct(world, released.crimps.first().measurements.get(), ["24.22"] * 4)


def test_a_correction_that_fails_takes_a_tagged_assembly_back(world: World) -> None:
    assembly = bench.tagged(world)
    at_a = assembly.crimps.get(end=End.A).measurements.get()
    correct(world, at_a, ["24.41"] * 4)
    assert standing(assembly) == (State.CUT, Trouble.FAILED, Step.DECIDE)


READINGS = st.lists(
    st.lists(st.integers(2380, 2460).map(lambda n: Decimal(n) / 100), min_size=4, max_size=5),
    min_size=1,
    max_size=3,
)


@pytest.fixture
def waiting(guarded: World) -> tuple[World, Crimp]:
    return guarded, bench.crimp(guarded, bench.ready_to_crimp(guarded))


@contextmanager
def undone() -> Iterator[None]:
    """A transaction that is taken back, so that the next example finds the same crimp."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@settings(max_examples=40)
@given(sets=READINGS)
def test_whatever_is_read_no_crimp_passes_outside_its_limits(
    waiting: tuple[World, Crimp], sets: list[list[Decimal]]
) -> None:
    world, crimp = waiting
    assembly = crimp.assembly
    with undone():
        counted: list[list[Decimal]] = []
        for readings in sets:
            assembly.refresh_from_db()
            if not next_step(assembly).allows(Step.MEASURE, End.A):
                break
            bench.measure(world, crimp, [str(reading) for reading in readings])
            counted.append(readings)
        assembly.refresh_from_db()
        means = [sum(readings) / len(readings) for readings in counted]
        together = [reading for readings in counted for reading in readings]
        if assembly.state == State.CRIMPED_A:
            assert assembly.trouble == Trouble.NONE
            assert all(Decimal("24.00") <= mean <= Decimal("24.40") for mean in means)
            assert Decimal("24.03") <= sum(together) / len(together) <= Decimal("24.37")
        else:
            assert assembly.state == State.CUT
            assert assembly.trouble in (Trouble.HELD, Trouble.FAILED)
