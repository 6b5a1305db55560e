"""What becomes known after a line was confirmed stops its assemblies at the next gate of their road."""

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Assembly, End, State
from shop.assemblies.planning import resolve_again
from shop.assemblies.release import make_tag, release, retire, ship
from shop.catalogue.models import CrimpChart
from shop.catalogue.services import (
    check_chart,
    issue_chart,
    save_chart,
    save_chart_line,
    save_fitting,
    save_hose,
    withdraw_issue,
)
from shop.policy.services import today
from tests import factories
from tests.assemblies import bench
from tests.world import World


def lose_the_fluid(world: World) -> str:
    save_hose(actor=world.counter, hose=world.hose, fluids=[])
    return f"{world.hose} is not approved for {world.fluid}."


def stand_less_heat(world: World) -> str:
    world.hose.temperature_max_c = 70
    save_hose(actor=world.counter, hose=world.hose)
    return f"{world.hose} is for use up to 70 °C; the fluid is at 80 °C."


def bear_less_than_is_asked(world: World) -> str:
    world.hose.printed_value = "240"
    save_hose(actor=world.counter, hose=world.hose)
    world.confirm(world.hose)
    return f"250 bar with surges is above the rating of 240 bar (3480 psi): the hose ({world.hose}) governs."


@pytest.mark.parametrize("change", [lose_the_fluid, stand_less_heat, bear_less_than_is_asked])
def test_parts_that_would_be_refused_today_are_neither_cut_crimped_tagged_released_nor_handed_over(
    world: World, change: Callable[[World], str]
) -> None:
    planned, ready = bench.plan(world), bench.ready_to_crimp(world)
    inspected, tagged, released = bench.made(world), bench.tagged(world), bench.released(world)
    bench.look_over(world, inspected)
    why = change(world)
    acts: list[tuple[Assembly, Callable[[], object]]] = [
        (planned, lambda: bench.cut(world, planned)),
        (ready, lambda: bench.tool_up(world, ready)),
        (ready, lambda: bench.crimp(world, ready)),
        (inspected, lambda: make_tag(actor=world.inspector, assembly=inspected)),
        (tagged, lambda: release(actor=world.inspector, assembly=tagged, scanned=tagged.code)),
    ]
    for assembly, act in acts:
        with pytest.raises(refusals.NoLongerRight) as refused:
            act()
        assert refused.value.what == f"{assembly} was confirmed, but today it would be refused. {why}"
    with pytest.raises(refusals.NoLongerFit) as kept:
        ship(actor=world.counter, assembly=released)
    assert why in kept.value.what
    assert retire(actor=world.counter, assembly=released, reason="Not for this oil.").assembly == released


def test_a_cut_off_corrected_before_the_cut_has_the_line_confirmed_again(world: World) -> None:
    assembly = bench.plan(world)
    world.fitting.cut_off = Decimal(27)
    save_fitting(actor=world.counter, fitting=world.fitting)
    with pytest.raises(refusals.ConfirmedToAnotherLength) as refused:
        bench.cut(world, assembly)
    assert refused.value.what == (
        f"{assembly} was confirmed to be cut to 880 mm; as its ends are now it would be 876 mm."
    )
    resolve_again(actor=world.counter, line=assembly.run.line)
    assert bench.cut(world, assembly).length == Decimal(876)


def test_a_narrower_range_of_temperatures_gets_a_new_tag_before_release(world: World) -> None:
    assembly = bench.tagged(world)
    world.hose.temperature_max_c = 90
    save_hose(actor=world.counter, hose=world.hose)
    with pytest.raises(refusals.TemperaturesNarrower) as refused:
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert refused.value.what == (
        f"{assembly} was confirmed for -40 to 100 °C; its parts are for -40 to 90 °C today."
    )
    resolve_again(actor=world.counter, line=assembly.run.line)
    with pytest.raises(refusals.TagSaysOtherwise):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert make_tag(actor=world.inspector, assembly=assembly).temperature_words == "-40 to 90 °C"
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert assembly.state == State.RELEASED


def test_a_chart_withdrawn_after_crimping_keeps_the_assembly_here(world: World) -> None:
    tagged, released = bench.tagged(world), bench.released(world)
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="Two ends blew off.")
    with pytest.raises(refusals.ChartMovedOn):
        make_tag(actor=world.inspector, assembly=tagged)
    with pytest.raises(refusals.ChartMovedOn):
        release(actor=world.inspector, assembly=tagged, scanned=tagged.code)
    with pytest.raises(refusals.NoLongerFit) as kept:
        ship(actor=world.counter, assembly=released)
    assert "RW-8 issue 1 was withdrawn." in kept.value.what


def test_a_crimp_that_the_newer_issue_would_not_pass_is_scrapped(world: World) -> None:
    assembly = bench.tagged(world)
    bench.reissue(world, "2", target=Decimal("23.8"), lower=Decimal("23.6"), upper=Decimal("24.0"))
    resolve_again(actor=world.counter, line=assembly.run.line)
    with pytest.raises(refusals.CrimpedToAnotherChart) as refused:
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert refused.value.what == (
        "End A was crimped to RW-8 issue 1. By RW-8 issue 2, which the line is confirmed on now, it is not "
        "right: The mean diameter is 24.2 mm, above the upper limit of 24 mm."
    )


def test_a_crimp_on_another_ferrule_than_the_newer_issue_wants_is_scrapped(world: World) -> None:
    assembly = bench.tagged(world)
    bench.reissue(world, "2", ferrule=world.other_ferrule)
    resolve_again(actor=world.counter, line=assembly.run.line)
    with pytest.raises(refusals.CrimpedToAnotherChart) as refused:
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert refused.value.what.endswith(f"ferrule: {world.ferrule} → {world.other_ferrule}")


def test_a_crimp_that_the_newer_issue_passes_too_goes_on(world: World) -> None:
    assembly = bench.tagged(world)
    bench.reissue(world, "2", lower=Decimal("24.1"), readings=6, crimp_again_allowed=True)
    with pytest.raises(refusals.ChartMovedOn):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    resolve_again(actor=world.counter, line=assembly.run.line)
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert assembly.state == State.RELEASED


def test_a_chart_for_the_fittings_own_material_that_came_since_stops_the_line(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    chart = CrimpChart(number="RW-8 S", origin="Row crimp charts, sheet 8 for steel, 2026-03")
    save_chart(actor=world.bench, chart=chart)
    save_chart_line(
        actor=world.bench,
        line=world.chart_line(
            chart=chart,
            material="steel",
            target=Decimal("24.0"),
            lower=Decimal("23.8"),
            upper=Decimal("24.2"),
        ),
    )
    check_chart(actor=world.inspector, chart=chart)
    issue_chart(actor=world.inspector, chart=chart, issue="A", effective_from=today())
    with pytest.raises(refusals.ChartMovedOn) as refused:
        bench.crimp(world, assembly)
    assert refused.value.what.startswith(
        "End A was confirmed on RW-8 issue 1. It is in force, but its line is no longer the one for "
        f"{world.fitting}. Now RW-8 S issue A prescribes. Before → now: fitting material: none → steel;"
    )
    resolve_again(actor=world.counter, line=assembly.run.line)
    bench.tool_up(world, assembly)
    assert bench.crimp(world, assembly).specification.chart_issue.chart == chart


def test_a_caliper_that_ran_out_between_crimping_and_measuring_judges_nothing(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    crimp = bench.crimp(world, assembly)
    world.calibrate(world.caliper, done_on=today(), due_on=today() + datetime.timedelta(days=1), passed=False)
    with pytest.raises(refusals.GaugeOutOfCalibration) as refused:
        bench.measure(world, crimp)
    assert refused.value.what == f"{world.caliper} is not in calibration: it was found unfit for use."
    other = factories.GaugeFactory()
    world.calibrate(other, expanded_uncertainty=Decimal("0.02"))
    assert bench.measure(world, crimp, gauge=other).outcome == "pass"


def test_a_policy_that_came_since_counts_for_the_readings_that_come_now(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    crimp = bench.crimp(world, assembly)
    newer = bench.choose(world, decision_rule="guarded_u")
    held = bench.measure(world, crimp, ["24.38"] * 4)
    assert (held.policy, held.outcome) == (newer, "held")
    assembly.refresh_from_db()
    assert assembly.specification(End.A) == crimp.specification
