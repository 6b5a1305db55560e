"""What the bench makes first: what is pulled, then what is due, with as few set-ups as can be."""

import datetime
from collections.abc import Iterable
from itertools import pairwise

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from shop.assemblies.models import Run
from shop.assemblies.planning import start_line
from shop.assemblies.pulling import pull_run, put_run_back
from shop.assemblies.refusals import NothingToPull
from shop.catalogue.services import save_chart_line
from shop.core.refusals import Refusal
from shop.orders.models import Order
from shop.orders.services import save_order
from shop.policy.services import today
from shop.web.bench.order import Job, in_turn, open_jobs
from tests import factories
from tests.assemblies import bench
from tests.world import World

DAY = datetime.date(2026, 3, 2)
SPAN = datetime.timedelta(days=3)


def job(run: int, press: str | None, due_in: int | None, pulled: int | None = None) -> Job:
    return Job(
        run,
        press,
        None if due_in is None else DAY + datetime.timedelta(days=due_in),
        None if pulled is None else datetime.datetime(2026, 3, 1, pulled, tzinfo=datetime.UTC),
    )


def changes(jobs: Iterable[Job]) -> int:
    """How often the set-up changes; what needs no press changes nothing."""
    presses = [one.press for one in jobs if one.press is not None]
    return sum(before != after for before, after in pairwise(presses))


def runs(jobs: Iterable[Job]) -> list[int]:
    return [one.run for one in jobs]


def test_equal_set_ups_follow_one_another_within_the_span() -> None:
    jobs = [job(1, "24", 0), job(2, "19", 1), job(3, "24", 3)]
    assert runs(in_turn(jobs, SPAN)) == [1, 3, 2]


def test_what_is_due_beyond_the_span_waits() -> None:
    jobs = [job(1, "24", 0), job(2, "19", 1), job(3, "24", 4)]
    assert runs(in_turn(jobs, SPAN)) == [1, 2, 3]


def test_the_next_span_begins_with_what_is_in_the_press() -> None:
    jobs = [job(1, "24", 0), job(2, "19", 1), job(3, "24", 4), job(4, "19", 5)]
    assert runs(in_turn(jobs, SPAN)) == [1, 2, 4, 3]


def test_what_has_no_due_day_comes_last() -> None:
    jobs = [job(1, "24", None), job(2, "19", 400), job(3, "24", 0)]
    assert runs(in_turn(jobs, SPAN)) == [3, 2, 1]


def test_what_is_pulled_comes_first_in_the_order_of_pulling() -> None:
    jobs = [job(1, "24", 0), job(2, "19", 30, pulled=9), job(3, "24", 90, pulled=8)]
    assert runs(in_turn(jobs, SPAN)) == [3, 2, 1]


def test_the_list_goes_on_with_the_set_up_of_what_was_pulled() -> None:
    jobs = [job(1, "24", 0), job(2, "19", 1), job(3, "19", 9, pulled=8)]
    assert runs(in_turn(jobs, SPAN)) == [3, 2, 1]


@st.composite
def open_work(draw: st.DrawFn) -> list[Job]:
    """Runs of few kinds of set-up, due within three weeks or whenever."""
    kinds = st.tuples(st.sampled_from(["24", "19", "34", None]), st.none() | st.integers(-5, 15))
    return [job(number, *kind) for number, kind in enumerate(draw(st.lists(kinds, max_size=14)))]


@given(open_work(), st.integers(0, 7))
def test_due_days_hold_and_set_ups_change_no_more_often_than_by_due_day_alone(
    jobs: list[Job], days: int
) -> None:
    span = datetime.timedelta(days=days)
    turn = in_turn(jobs, span)
    assert sorted(runs(turn)) == runs(jobs)
    plain = sorted(jobs, key=lambda one: (one.due_on or datetime.date.max, one.run))
    assert changes(turn) <= changes(plain)
    dues = [one.due_on or datetime.date.max for one in turn]
    for number, due in enumerate(dues):
        assert all(earlier <= due or earlier - due <= span for earlier in dues[:number])


def planned(world: World, due_in: int | None = None, **changed: object) -> Run:
    due_on = None if due_in is None else today() + datetime.timedelta(days=due_in)
    order = save_order(actor=world.counter, order=Order(customer=world.customer, due_on=due_on))
    return start_line(actor=world.counter, line=world.written_line(order=order, **changed))[0].run


def test_the_list_shows_what_has_to_be_in_the_press_above_each_group(client: Client, world: World) -> None:
    first, second = planned(world, 1), planned(world, 2)
    client.force_login(world.bench)
    page = client.get(reverse("web:bench")).content.decode()
    heading = f"Dies {world.die_type}, stop part {world.stop_type}"
    assert page.count(heading) == 1
    assert runs(open_jobs()) == [first.pk, second.pk]


def test_what_needs_no_press_stands_by_itself(client: Client, world: World) -> None:
    bench.made(world)
    client.force_login(world.bench)
    assert "Without a press" in client.get(reverse("web:bench")).content.decode()


def test_a_run_is_pulled_before_its_turn_and_the_list_says_by_whom(client: Client, world: World) -> None:
    first, later = planned(world, 0), planned(world, 20)
    client.force_login(world.bench)
    answer = client.post(reverse("web:bench_run_pull", args=[later.pk]), follow=True)
    page = answer.content.decode()
    assert f"Pulled by {world.bench}" in page
    assert runs(open_jobs()) == [later.pk, first.pk]
    client.post(reverse("web:bench_run_put_back", args=[later.pk]))
    assert runs(open_jobs()) == [first.pk, later.pk]


def test_pulling_twice_keeps_the_place_and_the_name(world: World) -> None:
    run, other = planned(world), planned(world)
    pull_run(actor=world.bench, run=run)
    pull_run(actor=world.bench, run=other)
    pull_run(actor=world.owner, run=run)
    run.refresh_from_db()
    assert run.pulled_by == world.bench
    assert runs(open_jobs()) == [run.pk, other.pk]


def test_it_refuses_to_pull_what_is_finished(client: Client, world: World) -> None:
    run = bench.released(world).run
    with pytest.raises(NothingToPull):
        pull_run(actor=world.bench, run=run)
    client.force_login(world.bench)
    answer = client.post(reverse("web:bench_run_pull", args=[run.pk]), follow=True)
    assert "Nothing of" in answer.content.decode()


def test_who_may_not_make_pulls_nothing(client: Client, world: World) -> None:
    run = planned(world)
    for act in (pull_run, put_run_back):
        with pytest.raises(Refusal):
            act(actor=world.auditor, run=run)
    client.force_login(world.auditor)
    assert "Do this next" not in client.get(reverse("web:bench")).content.decode()


def test_a_run_is_grouped_by_the_end_that_is_crimped_next(world: World) -> None:
    """End B is of another material, for which the chart wants other dies."""
    other = factories.DieTypeFactory(designation="die 26")
    stainless = factories.FittingFactory(
        series=world.series,
        designation="straight 4 S",
        material="stainless steel",
        connection=world.fitting.connection,
    )
    world.confirm(stainless)
    save_chart_line(actor=world.bench, line=world.chart_line(material="stainless steel", die_type=other))
    world.chart.refresh_from_db()
    world.chart_issue = world.issue("2")
    assembly = bench.plan(world, fitting_b=stainless)
    assert [one.press for one in open_jobs()] == [f"Dies {world.die_type}, stop part {world.stop_type}"]
    bench.cut(world, assembly)
    bench.tool_up(world, assembly)
    bench.measure(world, bench.crimp(world, assembly))
    assert [one.press for one in open_jobs()] == [f"Dies {other}, stop part {world.stop_type}"]
