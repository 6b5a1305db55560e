"""What was recorded wrong is recorded anew, with the part in hand; the first stays (rule 9)."""

from decimal import Decimal

import pytest

from shop.assemblies.making import correct_lots, decide
from shop.assemblies.models import (
    Assembly,
    Crimp,
    DecisionKind,
    LotCorrection,
    ProofOutcome,
    State,
    Trouble,
    lots_of,
)
from shop.assemblies.refusals import (
    CorrectedAlready,
    FerruleForAnotherHose,
    FerruleMissing,
    LotCameLater,
    LotsAreTheSame,
    ProofTestStands,
    ReasonMissing,
    TooLateToCorrect,
    WrongFitting,
)
from shop.assemblies.release import make_tag
from shop.engineering.pressures import parse_pressure
from shop.ledger.checking import check_ledger
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.dossier import record_of
from shop.trace.suspicion import Suspicion
from tests.assemblies import bench, proving
from tests.world import World


@pytest.fixture
def inspected(world: World) -> Assembly:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    return assembly


@pytest.fixture
def other_lot(world: World) -> Lot:
    """Another bin of the same fittings, there before anything is crimped."""
    return receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=10))


@pytest.fixture
def crimp(world: World, other_lot: Lot) -> Crimp:
    return bench.crimped(world)[1]


def corrected(world: World, crimp: Crimp, lot: Lot, **changes: object) -> LotCorrection:
    values: dict[str, object] = {
        "actor": world.inspector,
        "crimp": crimp,
        "fitting_lot": lot,
        "ferrule_lot": world.ferrule_lot,
        "reason": "the bin on the left was empty since noon",
    }
    return correct_lots(**(values | changes))


def test_a_corrected_inspection_counts_and_the_first_stays(world: World, inspected: Assembly) -> None:
    first = inspected.inspections.get()
    second = bench.look_anew(world, first, finished_length_mm=Decimal(931))
    assert (second.number, second.corrects, second.passed) == (2, first, True)
    assert [written.record for written in record_of(inspected).inspections] == [first, second]
    assert check_ledger().is_right


def test_a_passed_inspection_may_turn_out_not_right(world: World, inspected: Assembly) -> None:
    make_tag(actor=world.inspector, assembly=inspected)
    bench.look_anew(world, inspected.inspections.get(), finished_length_mm=Decimal(990))
    inspected.refresh_from_db()
    assert (inspected.state, inspected.trouble) == (State.CRIMPED_B, Trouble.FAILED)


def test_after_a_corrected_inspection_the_tag_is_made_again(world: World, inspected: Assembly) -> None:
    make_tag(actor=world.inspector, assembly=inspected)
    bench.look_anew(world, inspected.inspections.get())
    inspected.refresh_from_db()
    assert inspected.state == State.INSPECTED


def test_nobody_turns_the_own_failed_inspection_to_passed(world: World) -> None:
    assembly = bench.made(world)
    failed = bench.look_over(world, assembly, finished_length_mm=Decimal(990))
    with pytest.raises(NeedsSecondPerson):
        bench.look_anew(world, failed)
    assert bench.look_anew(world, failed, actor=world.owner).passed


def test_an_inspection_is_corrected_once(world: World, inspected: Assembly) -> None:
    first = inspected.inspections.get()
    bench.look_anew(world, first)
    with pytest.raises(CorrectedAlready):
        bench.look_anew(world, first)


def test_what_was_inspected_again_since_is_corrected_there(world: World) -> None:
    assembly = bench.made(world)
    failed = bench.look_over(world, assembly, finished_length_mm=Decimal(990))
    bench.look_over(world, assembly, actor=world.owner)
    with pytest.raises(TooLateToCorrect, match="inspected again"):
        bench.look_anew(world, failed, actor=world.owner)


def test_what_has_left_the_bench_is_not_inspected_anew(world: World) -> None:
    released = bench.released(world)
    with pytest.raises(TooLateToCorrect, match="released"):
        bench.look_anew(world, released.inspections.get())


def test_a_corrected_proof_test_is_a_new_one(world: World) -> None:
    assembly = proving.ready_to_test(world)
    first = proving.prove(world, assembly)
    second = proving.prove_anew(world, first, peak=parse_pressure("560 bar"))
    assembly.refresh_from_db()
    assert (second.number, second.corrects) == (2, first)
    assert assembly.state == State.TESTED
    assert check_ledger().is_right


def test_a_corrected_test_that_fails_is_a_failed_test(world: World) -> None:
    assembly = proving.ready_to_test(world)
    first = proving.prove(world, assembly)
    proving.prove_anew(world, first, found=["leak"], seen=[])
    assembly.refresh_from_db()
    assert assembly.trouble == Trouble.FAILED


@pytest.mark.parametrize(
    ("changes", "outcome"),
    [
        ({"found": ["leak"], "seen": []}, ProofOutcome.FAILED),
        ({"peak": parse_pressure("650 bar")}, ProofOutcome.OVER),
    ],
)
def test_no_test_takes_the_place_of_one_that_did_not_pass(
    world: World, changes: dict[str, object], outcome: ProofOutcome
) -> None:
    assembly = proving.ready_to_test(world)
    test = proving.prove(world, assembly, **changes)
    assert test.outcome == outcome
    with pytest.raises(ProofTestStands):
        proving.prove_anew(world, test)


def test_a_proof_test_is_corrected_once_and_not_after_it_left(world: World) -> None:
    assembly = proving.ready_to_test(world)
    first = proving.prove(world, assembly)
    proving.prove_anew(world, first)
    with pytest.raises(CorrectedAlready):
        proving.prove_anew(world, first)


def test_the_lots_of_a_crimp_are_corrected_and_both_are_shown(
    world: World, crimp: Crimp, other_lot: Lot
) -> None:
    correction = corrected(world, crimp, other_lot)
    assert lots_of(Crimp.objects.get(pk=crimp.pk)) == (other_lot, world.ferrule_lot)
    assert correction.independently_checked
    [made, _] = record_of(crimp.assembly).ends
    [(written, reason)] = made.crimps[0].lot_corrections
    assert made.crimps[0].written.record.fitting_lot == world.fitting_lot
    assert (written.record, reason) == (correction, "the bin on the left was empty since noon")
    assert check_ledger().is_right


def test_a_suspected_lot_finds_what_was_named_first_and_what_it_was(
    world: World, crimp: Crimp, other_lot: Lot
) -> None:
    corrected(world, crimp, other_lot)
    for lot in (world.fitting_lot, other_lot):
        assert list(Suspicion(things={"fitting_lot": (lot.pk,)}).assemblies()) == [crimp.assembly]


def test_lots_are_corrected_after_the_assembly_has_left(world: World, other_lot: Lot) -> None:
    shipped = bench.shipped(world)
    assert corrected(world, shipped.crimps.all()[0], other_lot).pk


def test_a_lot_that_the_chart_does_not_allow_is_refused_as_at_the_press(
    world: World, crimp: Crimp, other_lot: Lot
) -> None:
    for_another_hose = receive_lot(actor=world.bench, lot=Lot(ferrule=world.other_ferrule, quantity=5))
    with pytest.raises(WrongFitting):
        corrected(world, crimp, world.elbow_lot)
    with pytest.raises(FerruleForAnotherHose):
        corrected(world, crimp, other_lot, ferrule_lot=for_another_hose)
    with pytest.raises(FerruleMissing):
        corrected(world, crimp, other_lot, ferrule_lot=None)


def test_a_lot_that_came_in_after_the_crimp_was_not_in_it(world: World, crimp: Crimp) -> None:
    later = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=10))
    with pytest.raises(LotCameLater):
        corrected(world, crimp, later)


def test_a_correction_of_lots_needs_a_change_a_reason_and_a_second_person(
    world: World, crimp: Crimp, other_lot: Lot
) -> None:
    with pytest.raises(LotsAreTheSame):
        corrected(world, crimp, world.fitting_lot)
    with pytest.raises(ReasonMissing):
        corrected(world, crimp, other_lot, reason=" ")
    with pytest.raises(NotAllowed):
        corrected(world, crimp, other_lot, actor=world.bench)


def test_who_crimped_does_not_correct_the_lots_alone(world: World, other_lot: Lot) -> None:
    assembly = bench.plan_and_cut(world)
    bench.tool_up(world, assembly, actor=world.inspector)
    crimp = bench.crimp(world, assembly, actor=world.inspector)
    with pytest.raises(NeedsSecondPerson):
        corrected(world, crimp, other_lot)
    bench.choose(world, needs_second_person=False)
    assert not corrected(world, crimp, other_lot).independently_checked


def test_crimped_again_it_is_with_the_lots_that_it_was_made_of(world: World, other_lot: Lot) -> None:
    bench.allow_crimping_again(world)
    assembly, crimp = bench.crimped(world, ("24.5",) * 4)
    corrected(world, crimp, other_lot)
    decide(
        actor=world.inspector,
        assembly=assembly,
        kind=DecisionKind.CRIMP_AGAIN,
        reason="too large",
    )
    bench.tool_up(world, assembly)
    again = bench.crimp(world, assembly, fitting_lot=other_lot)
    assert (again.attempt, again.fitting_lot) == (2, other_lot)
