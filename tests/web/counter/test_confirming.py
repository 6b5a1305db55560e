"""A quotation is confirmed, is stopped by a newer chart, and is confirmed again."""

from decimal import Decimal

from django.test import Client

from shop.assemblies.models import Assembly, Run
from shop.assemblies.planning import start_line
from shop.catalogue.services import save_chart_line
from shop.orders.models import OrderLine
from tests import factories
from tests.world import World


def address(line: OrderLine, page: str = "") -> str:
    return f"/counter/orders/{line.order.code}/lines/{line.position}/{page}"


def issue_a_tighter_chart(world: World) -> None:
    typed = world.chart.lines.get()
    typed.upper = Decimal("24.3")
    save_chart_line(actor=world.bench, line=typed)
    world.chart.refresh_from_db()
    world.issue("2")


def test_confirming_plans_the_assemblies(desk: Client, world: World) -> None:
    line = world.written_line(quantity=3)
    page = desk.post(address(line, "confirm/"), follow=True).content.decode()
    assert Assembly.objects.count() == 3
    assert "its assemblies are planned" in page


def test_what_is_open_stands_there_when_confirming_is_refused(desk: Client, world: World) -> None:
    unrated = factories.FittingFactory(series=world.series, printed_value="", printed_unit="")
    line = world.written_line(fitting_b=unrated)
    page = desk.post(address(line, "confirm/")).content.decode()
    assert not Assembly.objects.exists()
    assert "has no rating, and no rating is not &#x27;unlimited&#x27;." in page
    assert "This can be quoted." in page
    assert "Confirm, and plan" not in page


def test_a_newer_chart_stops_the_line_and_the_page_shows_the_difference(desk: Client, world: World) -> None:
    line = world.written_line()
    start_line(actor=world.counter, line=line)
    assert "stopped" not in desk.get(address(line)).content.decode()
    issue_a_tighter_chart(world)
    page = desk.get(address(line)).content.decode()
    assert "stopped: its chart has moved on" in page
    assert "<td>RW-8 issue 1</td><td>RW-8 issue 2</td>" in page
    assert "end A: upper limit</th><td>24.4 mm</td><td>24.3 mm</td>" in page
    assert "Stopped: their chart has moved on" in desk.get("/counter/").content.decode()


def test_confirming_again_takes_the_newer_chart(desk: Client, world: World) -> None:
    line = world.written_line()
    start_line(actor=world.counter, line=line)
    issue_a_tighter_chart(world)
    page = desk.post(address(line, "again/"), follow=True).content.decode()
    assert "is confirmed again" in page
    assert "stopped" not in page
    assert Run.objects.get().resolution.specification_a.upper == Decimal("24.3")


def test_confirming_again_what_has_not_changed_is_refused(desk: Client, world: World) -> None:
    line = world.written_line()
    start_line(actor=world.counter, line=line)
    page = desk.post(address(line, "again/")).content.decode()
    assert "is confirmed as it stands." in page
    assert line.resolutions.count() == 1


def test_a_quotation_is_cancelled_and_a_confirmed_line_is_not(desk: Client, world: World) -> None:
    quotation, confirmed = world.written_line(), world.written_line()
    start_line(actor=world.counter, line=confirmed)
    assert "is cancelled" in desk.post(address(quotation, "cancel/"), follow=True).content.decode()
    assert "is confirmed, and its assemblies are planned" in desk.post(
        address(confirmed, "cancel/")
    ).content.decode().replace("&#x27;", "'")
    confirmed.refresh_from_db()
    assert not confirmed.cancelled
    assert "Confirm, and plan" not in desk.get(address(quotation)).content.decode()
