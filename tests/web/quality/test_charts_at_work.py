"""A new issue beside the one before, with the orders and hoses that each changed line touches."""

from decimal import Decimal

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.assemblies.making import decide
from shop.assemblies.models import DecisionKind
from shop.assemblies.planning import resolve_again
from shop.catalogue.services import save_chart_line
from shop.orders.services import confirm_line
from shop.trace.prescribed import Touched, made_to, open_lines_on, touched_by
from tests import factories
from tests.assemblies import bench
from tests.world import World


@pytest.fixture(autouse=True)
def signed_in(client: Client, world: World) -> None:
    client.force_login(world.inspector)


def touched(world: World) -> Touched:
    specification = world.chart_issue.specifications.get()
    return touched_by([specification])[specification.pk]


def change_the_line(world: World) -> None:
    line = world.chart.lines.get()
    line.target = Decimal("24.1")
    save_chart_line(actor=world.bench, line=line)


def test_an_order_is_open_until_nothing_is_left_to_make(world: World) -> None:
    assert touched(world) == Touched(0, 0)
    line = world.written_line(quantity=1)
    assert touched(world) == Touched(0, 0)  # not confirmed: it is resolved to what is in force then
    confirm_line(actor=world.counter, line=line)
    assert touched(world) == Touched(1, 0)


def test_an_assembly_with_both_ends_by_the_same_line_counts_once(world: World) -> None:
    assembly = bench.made(world)
    assert touched(world) == Touched(1, 1)
    assert list(made_to(world.chart_issue.specifications.get())) == [assembly]
    bench.released(world)
    assert touched(world) == Touched(1, 2)  # what is released has nothing left to make


def test_an_order_whose_hoses_are_all_scrapped_has_nothing_left_to_make(world: World) -> None:
    assembly, _ = bench.crimped(world, ("24.5", "24.5", "24.5", "24.5"))
    assert touched(world) == Touched(1, 1)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="too large")
    assert touched(world) == Touched(0, 1)


def test_an_order_that_was_resolved_again_waits_for_the_newer_line(world: World) -> None:
    old = world.chart_issue.specifications.get()
    line = bench.plan(world).run.line
    bench.reissue(world, "2", target=Decimal("24.1"))
    assert list(open_lines_on([old.pk])) == [line]
    resolve_again(actor=world.counter, line=line)
    assert not open_lines_on([old.pk])


def test_what_is_typed_is_shown_beside_what_is_in_force_with_what_it_touches(
    client: Client, world: World
) -> None:
    bench.made(world)
    change_the_line(world)
    chart, line = world.chart.pk, world.chart.lines.get().pk
    for page in (
        f"/quality/charts/{chart}/",
        f"/quality/charts/{chart}/check/",
        f"/quality/charts/{chart}/issue/",
        f"/quality/chart-lines/{line}/change/",
    ):
        shown = client.get(page).content.decode()
        assert "1 open order line, 1 made" in shown, page
        assert "24.1 mm" in shown, page


def test_a_line_that_is_new_touches_nothing_yet(client: Client, world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart_line(hose=factories.HoseFactory()))
    shown = client.get(f"/quality/charts/{world.chart.pk}/").content.decode()
    assert "nothing yet" in shown
    assert "new: " in shown


def test_the_page_of_an_issue_says_what_it_changed(client: Client, world: World) -> None:
    assembly, first = bench.made(world), world.chart_issue
    shown = client.get(f"/quality/chart-issues/{first.pk}/").content.decode()
    assert "It is the first issue of this chart." in shown
    bench.reissue(world, "2", target=Decimal("24.1"))
    second = world.chart.issues.get(issue="2")
    shown = client.get(f"/quality/chart-issues/{second.pk}/").content.decode()
    assert f"What it changed in {first}" in shown
    assert "1 open order line, 1 made" in shown
    assert "Issue 1" in shown
    old = first.specifications.get()
    line = client.get(f"/quality/chart-issues/lines/{old.pk}/").content.decode()
    assert f"/{assembly.code}/" in line
    assert str(assembly.run.line.order.customer) in line
    assert "Made to it: 1" in line


def test_an_issue_that_changed_nothing_says_so(client: Client, world: World) -> None:
    first = world.chart_issue
    bench.reissue(world, "2")
    shown = client.get(f"/quality/chart-issues/{world.chart_issue.pk}/").content.decode()
    assert f'Every line is as it was in <a href="/quality/chart-issues/{first.pk}/">' in shown


def test_what_many_lines_touch_is_asked_in_two_queries(
    world: World, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    bench.made(world)
    bench.reissue(world, "2", target=Decimal("24.1"))
    lines = [line for issue in world.chart.issues.all() for line in issue.specifications.all()]
    with django_assert_num_queries(2):
        assert len(touched_by(lines)) == 2


def test_looking_up_a_die_finds_the_lines_that_prescribe_it(client: Client, world: World) -> None:
    bench.made(world)
    other = factories.DieTypeFactory()
    for asked, found in (
        ("", True),
        (f"?die_type={world.die_type.pk}&stop_type={world.stop_type.pk}", True),
        (f"?stop_type={world.stop_type.pk}", True),
        (f"?die_type={other.pk}", False),
    ):
        shown = client.get(f"/tools/look-up/{asked}").content.decode()
        assert ("1 open order line, 1 made" in shown) is found, asked
        assert ("No chart in force prescribes" in shown) is not found, asked


def test_the_die_set_the_stop_and_the_arrangement_lead_to_what_they_make(
    client: Client, world: World
) -> None:
    for page, query in (
        (f"/tools/die-sets/{world.die_set.pk}/", f"?die_type={world.die_type.pk}"),
        (f"/tools/stop-parts/{world.stop_part.pk}/", f"?stop_type={world.stop_type.pk}"),
        (
            f"/tools/arrangements/{world.arrangement.pk}/",
            f"?die_type={world.die_type.pk}&amp;stop_type={world.stop_type.pk}",
        ),
        ("/tools/", ""),
    ):
        assert f'href="/tools/look-up/{query}"' in client.get(page).content.decode(), page


def test_a_line_of_an_older_issue_is_not_looked_up(client: Client, world: World) -> None:
    bench.reissue(world, "2", target=Decimal("24.1"))
    shown = client.get("/tools/look-up/").content.decode()
    assert "issue 2" in shown
    assert "issue 1" not in shown


def test_who_withdraws_an_issue_sees_what_stops_and_what_was_made_to_it(client: Client, world: World) -> None:
    page = f"/quality/chart-issues/{world.chart_issue.pk}/withdraw/"
    assert "No open order waits for it, and nothing was made to it." in client.get(page).content.decode()
    bench.made(world)
    shown = client.get(page).content.decode()
    assert "1 open order line, 1 made" in shown
    assert f"/quality/chart-issues/lines/{world.chart_issue.specifications.get().pk}/" in shown
    refused = client.post(page, {"reason": ""}).content.decode()
    assert "1 open order line, 1 made" in refused
