"""From a line to planned assemblies, and replacements for scrapped ones."""

import pytest

from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind, State
from shop.assemblies.planning import leave_unreplaced, plan_replacement, start_line, to_be_replaced
from shop.assemblies.refusals import (
    AlreadyPlanned,
    AlreadyReplaced,
    NotScrapped,
    ReasonMissing,
    SettledAlready,
)
from shop.assemblies.release import retire
from shop.orders.services import confirm_line
from shop.people.refusals import NotAllowed
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


def test_the_assemblies_of_a_line_are_one_run_each_with_its_own_serial(world: World) -> None:
    line = world.written_line(quantity=3)
    assemblies = start_line(actor=world.counter, line=line)
    assert [assembly.serial for assembly in assemblies] == [1, 2, 3]
    assert {assembly.run.number for assembly in assemblies} == {1}
    assert {assembly.resolution for assembly in assemblies} == {line.resolution}
    assert len({assembly.code for assembly in assemblies}) == 3


def test_serials_go_on_from_line_to_line(world: World) -> None:
    bench.plan(world)
    assert bench.plan(world).serial == 2


def test_a_line_that_is_confirmed_already_is_planned_as_confirmed(world: World) -> None:
    line = world.written_line()
    resolution = confirm_line(actor=world.counter, line=line)
    [assembly] = start_line(actor=world.counter, line=line)
    assert assembly.resolution == resolution
    assert line.resolutions.count() == 1


def test_it_refuses_to_plan_a_line_twice(world: World) -> None:
    line = world.written_line()
    start_line(actor=world.counter, line=line)
    with pytest.raises(AlreadyPlanned):
        start_line(actor=world.counter, line=line)
    assert Assembly.objects.count() == 1


def test_it_refuses_the_bench_to_confirm_and_plan(world: World) -> None:
    with pytest.raises(NotAllowed):
        start_line(actor=world.bench, line=world.written_line())


def test_a_scrapped_assembly_is_replaced_once(world: World) -> None:
    assembly = bench.plan(world)
    bench.cut(world, assembly)
    with pytest.raises(NotScrapped):
        plan_replacement(actor=world.bench, assembly=assembly)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Cut crooked.")
    replacement = plan_replacement(actor=world.bench, assembly=assembly)
    assert replacement.replaces == assembly
    assert (replacement.state, replacement.serial, replacement.run.number) == (State.PLANNED, 2, 2)
    with pytest.raises(AlreadyReplaced) as refused:
        plan_replacement(actor=world.bench, assembly=assembly)
    assert refused.value.what == f"{assembly} is replaced by {replacement} already."


def test_what_was_taken_out_of_service_before_it_left_is_replaced_and_what_left_is_not(world: World) -> None:
    crushed, worn = bench.released(world), bench.shipped(world)
    for assembly in (crushed, worn):
        retire(actor=world.counter, assembly=assembly, reason="Crushed or worn.")
    assert list(to_be_replaced()) == [crushed]
    assert plan_replacement(actor=world.bench, assembly=crushed).replaces == crushed
    with pytest.raises(NotScrapped) as refused:
        plan_replacement(actor=world.bench, assembly=worn)
    assert refused.value.what == f"{worn} is retired, so nothing replaces it."


def test_the_counter_settles_a_scrapped_assembly_that_the_customer_does_without(world: World) -> None:
    assembly = bench.plan(world)
    with pytest.raises(NotScrapped):
        leave_unreplaced(actor=world.counter, assembly=assembly, reason="One less will do.")
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Cut crooked.")
    assert list(to_be_replaced()) == [assembly]
    with pytest.raises(ReasonMissing):
        leave_unreplaced(actor=world.counter, assembly=assembly, reason=" ")
    with pytest.raises(NotAllowed):
        leave_unreplaced(actor=world.bench, assembly=assembly, reason="One less will do.")
    decision = leave_unreplaced(actor=world.counter, assembly=assembly, reason="One less will do.")
    assert (decision.kind, decision.private("reason")) == (DecisionKind.NOT_REPLACED, "One less will do.")
    assert (assembly.state, list(to_be_replaced())) == (State.SCRAPPED, [])
    with pytest.raises(SettledAlready):
        leave_unreplaced(actor=world.counter, assembly=assembly, reason="One less will do.")
    replacement = plan_replacement(actor=world.bench, assembly=assembly)
    with pytest.raises(AlreadyReplaced):
        leave_unreplaced(actor=world.counter, assembly=assembly, reason="One less will do.")
    assert replacement.replaces == assembly


def test_a_replacement_goes_the_road_like_any_other(world: World) -> None:
    assembly = bench.plan(world)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Not wanted like this.")
    replacement = plan_replacement(actor=world.bench, assembly=assembly)
    bench.cut(world, replacement)
    assert bench.finish_ends(world, replacement).state == State.CRIMPED_B
