"""An end that failed is cut off and refitted: new parts, a second person, and hose enough for the order."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from shop.assemblies import refusals
from shop.assemblies.consistency import standings_that_disagree
from shop.assemblies.lengths import lengths_of
from shop.assemblies.making import correct_measurement, decide, refit_end
from shop.assemblies.models import (
    Assembly,
    Cause,
    Crimp,
    Decision,
    DecisionKind,
    End,
    Sampling,
    State,
    Trouble,
)
from shop.assemblies.planning import start_line
from shop.assemblies.points import At
from shop.assemblies.release import make_tag, release
from shop.assemblies.runs import crimp_pieces
from shop.assemblies.standing import standing_of
from shop.assemblies.steps import Step, next_step
from shop.catalogue.services import save_hose
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db

TOO_SMALL = ("23.95",) * 4
TOO_LARGE = ("24.45",) * 4
# 8 m: EN 853 Table 3 / DIN 20066 allow 1.5 % more and 0.5 % less, from memory: 7960 to 8120 mm.
LONG = {"overall_length": Decimal(8000), "overall_typed": "8 m"}
THIRTY = Decimal(30)  # the fitting of this world goes in 30 mm deep


def refit(world: World, assembly: Assembly, cut_off: Decimal = THIRTY, **changes: object) -> Decision:
    values: dict[str, object] = {
        "actor": world.inspector,
        "assembly": assembly,
        "cut_off_mm": cut_off,
        "cause": Cause.SET_UP,
    }
    return refit_end(**(values | changes))  # type: ignore[arg-type]  # as the test wants them


def failed(world: World, **changes: object) -> Assembly:
    """Eight metres of hose whose end A was pressed too small."""
    assembly, _ = bench.crimped(world, TOO_SMALL, **(LONG | changes))
    return assembly


def test_what_is_cut_off_is_set_up_crimped_and_measured_anew(world: World) -> None:
    assembly = failed(world)
    decision = refit(world, assembly)
    assembly.refresh_from_db()
    assert (decision.cut_off, decision.length_left) == (THIRTY, Decimal(7920))
    assert (assembly.state, assembly.trouble) == (State.CUT, Trouble.NONE)
    assert (next_step(assembly).step, next_step(assembly).words) == (
        Step.SET_UP,
        "Set the crimper up for end A, cut off by 30 mm so that 7920 mm of hose are left, "
        "with a new fitting.",
    )
    bench.tool_up(world, assembly)
    second = bench.crimp(world, assembly)
    assert (second.attempt, second.sampling) == (2, Sampling.FIRST)
    bench.measure(world, second)
    assembly.refresh_from_db()
    assert assembly.state == State.CRIMPED_A
    bench.finish_ends(world, assembly)
    assert bench.look_over(world, assembly, finished_length_mm=Decimal(7972)).passed
    make_tag(actor=world.inspector, assembly=assembly)
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert assembly.state == State.RELEASED
    assert list(standings_that_disagree()) == []


def test_it_is_not_crimped_on_the_set_up_that_failed(world: World) -> None:
    assembly = failed(world)
    refit(world, assembly)
    with pytest.raises(refusals.NotTheNextStep):
        bench.crimp(world, assembly)


def test_the_new_fitting_and_ferrule_may_come_from_any_bin_that_is_right(world: World) -> None:
    assembly = failed(world)
    refit(world, assembly)
    bench.tool_up(world, assembly)
    bin_2 = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-2", quantity=10))
    assert bench.crimp(world, assembly, fitting_lot=bin_2).fitting_lot == bin_2


def test_crimping_again_counts_anew_on_a_new_fitting(world: World) -> None:
    bench.allow_crimping_again(world)
    assembly, _ = bench.crimped(world, TOO_LARGE, **LONG)
    again = {"actor": world.inspector, "assembly": assembly, "kind": DecisionKind.CRIMP_AGAIN}
    decide(**again, cause=Cause.STOPPED_SHORT)
    bench.measure(world, bench.crimp(world, assembly), TOO_LARGE)
    with pytest.raises(refusals.CrimpAgainRefused, match="crimped again once already"):
        decide(**again, cause=Cause.STOPPED_SHORT)
    refit(world, assembly)
    bench.tool_up(world, assembly)
    bench.measure(world, bench.crimp(world, assembly), TOO_LARGE)
    decide(**again, cause=Cause.STOPPED_SHORT)
    fourth = bench.crimp(world, assembly)
    assert (fourth.attempt, fourth.sampling) == (4, Sampling.FIRST)


def test_most_refits_leave_too_little_and_it_is_said_by_how_much_in_the_unit_of_the_order(
    world: World,
) -> None:
    assembly, _ = bench.crimped(world, TOO_SMALL, overall_length=Decimal("920.75"), overall_typed='36 1/4"')
    with pytest.raises(refusals.RefitTooShort) as refused:
        refit(world, assembly, Decimal("31.75"))
    # 916.75 mm (4 mm less than 920.75) are no whole 1/64 in.
    assert refused.value.what == (
        f"With 1 1/4 in off, {assembly} comes out at 35 in: 27.75 mm (1.09 in) shorter than the "
        "916.75 mm (36.09 in) that the order allows."
    )
    assert not assembly.decisions.exists()


def test_two_cut_offs_add_up(world: World) -> None:
    assembly = failed(world)
    refit(world, assembly, Decimal(35))
    bench.tool_up(world, assembly)
    bench.measure(world, bench.crimp(world, assembly), TOO_SMALL)
    with pytest.raises(refusals.RefitTooShort, match=r"comes out at 7\.935 m: 0\.025 m shorter"):
        refit(world, assembly)


def test_hose_that_was_pressed_does_not_stay_on(world: World) -> None:
    with pytest.raises(refusals.CutOffTooLittle, match=r"0\.03 m of it were in there"):
        refit(world, failed(world), Decimal("29.9"))


def test_enough_hose_has_to_be_left_between_the_ferrules(world: World) -> None:
    assembly = failed(world)
    world.hose.least_between_ferrules = Decimal(7900)
    save_hose(actor=world.counter, hose=world.hose)
    assembly = Assembly.objects.get(pk=assembly.pk)
    with pytest.raises(refusals.RefitTooShort, match="leave enough hose between the ferrules"):
        refit(world, assembly)


@pytest.mark.parametrize("cut_off", [Decimal(0), Decimal(-30), Decimal(7950), Decimal(9000)])
def test_a_length_that_can_t_come_off_is_refused(world: World, cut_off: Decimal) -> None:
    with pytest.raises(refusals.MeasureNotUsable):
        refit(world, failed(world), cut_off)


def test_who_crimped_it_can_t_decide_it_and_the_bench_can_t_either(world: World) -> None:
    assembly = bench.ready_to_crimp(world, **LONG)
    bench.measure(world, bench.crimp(world, assembly, actor=world.inspector), TOO_SMALL)
    with pytest.raises(NeedsSecondPerson, match="decide to cut it off and refit"):
        refit(world, assembly)
    with pytest.raises(NotAllowed):
        refit(world, assembly, actor=world.bench)
    assert refit(world, assembly, actor=world.owner).independently_checked


def test_it_is_never_refitted_after_it_was_under_pressure(world: World) -> None:
    inspected = bench.made(world, proof_test_wanted=True, **LONG)
    assert bench.look_over(world, inspected, finished_length_mm=Decimal(8002)).passed
    readings = inspected.crimps.get(end=End.A).measurements.get()
    correct_measurement(actor=world.inspector, measurement=readings, readings_mm=bench.mm(*TOO_SMALL))
    with pytest.raises(refusals.RefitRefused, match="under proof pressure"):
        refit(world, inspected, actor=world.owner)


def test_what_is_held_is_not_refitted_until_it_is_treated_as_failed(world: World) -> None:
    bench.choose(world, decision_rule="guarded_u")
    assembly, _ = bench.crimped(world, ("24.38",) * 4, **LONG)
    with pytest.raises(refusals.NothingToDecide):
        refit(world, assembly)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.TREAT_AS_FAILED, cause=Cause.GAUGE)
    assert refit(world, assembly).kind == DecisionKind.REFIT


def test_after_an_inspection_that_was_not_right_somebody_says_which_end(world: World) -> None:
    assembly = bench.made(world, **LONG)
    bench.look_over(world, assembly, finished_length_mm=Decimal(8002), faults=["Ferrule askew at end B."])
    with pytest.raises(refusals.EndNotNamed):
        refit(world, assembly)
    refit(world, assembly, end=End.B)
    assembly.refresh_from_db()
    assert (assembly.state, assembly.trouble) == (State.CRIMPED_A, Trouble.NONE)
    bench.tool_up(world, assembly, End.B)
    bench.measure(world, bench.crimp(world, assembly, End.B))
    assert bench.look_over(world, assembly, finished_length_mm=Decimal(7972), actor=world.owner).passed


def test_a_failed_end_is_the_one_that_is_cut_off(world: World) -> None:
    with pytest.raises(refusals.RefitRefused, match="end A is the one that failed"):
        refit(world, failed(world), end=End.B)


def test_what_was_cut_too_long_comes_right_by_a_refit_that_takes_enough(world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly, finished_length_mm=Decimal(975))  # 926 to 942 mm is right
    with pytest.raises(refusals.RefitTooLong, match="comes out at 945 mm: 3 mm longer"):
        refit(world, assembly, end=End.B)
    with pytest.raises(refusals.RefitTooShort, match="1 mm shorter"):
        refit(world, assembly, Decimal(50), end=End.B)
    assert refit(world, assembly, Decimal(40), end=End.B).length_left == Decimal(840)


def test_a_decision_says_what_comes_off_only_for_a_refit(world: World) -> None:
    """Where somebody writes past the services."""
    decision = refit(world, failed(world))
    decision.kind = DecisionKind.SCRAP
    with pytest.raises(IntegrityError), transaction.atomic():
        decision.save_base(raw=True, force_insert=True)


def test_a_refitted_piece_of_a_run_is_measured_and_proves_others(world: World) -> None:
    bench.choose(world, measured_every=3)
    pieces = start_line(actor=world.counter, line=world.written_line(quantity=6, **LONG))
    for piece in pieces:
        bench.cut(world, piece)
    bench.tool_up(world, pieces[0])
    bench.measure(world, bench.crimp(world, pieces[0]))
    bench.crimp(world, pieces[1])
    bench.measure(world, bench.crimp(world, pieces[2]), TOO_SMALL)
    assert stages(pieces[:3]) == ["right", "held", "failed"]
    refit(world, pieces[2])
    bench.tool_up(world, pieces[3])
    bench.measure(world, bench.crimp(world, pieces[3]))
    between = bench.crimp(world, pieces[4])
    assert between.sampling == Sampling.BETWEEN
    anew = bench.crimp(world, pieces[2])
    assert anew.sampling == Sampling.NTH  # the third on this set-up: it is its turn anyhow
    bench.measure(world, anew)
    # What was cut off still speaks of the piece before it on the set-up that failed.
    assert stages(pieces[:5]) == ["right", "held", "right", "right", "right"]
    assert between.coverages.get().after == anew.measurements.get()


def test_a_refitted_piece_is_measured_though_it_is_not_its_turn(world: World) -> None:
    pieces = cut_run(world)
    bench.measure(world, bench.crimp(world, pieces[0]), TOO_SMALL)
    refit(world, pieces[0])
    bench.tool_up(world, pieces[1])
    bench.measure(world, bench.crimp(world, pieces[1]))
    waiting = crimp_pieces(
        actor=world.bench,
        run=pieces[0].run,
        end=End.A,
        count=1,
        fitting_lot=world.fitting_lot,
        ferrule_lot=world.ferrule_lot,
        seen=bench.TICKED[At.CRIMP],
    )
    assert [(crimp.assembly, crimp.sampling) for crimp in waiting] == [(pieces[0], Sampling.ANEW)]


def test_nothing_more_is_said_of_a_crimp_that_was_cut_off(world: World) -> None:
    """Its assembly may have left long since with another fitting on."""
    pieces = cut_run(world)
    bench.measure(world, bench.crimp(world, pieces[0]))
    thrown_away = bench.crimp(world, pieces[1])
    last = bench.crimp(world, pieces[2])
    readings = bench.measure(world, last, TOO_SMALL)
    decide(actor=world.bench, assembly=pieces[1], kind=DecisionKind.TREAT_AS_FAILED, cause=Cause.DOUBT)
    refit(world, pieces[1])
    bench.tool_up(world, pieces[1])
    bench.measure(world, bench.crimp(world, pieces[1]))
    bench.finish_ends(world, pieces[1])
    bench.look_over(world, pieces[1], finished_length_mm=Decimal(7972))
    make_tag(actor=world.inspector, assembly=pieces[1])
    release(actor=world.inspector, assembly=pieces[1], scanned=pieces[1].code)
    good = correct_measurement(actor=world.inspector, measurement=readings, readings_mm=bench.mm(*bench.GOOD))
    correct_measurement(actor=world.inspector, measurement=good, readings_mm=bench.mm(*TOO_SMALL))
    assert [coverage.covered for coverage in thrown_away.coverages.all()] == [False]
    assert Assembly.objects.get(pk=pieces[1].pk).state == State.RELEASED


def test_what_was_refitted_before_it_was_inspected_says_nothing_of_the_cut(world: World) -> None:
    assembly = failed(world)
    refit(world, assembly)
    bench.tool_up(world, assembly)
    bench.measure(world, bench.crimp(world, assembly))
    bench.finish_ends(world, assembly)
    bench.look_over(world, assembly, finished_length_mm=Decimal(7972))
    other = bench.made(world)
    bench.look_over(world, other)
    assert [piece.serial for piece in lengths_of(world.hose, world.series).pieces] == [other.serial]


def cut_run(world: World) -> list[Assembly]:
    """Three long hoses, cut, every ninth of which is measured beside the first and the last."""
    bench.choose(world, measured_every=9)
    pieces = start_line(actor=world.counter, line=world.written_line(quantity=3, **LONG))
    for piece in pieces:
        bench.cut(world, piece)
    bench.tool_up(world, pieces[0])
    return pieces


def stages(assemblies: list[Assembly]) -> list[str]:
    fresh = (Assembly.objects.get(pk=assembly.pk) for assembly in assemblies)
    return [standing_of(assembly).end(End.A).stage.value for assembly in fresh]


def test_each_crimp_of_an_end_stays_on_record(world: World) -> None:
    assembly = failed(world)
    refit(world, assembly)
    bench.tool_up(world, assembly)
    bench.crimp(world, assembly)
    assert [crimp.attempt for crimp in Crimp.objects.filter(assembly=assembly)] == [1, 2]
    assert assembly.cut.length == Decimal(7950)
