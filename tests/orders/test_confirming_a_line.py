"""Confirming freezes a line; a newer chart makes it something else, to be confirmed again."""

from decimal import Decimal

import pytest

from shop.catalogue.services import save_chart_line, withdraw_issue
from shop.ledger.services import history
from shop.orders import refusals
from shop.orders.models import Customer, Order, OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, find_differences, open_order
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from tests import factories
from tests.world import World


def test_confirming_twice_changes_nothing(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    with pytest.raises(refusals.NothingChanged) as refused:
        confirm_line(actor=world.counter, line=line)
    assert refused.value.what == f"{line} is confirmed as it stands."
    assert line.resolutions.count() == 1


def test_after_a_new_issue_the_line_is_confirmed_again_on_it(world: World) -> None:
    line = world.written_line()
    first = confirm_line(actor=world.counter, line=line)
    typed = world.chart.lines.get()
    typed.insertion_depth, typed.crimp_again_allowed = Decimal(31), True
    save_chart_line(actor=world.bench, line=typed)
    world.chart.refresh_from_db()
    world.issue("2")
    told = [(d.what, d.before, d.now) for d in find_differences(line, resolve_line(line, today()))]
    assert told[:3] == [
        ("chart for end A", "RW-8 issue 1", "RW-8 issue 2"),
        ("end A: insertion depth", "none", "31 mm"),
        ("end A: crimping again is allowed", "no", "yes"),
    ]
    second = confirm_line(actor=world.counter, line=line)
    assert second.specification_a.chart_issue.issue == "2"
    first.refresh_from_db()
    assert first.specification_a.chart_issue.issue == "1"
    assert line.resolution == second
    assert find_differences(line, resolve_line(line, today())) == []


def test_a_new_issue_with_the_same_figures_is_still_another_chart(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    world.issue("2")
    told = [d.what for d in find_differences(line, resolve_line(line, today()))]
    assert told == ["chart for end A", "chart for end B"]


def test_a_withdrawn_chart_leaves_the_line_without_one(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="the maker recalled it")
    with pytest.raises(refusals.NoSpecification):
        confirm_line(actor=world.counter, line=line)
    assert find_differences(line, resolve_line(line, today())) == []


def test_a_quotation_differs_from_nothing(world: World) -> None:
    line = world.written_line()
    assert find_differences(line, resolve_line(line, today())) == []


def test_what_was_confirmed_stays_when_the_catalogue_is_corrected(world: World) -> None:
    line = world.written_line()
    resolution = confirm_line(actor=world.counter, line=line)
    world.hose.printed_value = "250"
    world.hose.save()
    resolution.refresh_from_db()
    assert resolution.rating_value == "275"


def test_the_bench_confirms_no_orders(world: World) -> None:
    line = world.written_line()
    with pytest.raises(NotAllowed):
        confirm_line(actor=world.bench, line=line)


def test_several_chart_lines_serve_and_the_one_with_tooling_is_taken(world: World) -> None:
    elsewhere = factories.DieTypeFactory()
    save_chart_line(
        actor=world.bench,
        line=world.chart_line(die_type=elsewhere, target=Decimal("24.1")),
    )
    world.chart.refresh_from_db()
    world.issue("2")
    taken = resolve_line(world.line(), today()).end_a.specification
    assert taken is not None
    assert taken.die_type == world.die_type
    own = factories.DieSetFactory(die_type=elsewhere)
    factories.ArrangementFactory(crimper=world.crimper, die_type=elsewhere, stop_type=world.stop_type)
    world.die_set.blocked_because = "a chipped die"
    world.die_set.save()
    instead = resolve_line(world.line(), today()).end_a.specification
    assert instead is not None
    assert instead.die_type == own.die_type


def test_what_a_chart_says_of_the_fittings_material_counts_even_without_its_tooling(world: World) -> None:
    elsewhere = factories.DieTypeFactory()
    save_chart_line(
        actor=world.bench,
        line=world.chart_line(die_type=elsewhere, target=Decimal("24.1"), material="steel"),
    )
    world.chart.refresh_from_db()
    world.issue("2")
    proposal = resolve_line(world.line(), today())
    assert proposal.end_a.specification is not None
    assert proposal.end_a.specification.die_type == elsewhere
    assert {type(note) for note in proposal.notes} == {refusals.ToolingNotOwned}


def test_a_new_customer_comes_with_the_order_or_neither_does(world: World) -> None:
    order = open_order(actor=world.counter, customer=Customer(number="9", name="Ebb Dredging"), order=Order())
    assert order.customer.name == "Ebb Dredging"
    assert order.number == world.order.number + 1
    assert history(order.customer).count() == 1
    with pytest.raises(NotAllowed):
        open_order(actor=world.bench, customer=Customer(number="10", name="Spring Tide"), order=Order())
    assert not Customer.objects.filter(number="10").exists()


def test_lines_of_an_order_are_counted_from_one(world: World) -> None:
    for _ in range(3):
        world.written_line()
    assert list(OrderLine.objects.values_list("position", flat=True)) == [1, 2, 3]
