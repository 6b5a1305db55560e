"""Setting up: what is wrong is said before the press moves."""

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest

from shop.assemblies import refusals
from shop.assemblies.making import arrangement_points, check_tool
from shop.assemblies.models import Assembly, End, SetUp
from shop.catalogue.models import StopKind
from shop.core.refusals import Refusal
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.tooling.models import GaugeKind
from shop.tooling.services import save_arrangement, save_die_set, save_gauge
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def assembly(world: World) -> Assembly:
    assembly = bench.plan(world)
    bench.cut(world, assembly)
    return assembly


def test_the_set_up_names_each_tool_with_the_calibration_of_the_day(world: World, assembly: Assembly) -> None:
    done = bench.tool_up(world, assembly)
    assert (done.crimper, done.die_set, done.stop_part) == (world.crimper, world.die_set, world.stop_part)
    assert (done.arrangement, done.calibration) == (world.arrangement, world.caliper.calibration)
    assert done.seen == [
        "1. pusher, plain, chamfer to the ram",
        "2. stop ring, flat side up",
        "3. die set, numbers to the operator",
        "taken out: the spacer plate",
    ]


def wrong_die(world: World) -> object:
    return factories.DieSetFactory()


def blocked_die(world: World) -> object:
    die_set = factories.DieSetFactory(die_type=world.die_type, blocked_because="one die is chipped")
    return save_die_set(actor=world.bench, die_set=die_set)


def wrong_stop(world: World) -> object:
    return factories.StopPartFactory()


def crimper_without_arrangement(world: World) -> object:
    return factories.CrimperFactory()


def crimper_with_a_dial(world: World) -> object:
    return factories.CrimperFactory(stop_kind=StopKind.DIAL)


def overdue_caliper(world: World) -> object:
    gauge = factories.GaugeFactory()
    world.calibrate(
        gauge,
        done_on=today() - datetime.timedelta(days=400),
        due_on=today() - datetime.timedelta(days=1),
    )
    return gauge


def caliper_never_calibrated(world: World) -> object:
    return factories.GaugeFactory()


def caliper_found_unfit(world: World) -> object:
    gauge = factories.GaugeFactory()
    world.calibrate(gauge, passed=False)
    return gauge


def tape(world: World) -> object:
    return factories.GaugeFactory(kind=GaugeKind.TAPE)


def caliper_too_coarse(world: World) -> object:
    gauge = factories.GaugeFactory(resolution=Decimal("0.05"))
    world.calibrate(gauge)
    return gauge


def caliper_too_uncertain(world: World) -> object:
    gauge = factories.GaugeFactory()
    world.calibrate(gauge, expanded_uncertainty=Decimal("0.051"))
    return gauge


WRONG_TOOLS: list[tuple[str, Callable[[World], object], type[Refusal]]] = [
    ("die_set", wrong_die, refusals.WrongDie),
    ("die_set", blocked_die, refusals.ToolBlocked),
    ("stop_part", wrong_stop, refusals.WrongStopPart),
    ("crimper", crimper_without_arrangement, refusals.NoArrangement),
    ("crimper", crimper_with_a_dial, refusals.WrongCrimper),
    ("gauge", overdue_caliper, refusals.GaugeOutOfCalibration),
    ("gauge", caliper_never_calibrated, refusals.GaugeOutOfCalibration),
    ("gauge", caliper_found_unfit, refusals.GaugeOutOfCalibration),
    ("gauge", tape, refusals.NotACaliper),
    ("gauge", caliper_too_coarse, refusals.GaugeTooCoarse),
    ("gauge", caliper_too_uncertain, refusals.GaugeTooCoarse),
]


@pytest.mark.parametrize(("role", "make", "refusal"), WRONG_TOOLS)
def test_each_wrong_tool_is_refused_when_scanned_and_when_the_set_up_is_stated(
    world: World,
    assembly: Assembly,
    role: str,
    make: Callable[[World], object],
    refusal: type[Refusal],
) -> None:
    tool = make(world)
    with pytest.raises(refusal):
        check_tool(assembly=assembly, end=End.A, thing=tool)
    with pytest.raises(refusal):
        bench.tool_up(world, assembly, **{role: tool})
    assert not SetUp.objects.exists()


def test_a_wrong_die_is_named_with_the_one_that_is_wanted(world: World, assembly: Assembly) -> None:
    die_set = factories.DieSetFactory()
    with pytest.raises(refusals.WrongDie) as refused:
        check_tool(assembly=assembly, end=End.A, thing=die_set)
    assert str(refused.value) == (
        f"{die_set} is a die set of type {die_set.die_type}; the chart wants {world.die_type}. "
        f"Take a die set of type {world.die_type}."
    )


def test_a_gauge_out_of_calibration_is_said_with_its_day(world: World, assembly: Assembly) -> None:
    gauge = overdue_caliper(world)
    with pytest.raises(refusals.GaugeOutOfCalibration) as refused:
        check_tool(assembly=assembly, end=End.A, thing=gauge)
    yesterday = today() - datetime.timedelta(days=1)
    assert refused.value.what == f"{gauge} is not in calibration: it was due on {yesterday}."


def test_each_right_thing_is_told_the_role_that_it_fills(world: World, assembly: Assembly) -> None:
    things = {
        "crimper": world.crimper,
        "die set": world.die_set,
        "stop part": world.stop_part,
        "caliper": world.caliper,
        "piece": world.reel,
        "fittings": world.fitting_lot,
        "ferrules": world.ferrule_lot,
    }
    assert {
        role: check_tool(assembly=assembly, end=End.A, thing=thing) for role, thing in things.items()
    } == {role: role for role in things}


def test_what_has_no_part_in_it_is_refused_by_what_it_is(world: World, assembly: Assembly) -> None:
    for thing in (world.counter, world.reel.lot):
        with pytest.raises(refusals.NotForThisJob):
            check_tool(assembly=assembly, end=End.A, thing=thing)


def test_wrong_bins_are_refused_when_scanned(world: World, assembly: Assembly) -> None:
    other = receive_lot(actor=world.bench, lot=Lot(ferrule=world.other_ferrule, quantity=10))
    with pytest.raises(refusals.FerruleForAnotherHose):
        check_tool(assembly=assembly, end=End.A, thing=other)
    with pytest.raises(refusals.WrongFitting):
        check_tool(assembly=assembly, end=End.A, thing=world.elbow_lot)


def test_it_refuses_a_set_up_with_a_part_of_the_arrangement_unseen(world: World, assembly: Assembly) -> None:
    points = arrangement_points(world.arrangement)
    with pytest.raises(refusals.ArrangementNotComplete) as refused:
        bench.tool_up(world, assembly, seen=points[:-1])
    assert refused.value.what == "Not ticked yet: taken out: the spacer plate."


def test_it_refuses_a_stop_part_left_out_and_a_value_beside_it(world: World, assembly: Assembly) -> None:
    with pytest.raises(refusals.StopPartMissing):
        bench.tool_up(world, assembly, stop_part=None)
    with pytest.raises(refusals.StopSettingNotWanted):
        bench.tool_up(world, assembly, stop_setting="12.5")


def test_a_crimper_with_a_dial_is_set_to_a_value_and_gets_no_stop_part(world: World) -> None:
    bench.reissue(world, "2", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="140")
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL)
    arrangement = factories.ArrangementFactory.build(crimper=dial, die_type=world.die_type, stop_type=None)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    assembly = bench.plan(world)
    bench.cut(world, assembly)
    state = {"crimper": dial, "seen": []}
    with pytest.raises(refusals.StopPartNotWanted):
        bench.tool_up(world, assembly, **state)
    with pytest.raises(refusals.StopPartNotWanted):
        check_tool(assembly=assembly, end=End.A, thing=world.stop_part)
    with pytest.raises(refusals.StopSettingMissing) as refused:
        bench.tool_up(world, assembly, stop_part=None, **state)
    assert refused.value.what == "The crimper's value was not typed; the chart starts at 140."
    done = bench.tool_up(world, assembly, stop_part=None, stop_setting=" 138 ", **state)
    assert (done.stop_part, done.stop_setting) == (None, "138")


def test_end_b_is_not_set_up_before_end_a_is_right(world: World, assembly: Assembly) -> None:
    with pytest.raises(refusals.NotTheNextStep):
        bench.tool_up(world, assembly, End.B)


def test_a_set_up_may_be_stated_again_until_the_press_has_moved(world: World, assembly: Assembly) -> None:
    first = bench.tool_up(world, assembly)
    second = bench.tool_up(world, assembly)
    crimp = bench.crimp(world, assembly)
    assert crimp.set_up == second != first
    with pytest.raises(refusals.NotTheNextStep):
        bench.tool_up(world, assembly)


def test_under_a_guarded_rule_a_gauge_is_taken_that_leaves_something_to_accept(
    world: World, assembly: Assembly
) -> None:
    bench.choose(world, decision_rule="guarded_u")
    gauge = caliper_too_uncertain(world)
    assert check_tool(assembly=assembly, end=End.A, thing=gauge) == "caliper"


def test_a_gauge_that_was_blocked_is_refused(world: World, assembly: Assembly) -> None:
    world.caliper.blocked_because = "dropped"
    save_gauge(actor=world.bench, gauge=world.caliper)
    with pytest.raises(refusals.ToolBlocked):
        bench.tool_up(world, assembly)
