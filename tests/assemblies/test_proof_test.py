"""A proof test passes, holds or fails an assembly; what is no test is refused, and so is what is unsafe."""

import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.db import DatabaseError, transaction

from shop.assemblies import refusals
from shop.assemblies.consistency import curves_that_are_not_as_kept, standings_that_disagree
from shop.assemblies.making import correct_measurement, decide
from shop.assemblies.models import Assembly, DecisionKind, End, ProofFluid, ProofTest, State, Trouble
from shop.assemblies.planning import resolve_again, start_line
from shop.assemblies.release import make_tag, release
from shop.assemblies.remedies import Remedy
from shop.assemblies.runs import prove_pieces
from shop.assemblies.steps import Step, next_step
from shop.assemblies.testing import CURVES, SEEN, kept_curve
from shop.core.refusals import Refusal
from shop.engineering.pressures import parse_pressure
from shop.orders.refusals import NoProofTestsHere
from shop.orders.services import confirm_line
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.policy.services import today
from tests.assemblies import bench, proving
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def inspected(world: World) -> Assembly:
    """An inspected assembly that is tested next."""
    return proving.ready_to_test(world)


def bar(typed: str) -> object:
    return parse_pressure(f"{typed} bar")


def standing(assembly: Assembly) -> tuple[str, str, Step]:
    assembly.refresh_from_db()
    return assembly.state, assembly.trouble, next_step(assembly).step


def test_what_the_order_asks_for_is_tested_between_inspection_and_tag(
    world: World, inspected: Assembly
) -> None:
    assert standing(inspected) == (State.INSPECTED, Trouble.NONE, Step.TEST)
    with pytest.raises(refusals.NoTagYet):
        make_tag(actor=world.inspector, assembly=inspected)
    test = proving.prove(world, inspected)
    assert (test.outcome, test.required, test.highest, test.hold_s) == ("passed", "550", "577.5", 30)
    assert standing(inspected) == (State.TESTED, Trouble.NONE, Step.TAG)
    make_tag(actor=world.inspector, assembly=inspected)
    release(actor=world.inspector, assembly=inspected, scanned=inspected.code)
    assert standing(inspected)[0] == State.RELEASED
    assert list(standings_that_disagree()) == []


def test_what_nobody_asks_for_is_tagged_untested(world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    assert standing(assembly)[2] == Step.TAG
    with pytest.raises(refusals.NotTheNextStep):
        proving.prove(world, assembly)


def test_the_policy_may_have_all_tested_or_none(world: World) -> None:
    bench.choose(world, proof_test="always")
    assert confirm_line(actor=world.counter, line=world.written_line()).proof_test
    bench.choose(world, proof_test="never")
    assert not confirm_line(actor=world.counter, line=world.written_line()).proof_test
    with pytest.raises(NoProofTestsHere):
        confirm_line(actor=world.counter, line=world.written_line(proof_test_wanted=True))


def test_hold_and_highest_pressure_are_the_policys(world: World, inspected: Assembly) -> None:
    bench.choose(world, proof_hold_s=45, proof_over_percent=10)
    with pytest.raises(refusals.HeldTooShort) as refused:
        proving.prove(world, inspected)
    assert refused.value.what == "It was held for 32 s; 45 s are wanted: that proves nothing."
    test = proving.prove(world, inspected, held_s=45, peak=bar("605"))
    assert (test.highest, test.outcome) == ("605", "passed")


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"fluid": ProofFluid.GAS}, refusals.GasForTest),
        ({"adaptors": parse_pressure("577 bar")}, refusals.AdaptorsTooWeak),
        ({"ready": ["bled", "tied"]}, refusals.NotReadyForTest),
        ({"seen": ["dry", "line_unmoved", "undamaged"]}, refusals.NotLookedAtAfterTest),
        ({"found": ["leak"]}, refusals.BothWays),
        ({"peak": parse_pressure("549.9 bar")}, refusals.BelowProofPressure),
        ({"held_s": 29}, refusals.HeldTooShort),
        ({"peak": parse_pressure("5550 bar")}, refusals.ImplausiblePeak),
        ({"curve": "noon, high"}, refusals.CurveNotUsable),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_what_is_unsafe_or_proves_nothing_is_refused_and_leaves_no_record(
    world: World, inspected: Assembly, changes: dict[str, Any], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        proving.prove(world, inspected, **changes)
    assert not ProofTest.objects.exists()
    assert standing(inspected) == (State.INSPECTED, Trouble.NONE, Step.TEST)


@pytest.mark.parametrize(
    ("gauge", "calibration", "refusal"),
    [
        ({"scale_to": "577"}, {}, refusals.PressureGaugeUnfit),
        ({"scale_to": "2500"}, {}, refusals.PressureGaugeUnfit),
        ({"scale_to": "600"}, {}, refusals.PressureGaugeUnfit),
        ({}, {"expanded_uncertainty": "3.5"}, refusals.PressureGaugeUnfit),
        ({}, {"passed": False}, refusals.GaugeOutOfCalibration),
        ({"blocked_because": "dropped"}, {}, refusals.ToolBlocked),
    ],
)
def test_it_refuses_a_gauge_that_cannot_tell_the_test(
    world: World,
    inspected: Assembly,
    gauge: dict[str, str],
    calibration: dict[str, Any],
    refusal: type[Refusal],
) -> None:
    taken = proving.calibrated_gauge(world, **gauge)
    if calibration:
        proving.calibrate(world, taken, **calibration)
    with pytest.raises(refusal):
        proving.prove(world, inspected, taken)


def test_it_refuses_a_gauge_that_was_never_calibrated_or_is_over_its_day(
    world: World, inspected: Assembly
) -> None:
    gauge = proving.calibrated_gauge(world)
    yesterday = today() - datetime.timedelta(days=1)
    proving.calibrate(world, gauge, done_on=yesterday - datetime.timedelta(days=1), due_on=yesterday)
    with pytest.raises(refusals.GaugeOutOfCalibration) as refused:
        proving.prove(world, inspected, gauge)
    assert f"due on {yesterday}" in refused.value.what


def test_a_gauge_in_another_unit_is_compared_exactly(world: World, inspected: Assembly) -> None:
    gauge = proving.calibrated_gauge(world, unit="psi", scale_to="15000", division="10")
    proving.calibrate(world, gauge, expanded_uncertainty="20")
    with pytest.raises(refusals.BelowProofPressure):  # 550 bar is 7977.08 psi
        proving.prove(world, inspected, gauge, peak=parse_pressure("7977 psi"))
    test = proving.prove(world, inspected, gauge, peak=parse_pressure("7978 psi"))
    assert (str(test.peak_pressure), test.outcome) == ("7978 psi", "passed")


@pytest.mark.parametrize(
    ("found", "seen"),
    [
        ("leak", ["line_unmoved", "undamaged"]),
        ("slip", ["dry", "undamaged"]),
        ("burst", ["line_unmoved"]),
    ],
)
def test_a_failed_test_is_scrap_and_nothing_else(
    world: World, inspected: Assembly, found: str, seen: list[str]
) -> None:
    test = proving.prove(world, inspected, found=[found], seen=seen, peak=bar("310"), held_s=0, words="end B")
    assert (test.outcome, test.private("words")) == ("failed", "end B")
    assert standing(inspected) == (State.INSPECTED, Trouble.FAILED, Step.DECIDE)
    with pytest.raises(refusals.NotTheNextStep):
        proving.prove(world, inspected)
    with pytest.raises(refusals.NotTheNextStep):
        bench.look_over(world, inspected)
    for kind in (DecisionKind.CRIMP_AGAIN, DecisionKind.TREAT_AS_FAILED):
        with pytest.raises(refusals.NothingToDecide):
            decide(actor=world.inspector, assembly=inspected, kind=kind, reason="once more")
    decide(actor=world.bench, assembly=inspected, kind=DecisionKind.SCRAP, reason="it leaks")
    assert standing(inspected)[0] == State.SCRAPPED
    assert list(standings_that_disagree()) == []


def test_one_that_went_too_high_is_held_until_somebody_else_has_inspected_it_again(
    world: World, inspected: Assembly
) -> None:
    test = proving.prove(world, inspected, peak=bar("577.6"), actor=world.inspector)
    assert test.outcome == "over"
    assert standing(inspected) == (State.INSPECTED, Trouble.HELD, Step.DECIDE)
    with pytest.raises(refusals.NoTagYet):
        make_tag(actor=world.owner, assembly=inspected)
    with pytest.raises(refusals.NothingToDecide):
        decide(actor=world.owner, assembly=inspected, kind=DecisionKind.TREAT_AS_FAILED, reason="to be sure")
    with pytest.raises(NeedsSecondPerson):
        bench.look_over(world, inspected)
    again = bench.look_over(world, inspected, actor=world.owner)
    assert again.independently_checked
    assert standing(inspected) == (State.TESTED, Trouble.NONE, Step.TAG)
    assert list(standings_that_disagree()) == []


def test_one_that_came_out_longer_of_a_test_that_went_too_high_has_failed(
    world: World, inspected: Assembly
) -> None:
    proving.prove(world, inspected, peak=bar("600"))
    bench.look_over(world, inspected, finished_length_mm=Decimal(990))
    assert standing(inspected)[:2] == (State.CRIMPED_B, Trouble.FAILED)


def test_in_a_one_person_workshop_the_record_says_that_nobody_else_looked(world: World) -> None:
    bench.choose(world, needs_second_person=False)
    inspected = proving.ready_to_test(world)
    proving.prove(world, inspected, peak=bar("600"), actor=world.inspector)
    assert not bench.look_over(world, inspected).independently_checked


def test_what_was_under_pressure_is_never_crimped_again(world: World) -> None:
    bench.allow_crimping_again(world)
    inspected = proving.ready_to_test(world)
    first = inspected.crimps.get(end=End.A).measurements.get()
    correct_measurement(actor=world.inspector, measurement=first, readings_mm=bench.mm(*["24.45"] * 4))
    assert standing(inspected)[1] == Trouble.FAILED
    assert not bench.offered(world.owner, inspected, Remedy.CRIMP_AGAIN)
    with pytest.raises(refusals.CrimpAgainRefused) as refused:
        decide(actor=world.owner, assembly=inspected, kind=DecisionKind.CRIMP_AGAIN, reason="too large")
    assert "under proof pressure" in refused.value.what


def test_a_line_that_is_confirmed_again_to_be_tested_takes_its_assemblies_back_to_the_test(
    world: World,
) -> None:
    tagged = bench.tagged(world)
    bench.choose(world, proof_test="always")
    resolve_again(actor=world.counter, line=tagged.run.line)
    assert standing(tagged) == (State.INSPECTED, Trouble.NONE, Step.TEST)
    proving.prove(world, tagged)
    assert standing(tagged) == (State.TAGGED, Trouble.NONE, Step.RELEASE)
    assert list(standings_that_disagree()) == []


def test_a_test_at_a_lower_pressure_than_is_wanted_now_counts_no_more(world: World) -> None:
    tested = proving.ready_to_test(world)
    proving.prove(world, tested)
    bench.choose(world, proof_factor_percent=210)
    resolve_again(actor=world.counter, line=tested.run.line)
    assert standing(tested) == (State.INSPECTED, Trouble.NONE, Step.TEST)
    with pytest.raises(refusals.BelowProofPressure):
        proving.prove(world, tested)
    assert proving.prove(world, tested, peak=bar("580")).number == 2
    assert standing(tested)[0] == State.TESTED


def test_the_counter_does_not_test(world: World, inspected: Assembly) -> None:
    with pytest.raises(NotAllowed):
        proving.prove(world, inspected, actor=world.counter)


def test_an_implausible_peak_is_held_once_somebody_says_that_it_is_so(
    world: World, inspected: Assembly
) -> None:
    test = proving.prove(world, inspected, peak=bar("1200"), sure=frozenset({"implausible_peak"}))
    assert test.outcome == "over"


def test_the_curve_is_kept_as_it_came(world: World, inspected: Assembly) -> None:
    test = proving.prove(world, inspected, curve=proving.CURVE)
    assert kept_curve(test).decode() == proving.CURVE
    assert list(curves_that_are_not_as_kept()) == []
    CURVES.path(test.curve_sha256).write_text("time s; pressure bar")
    with pytest.raises(refusals.CurveDamaged):
        kept_curve(test)
    [sentence] = curves_that_are_not_as_kept()
    assert "not what was kept" in sentence
    Path(CURVES.path(test.curve_sha256)).unlink()
    [sentence] = curves_that_are_not_as_kept()
    assert "missing" in sentence


@pytest.mark.parametrize(
    ("changes", "says"),
    [({"peak": parse_pressure("570 bar")}, "a peak of 555 bar"), ({"held_s": 36}, "held for 32.5 s")],
)
def test_a_curve_that_says_otherwise_is_asked_about(
    world: World, inspected: Assembly, changes: dict[str, Any], says: str
) -> None:
    with pytest.raises(refusals.CurveSaysOtherwise) as doubt:
        proving.prove(world, inspected, curve=proving.CURVE, **changes)
    assert says in doubt.value.what
    sure = frozenset({doubt.value.code})
    assert proving.prove(world, inspected, curve=proving.CURVE, sure=sure, **changes).outcome == "passed"


def test_of_curve_and_typed_figures_the_worse_counts(world: World, inspected: Assembly) -> None:
    sure = frozenset({"curve_says_otherwise"})
    short = "time s;pressure bar\n0;0\n10;555\n39;555\n40;0"
    with pytest.raises(refusals.HeldTooShort):
        proving.prove(world, inspected, curve=short, sure=sure)
    low = proving.CURVE.replace("555", "549")
    with pytest.raises(refusals.BelowProofPressure):
        proving.prove(world, inspected, curve=low.replace("552", "549"), sure=sure)
    high = proving.CURVE.replace("20; 555", "20; 620")
    assert proving.prove(world, inspected, curve=high, sure=sure).outcome == "over"


def test_pieces_of_a_run_are_tested_together_each_with_its_own_record(world: World) -> None:
    line = world.written_line(quantity=3, proof_test_wanted=True)
    pieces = start_line(actor=world.counter, line=line)
    for piece in pieces:
        bench.cut(world, piece)
    bench.finish_run(world, pieces)
    for piece in pieces:
        bench.look_over(world, piece)
    gauge, run = proving.calibrated_gauge(world), pieces[0].run
    wrong = proving.observed(found=["leak"], seen=[code for code in SEEN if code != "dry"])
    with pytest.raises(refusals.SomethingFoundOnSeveral):
        prove_pieces(actor=world.bench, run=run, count=2, gauge=gauge, observed=wrong)
    with pytest.raises(refusals.NotSoMany):
        prove_pieces(actor=world.bench, run=run, count=4, gauge=gauge, observed=proving.observed())
    prove_pieces(actor=world.bench, run=run, count=1, gauge=gauge, observed=wrong)
    prove_pieces(
        actor=world.bench, run=run, count=2, gauge=gauge, observed=proving.observed(curve=proving.CURVE)
    )
    assert [standing(piece)[:2] for piece in pieces] == [
        (State.INSPECTED, Trouble.FAILED),
        (State.TESTED, Trouble.NONE),
        (State.TESTED, Trouble.NONE),
    ]
    with pytest.raises(refusals.NoneOfThem):
        prove_pieces(actor=world.bench, run=run, count=1, gauge=gauge, observed=proving.observed())


def test_a_test_is_written_once(world: World, inspected: Assembly) -> None:
    test = proving.prove(world, inspected)
    with pytest.raises(DatabaseError), transaction.atomic():
        ProofTest.objects.filter(pk=test.pk).update(outcome="failed")
