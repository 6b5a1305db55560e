"""One assembly from the confirmed line to the customer, and what the ledger tells of it."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from pytest_django import DjangoAssertNumQueries

from shop.assemblies.consistency import standings_that_disagree
from shop.assemblies.models import Assembly, End, Run, State, Trouble
from shop.assemblies.release import make_tag, release, retire, ship
from shop.assemblies.standing import left_as_said
from shop.assemblies.steps import Step, next_step, pieces_of
from shop.ledger.checking import check_ledger
from shop.ledger.services import history
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


def test_an_assembly_goes_its_road_step_by_step_to_the_customer_and_out_of_service(world: World) -> None:
    assembly = bench.plan(world)
    road: list[tuple[Step, str]] = []

    def pause() -> None:
        assembly.refresh_from_db()
        road.append((next_step(assembly).step, assembly.state))

    pause()
    bench.cut(world, assembly)
    for end in End:
        pause()
        bench.tool_up(world, assembly, end)
        pause()
        crimp = bench.crimp(world, assembly, end)
        pause()
        bench.measure(world, crimp)
    pause()
    bench.look_over(world, assembly)
    pause()
    tag = make_tag(actor=world.inspector, assembly=assembly)
    pause()
    release(actor=world.inspector, assembly=assembly, scanned=tag.address)
    pause()
    ship(actor=world.counter, assembly=assembly)
    pause()
    retire(actor=world.counter, assembly=assembly, reason="The boom was scrapped.")
    pause()
    assert road == [
        (Step.CUT, State.PLANNED),
        (Step.SET_UP, State.CUT),
        (Step.CRIMP, State.CUT),
        (Step.MEASURE, State.CUT),
        (Step.SET_UP, State.CRIMPED_A),
        (Step.CRIMP, State.CRIMPED_A),
        (Step.MEASURE, State.CRIMPED_A),
        (Step.INSPECT, State.CRIMPED_B),
        (Step.TAG, State.INSPECTED),
        (Step.RELEASE, State.TAGGED),
        (Step.SHIP, State.RELEASED),
        (Step.RETIRE, State.SHIPPED),
        (Step.NONE, State.RETIRED),
    ]
    assert Assembly.objects.get().trouble == Trouble.NONE


def test_a_list_of_next_steps_takes_as_many_queries_for_many_as_for_few(
    world: World, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    def steps() -> list[Step]:
        return [next_step(assembly).step for assembly in pieces_of(list(Run.objects.all()))]

    bench.tagged(world)
    with CaptureQueriesContext(connection) as few:
        steps()
    for readings in (bench.GOOD, ["24.5"] * 4):
        bench.crimped(world, readings)
    bench.ready_to_crimp(world)
    bench.plan(world)
    with django_assert_num_queries(len(few)):
        assert steps() == [Step.RELEASE, Step.SET_UP, Step.DECIDE, Step.CRIMP, Step.CUT]


def test_the_ledger_tells_each_step_and_who_did_it(world: World) -> None:
    assembly = bench.shipped(world)
    told = [(entry.verb.removeprefix("assemblies."), entry.actor_number) for entry in history(assembly)]
    at_the_bench, by_the_inspector = world.bench.number, world.inspector.number
    each_end = [("set_up", at_the_bench), ("crimped", at_the_bench), ("measured", at_the_bench)]
    assert told == [
        ("planned", world.counter.number),
        ("cut", at_the_bench),
        *each_end,
        *each_end,
        ("inspected", by_the_inspector),
        ("tagged", by_the_inspector),
        ("released", by_the_inspector),
        ("shipped", world.counter.number),
    ]


def test_the_records_come_to_the_state_that_the_row_has(world: World) -> None:
    bench.shipped(world)
    bench.crimped(world, ["24.5"] * 4)
    assert list(standings_that_disagree()) == []


def test_of_one_that_left_the_bench_the_farthest_record_counts(world: World) -> None:
    bench.plan(world)
    gone = bench.released(world)
    assert list(Assembly.objects.filter(left_as_said())) == [gone]
    ship(actor=world.counter, assembly=gone)
    assert list(Assembly.objects.filter(left_as_said())) == [gone]
    retire(actor=world.counter, assembly=gone, reason="The boom was scrapped.")
    assert list(Assembly.objects.filter(left_as_said())) == [gone]
    assert list(standings_that_disagree()) == []


@pytest.mark.parametrize("state", [state for state in State if state != State.SHIPPED])
def test_a_state_changed_after_it_was_shipped_is_found(world: World, state: State) -> None:
    assembly = bench.shipped(world)
    Assembly.objects.filter(pk=assembly.pk).update(state=state)
    assert list(standings_that_disagree()) == [
        f"{assembly} is said to be {state.value!r}; by its records it is 'shipped'."
    ]


def test_an_open_question_written_behind_the_records_back_is_found(world: World) -> None:
    assembly = bench.shipped(world)
    retire(actor=world.counter, assembly=assembly, reason="The boom was scrapped.")
    Assembly.objects.filter(pk=assembly.pk).update(trouble=Trouble.HELD)
    assert list(standings_that_disagree()) == [
        f"{assembly} is said to have the open question 'held'; by its records it is ''."
    ]


def test_a_serial_changed_behind_the_ledgers_back_is_found(world: World) -> None:
    bench.plan(world)
    assembly = bench.plan(world)
    assert check_ledger().is_right
    Assembly.objects.filter(pk=assembly.pk).update(serial=99)
    assert str(check_ledger().faults[0]) == (
        f"serial of assemblies.assembly:{assembly.pk} is 99, the ledger says {assembly.serial}."
    )


def test_a_state_changed_behind_the_records_back_is_found(world: World) -> None:
    assembly, _ = bench.crimped(world, ["24.5"] * 4)
    Assembly.objects.filter(pk=assembly.pk).update(state=State.INSPECTED, trouble=Trouble.NONE)
    assert list(standings_that_disagree()) == [
        f"{assembly} is said to be 'inspected'; by its records it is 'cut'.",
        f"{assembly} is said to have the open question ''; by its records it is 'failed'.",
    ]
