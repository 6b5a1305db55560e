"""On the page of a chart, a tool, a gauge or a lot stands what was known of it on a past day."""

import datetime

import pytest
from django.test import Client
from django.urls import reverse

from shop.catalogue.services import withdraw_issue
from shop.policy.services import today
from shop.stock.services import condemn_lot
from shop.tooling.services import report_damage
from tests import factories
from tests.assemblies import bench
from tests.trace.test_as_of_a_day import the_next_day
from tests.world import World


def words(client: Client, address: str, **asked: str) -> str:
    answer = client.get(address, asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def pages(world: World) -> dict[str, str]:
    return {
        "chart": f"/quality/charts/{world.chart.pk}/",
        "issue": reverse("web:issued_chart", args=[world.chart_issue.pk]),
        "crimper": f"/tools/crimpers/{world.crimper.pk}/",
        "die set": f"/tools/die-sets/{world.die_set.pk}/",
        "stop part": f"/tools/stop-parts/{world.stop_part.pk}/",
        "gauge": f"/tools/gauges/{world.caliper.pk}/",
        "pressure gauge": f"/tools/pressure-gauges/{factories.PressureGaugeFactory().pk}/",
        "lot of fittings": f"/stores/lots/{world.fitting_lot.pk}/",
        "lot of hose": f"/stores/lots/{world.reel.lot.pk}/",
    }


def test_each_page_asks_for_a_day_and_shows_then_beside_now(client: Client, world: World) -> None:
    bench.crimped(world)
    client.force_login(world.auditor)
    for address in pages(world).values():
        plain = words(client, address)
        assert "As of a day" in plain
        assert "Known now" not in plain
        assert "Known now" not in words(client, address, as_of="nonsense")
        tomorrow = today() + datetime.timedelta(days=1)
        assert f"{tomorrow} is still to come" in words(client, address, as_of=str(tomorrow))
        asked = words(client, address, as_of=str(today()))
        assert f"As of {today()}" in asked
        assert "Known now" in asked


def test_what_is_otherwise_now_is_marked_and_the_rest_says_so(client: Client, world: World) -> None:
    day = today()
    with the_next_day():
        withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="a misprint")
        report_damage(actor=world.bench, tool=world.die_set, what="die 3 chipped")
        condemn_lot(actor=world.bench, lot=world.fitting_lot, reason="cracked")
        client.force_login(world.auditor)
        there = pages(world)
        for kind, now in (
            ("chart", "none in force: issue 1 withdrawn"),
            ("die set", "not to be used: die 3 chipped"),
            ("lot of fittings", f"on {today()}: nothing is made from it"),
        ):
            page = words(client, there[kind], as_of=str(day))
            row = page[page.index("Known now") :]
            assert f'signs.svg#care"/></svg> {now}</td>' in row
            assert "<td>the same</td>" in row


@pytest.mark.parametrize(("kind", "has_it"), [("lot", True), ("gauge", True), ("hose", False)])
def test_a_look_up_leads_to_it_where_there_is_one(
    client: Client, world: World, kind: str, has_it: bool
) -> None:
    thing = {"lot": world.fitting_lot, "gauge": world.caliper, "hose": world.hose}[kind]
    client.force_login(world.auditor)
    assert ("#as-of" in words(client, f"/quality/look-up/{kind}/{thing.pk}/")) is has_it


def test_a_day_before_it_was_there_says_so(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    before = today() - datetime.timedelta(days=30)
    page = words(client, f"/stores/lots/{world.fitting_lot.pk}/", as_of=str(before))
    assert "not in the book" in page
