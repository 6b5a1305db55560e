"""The press moves only for the right parts, on a set-up that is still right, by a chart in force."""

import datetime
from decimal import Decimal

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Crimp, End, State
from shop.assemblies.planning import resolve_again
from shop.catalogue.services import save_chart_line, save_fitting, withdraw_issue
from shop.orders.refusals import NoSpecification, NothingChanged
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.tooling.services import save_die_set
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


def test_a_crimp_names_its_set_up_chart_line_and_lots(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    crimp = bench.crimp(world, assembly)
    assert crimp.specification == world.chart_issue.specifications.get()
    assert (crimp.fitting_lot, crimp.ferrule_lot) == (world.fitting_lot, world.ferrule_lot)
    assert (crimp.set_up, crimp.attempt) == (assembly.run.set_ups.get(), 1)
    assert assembly.state == State.CUT, "it is crimped once the readings say so"


def test_it_refuses_a_ferrule_for_another_hose_of_the_same_series(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    lot = receive_lot(actor=world.bench, lot=Lot(ferrule=world.other_ferrule, batch="H-2", quantity=10))
    with pytest.raises(refusals.FerruleForAnotherHose) as refused:
        bench.crimp(world, assembly, ferrule_lot=lot)
    assert str(refused.value) == (
        f"{lot} holds {world.other_ferrule}: a ferrule of the same series, but not the one for {world.hose}. "
        f"It would grip badly and the end could blow off. Take {world.ferrule}."
    )
    assert not Crimp.objects.exists()


def test_it_refuses_a_ferrule_of_another_series_and_a_bin_of_something_else(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    lot = receive_lot(actor=world.bench, lot=Lot(ferrule=factories.FerruleFactory(), quantity=10))
    for wrong in (lot, world.fitting_lot):
        with pytest.raises(refusals.WrongFerrule):
            bench.crimp(world, assembly, ferrule_lot=wrong)


def test_it_refuses_a_crimp_without_its_ferrule(world: World) -> None:
    with pytest.raises(refusals.FerruleMissing):
        bench.crimp(world, bench.ready_to_crimp(world), ferrule_lot=None)


def test_it_refuses_the_fitting_of_the_other_end(world: World) -> None:
    assembly = bench.ready_to_crimp(world, fitting_b=world.elbow)
    with pytest.raises(refusals.WrongFitting) as refused:
        bench.crimp(world, assembly, fitting_lot=world.elbow_lot)
    assert refused.value.what == f"{world.elbow_lot} holds {world.elbow}; end A gets {world.fitting}."


def test_a_one_piece_fitting_is_crimped_without_a_loose_ferrule(world: World) -> None:
    whole = factories.FittingFactory(
        series=world.series, connection=world.fitting.connection, is_one_piece=True
    )
    world.confirm(whole)
    save_chart_line(actor=world.bench, line=world.chart_line(ferrule=None))
    world.chart.refresh_from_db()
    world.issue("2")
    assembly = bench.ready_to_crimp(world, fitting_a=whole)
    lot = receive_lot(actor=world.bench, lot=Lot(fitting=whole, quantity=10))
    with pytest.raises(refusals.FerruleNotWanted):
        bench.crimp(world, assembly, fitting_lot=lot)
    assert bench.crimp(world, assembly, fitting_lot=lot, ferrule_lot=None).ferrule_lot is None


def test_it_refuses_a_crimp_without_a_set_up(world: World) -> None:
    assembly = bench.plan(world)
    bench.cut(world, assembly)
    with pytest.raises(refusals.NotTheNextStep) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what_to_do == "Its next step: Set the crimper up for end A."


def test_it_refuses_a_die_set_that_was_blocked_since_the_set_up(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    world.die_set.blocked_because = "a die cracked"
    save_die_set(actor=world.bench, die_set=world.die_set)
    with pytest.raises(refusals.ToolBlocked) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what == f"{world.die_set} is not to be used: a die cracked."


def test_it_refuses_a_caliper_that_was_found_unfit_since_the_set_up(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    world.calibrate(world.caliper, done_on=today(), passed=False)
    with pytest.raises(refusals.GaugeOutOfCalibration):
        bench.crimp(world, assembly)


def test_it_refuses_to_crimp_an_end_twice(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    bench.crimp(world, assembly)
    with pytest.raises(refusals.NotTheNextStep) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what_to_do == "Its next step: Measure the crimp at end A."


def test_a_chart_superseded_after_confirming_stops_the_line_and_shows_the_difference(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    bench.reissue(world, "2", target=Decimal("23.8"), lower=Decimal("23.6"), upper=Decimal("24.0"))
    with pytest.raises(refusals.ChartMovedOn) as refused:
        bench.crimp(world, assembly)
    assert str(refused.value) == (
        f"End A was confirmed on RW-8 issue 1. RW-8 issue 2 has taken its place, in force from {today()}. "
        "Before → now: crimp diameter: 24.2 mm → 23.8 mm; lower limit: 24 mm → 23.6 mm; "
        "upper limit: 24.4 mm → 24 mm. "
        "Have the line confirmed again before you go on."
    )
    assert not Crimp.objects.exists()


def test_resolved_again_the_run_is_set_up_and_crimped_to_the_new_issue(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    bench.reissue(world, "2", target=Decimal("23.8"), lower=Decimal("23.6"), upper=Decimal("24.0"))
    resolution = resolve_again(actor=world.counter, line=assembly.run.line)
    assembly.refresh_from_db()
    assert assembly.resolution == resolution
    with pytest.raises(refusals.NotTheNextStep):
        bench.crimp(world, assembly)
    bench.tool_up(world, assembly)
    crimp = bench.crimp(world, assembly)
    assert crimp.specification == world.chart_issue.specifications.get()
    assert bench.measure(world, crimp).outcome == "fail", "24.2 was right by the old issue only"


def test_an_end_that_was_crimped_before_stays_as_it_was_judged(world: World) -> None:
    assembly, crimp = bench.crimped(world)
    bench.reissue(world, "2", target=Decimal("23.8"), lower=Decimal("23.6"), upper=Decimal("24.0"))
    with pytest.raises(refusals.ChartMovedOn):
        bench.tool_up(world, assembly, End.B)
    resolve_again(actor=world.counter, line=assembly.run.line)
    bench.tool_up(world, assembly, End.B)
    at_b = bench.crimp(world, assembly, End.B)
    bench.measure(world, at_b, ["23.8"] * 4)
    assembly.refresh_from_db()
    assert assembly.state == State.CRIMPED_B
    assert crimp.specification.chart_issue.issue == "1"
    assert at_b.specification.chart_issue.issue == "2"


def test_a_newer_issue_with_the_same_figures_stops_the_line_too(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    bench.reissue(world, "2")
    with pytest.raises(refusals.ChartMovedOn) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what.endswith("Its figures are the same.")


def test_a_withdrawn_chart_stops_the_line_and_it_cannot_be_resolved_again(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="Two ends blew off.")
    with pytest.raises(refusals.ChartMovedOn) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what == (
        "End A was confirmed on RW-8 issue 1. RW-8 issue 1 was withdrawn. "
        "No chart in force names these parts together any more."
    )
    with pytest.raises(NoSpecification):
        resolve_again(actor=world.counter, line=assembly.run.line)


def test_an_issue_that_begins_later_does_not_stop_today_s_work(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    line = world.chart.lines.get()
    line.upper = Decimal("24.5")
    save_chart_line(actor=world.bench, line=line)
    world.chart.refresh_from_db()
    world.issue("2", today() + datetime.timedelta(days=1))
    assert bench.crimp(world, assembly).attempt == 1


def test_it_refuses_to_resolve_again_what_has_not_changed(world: World) -> None:
    assembly = bench.plan(world)
    with pytest.raises(NothingChanged):
        resolve_again(actor=world.counter, line=assembly.run.line)


def test_a_hose_cut_to_another_length_than_the_line_needs_now_is_not_crimped(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    world.fitting.cut_off = Decimal(27)
    save_fitting(actor=world.counter, fitting=world.fitting)
    resolve_again(actor=world.counter, line=assembly.run.line)
    with pytest.raises(refusals.CutToAnotherLength) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what == (f"{assembly} was cut to 880 mm; the line as confirmed now needs 876 mm.")
