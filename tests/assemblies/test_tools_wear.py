"""Tools are looked at after so many crimps, and blocked when they are found damaged (rule 4)."""

import pytest

from shop.assemblies.making import check_tool
from shop.assemblies.models import End
from shop.assemblies.refusals import ToolBlocked, ToolCheckDue
from shop.assemblies.wear import due_for_a_check, record_tool_check, wear_of, with_wear
from shop.people.models import User
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.tooling.models import DieSet, WornTool
from shop.tooling.refusals import BlockedAlready
from shop.tooling.services import report_damage, save_crimper, save_die_set, save_stop_part
from shop.trace.made_with import made_with, span_before
from tests.assemblies import bench
from tests.world import World

TOOLS = ("crimper", "die_set", "stop_part")


def check_every(world: World, name: str, uses: int) -> WornTool:
    tool: WornTool = getattr(world, name)
    tool.check_every_uses = uses
    save = {"crimper": save_crimper, "die_set": save_die_set, "stop_part": save_stop_part}[name]
    save(actor=world.bench, **{name: tool})
    return tool


def look(world: World, tool: WornTool, passed: bool = True) -> None:
    record_tool_check(actor=world.bench, tool=tool, passed=passed, condition="clean")
    tool.refresh_from_db()


@pytest.mark.parametrize("name", TOOLS)
def test_each_crimp_is_a_use_of_all_that_was_in_the_press(world: World, name: str) -> None:
    tool = getattr(world, name)
    assert (wear_of(tool).uses, wear_of(tool).since) == (0, None)
    bench.made(world)
    wear = wear_of(tool)
    assert wear.uses == 2
    assert wear.since is not None


@pytest.mark.parametrize("name", TOOLS)
def test_a_tool_that_is_due_is_refused_at_the_set_up(world: World, name: str) -> None:
    tool = check_every(world, name, 2)
    bench.made(world)
    assembly = bench.plan_and_cut(world)
    with pytest.raises(ToolCheckDue):
        check_tool(assembly=assembly, end=End.A, thing=tool)
    with pytest.raises(ToolCheckDue) as refused:
        bench.tool_up(world, assembly)
    assert refused.value.facts == {"tool": tool, "uses": 2, "every": 2}
    look(world, tool)
    assert bench.tool_up(world, assembly)


def test_one_crimp_before_it_is_due_it_may_still_be_used(world: World) -> None:
    check_every(world, "die_set", 3)
    bench.made(world)
    assert wear_of(world.die_set).left == 1
    assert bench.tool_up(world, bench.plan_and_cut(world))


def test_a_set_up_that_stands_is_not_stopped_in_the_middle_of_a_run(world: World) -> None:
    check_every(world, "die_set", 1)
    bench.tool_up(world, first := bench.plan_and_cut(world, quantity=1))
    bench.measure(world, bench.crimp(world, first))
    assert wear_of(world.die_set).is_due


def test_only_a_check_that_found_it_fit_starts_the_count_anew(world: World) -> None:
    tool = check_every(world, "die_set", 2)
    bench.made(world)
    look(world, tool, passed=False)
    assert wear_of(tool).since_check == 2
    look(world, tool)
    assert (wear_of(tool).since_check, wear_of(tool).uses) == (0, 2)


def test_what_is_due_is_found_in_the_list_as_it_is_at_the_press(world: World) -> None:
    tool = check_every(world, "die_set", 2)
    rows = with_wear(DieSet.objects.all())
    assert not due_for_a_check(rows)
    bench.made(world)
    assert list(due_for_a_check(rows)) == [tool]
    assert (rows.get().uses, rows.get().since_check) == (2, 2)
    look(world, tool)
    assert (rows.get().uses, rows.get().since_check) == (2, 0)


def test_what_is_not_fit_is_blocked_by_that_with_the_day(world: World) -> None:
    look(world, world.die_set, passed=False)
    assert world.die_set.blocked_because == f"not fit for use when it was looked at on {today()}"
    with pytest.raises(ToolBlocked):
        bench.tool_up(world, bench.plan_and_cut(world))


def test_a_check_does_not_give_back_what_somebody_else_has_blocked(world: World) -> None:
    report_damage(actor=world.bench, tool=world.die_set, what="die 3 chipped")
    look(world, world.die_set)
    assert world.die_set.blocked_because == "die 3 chipped"


def test_what_was_seen_stands_beside_the_chain(world: World) -> None:
    check = record_tool_check(actor=world.bench, tool=world.crimper, passed=True, condition="as Bo left it")
    assert check.private("condition") == "as Bo left it"
    assert "as Bo left it" not in check.entry.facts
    assert str(check) == f"{world.crimper} looked at: fit for use"


@pytest.mark.parametrize("name", TOOLS)
def test_a_damaged_tool_stops_a_set_up_that_stands(world: World, name: str) -> None:
    assembly = bench.ready_to_crimp(world)
    report_damage(actor=world.bench, tool=getattr(world, name), what="cracked")
    with pytest.raises(ToolBlocked):
        bench.crimp(world, assembly)


def test_a_tool_is_reported_damaged_once(world: World) -> None:
    report_damage(actor=world.bench, tool=world.die_set, what="die 3 chipped")
    with pytest.raises(BlockedAlready):
        report_damage(actor=world.bench, tool=world.die_set, what="die 4 as well")


def test_the_counter_judges_no_tools(world: World, counter: User) -> None:
    with pytest.raises(NotAllowed):
        report_damage(actor=counter, tool=world.die_set, what="looks worn")
    with pytest.raises(NotAllowed):
        record_tool_check(actor=counter, tool=world.die_set, passed=True, condition="clean")


@pytest.mark.parametrize("name", TOOLS)
def test_what_a_tool_made_since_it_was_last_fit_is_in_question(world: World, name: str) -> None:
    tool = getattr(world, name)
    before = bench.made(world)
    span = span_before(None, tool)
    assert (list(made_with(tool, span)), span.since) == ([before], None)
    look(world, tool)
    after = bench.made(world)
    report_damage(actor=world.bench, tool=tool, what="cracked")
    assert list(made_with(tool, span_before(None, tool))) == [after]


def test_the_question_of_a_failed_check_stays_when_the_tool_is_fit_again(world: World) -> None:
    tool = world.die_set
    look(world, tool)
    between = bench.made(world)
    bad = record_tool_check(actor=world.bench, tool=tool, passed=False, condition="worn")
    tool.blocked_because = ""
    save_die_set(actor=world.bench, die_set=tool)
    look(world, tool)
    bench.made(world)
    assert list(made_with(tool, span_before(bad, tool))) == [between]


def test_an_assembly_with_both_ends_on_it_is_named_once(world: World) -> None:
    bench.made(world)
    assert made_with(world.die_set, span_before(None, world.die_set)).count() == 1
