"""What was ordered and made is found again without a code: by serial, number, customer, reference or hose."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.assemblies.bench import plan, shipped
from tests.world import World


def _rows(page: str) -> int:
    return page.count('<th scope="row"')


def test_an_order_that_owes_nothing_any_more_is_still_found(desk: Client, world: World) -> None:
    shipped(world)
    assert world.order.code not in desk.get("/counter/").content.decode()
    assert f"/counter/orders/{world.order.code}/" in desk.get("/counter/orders/").content.decode()


def test_an_assembly_is_found_by_its_serial(desk: Client, world: World) -> None:
    wanted, _other = plan(world), plan(world)
    page = desk.get("/counter/assemblies/", {"q": str(wanted.serial)}).content.decode()
    assert f"/assembly/{wanted.code}/" in page


def test_assemblies_are_found_by_customer_and_hose_together(desk: Client, world: World) -> None:
    wanted = plan(world)
    words = f"{world.customer.name.split()[0]} {world.hose.designation.split()[0]}"
    assert wanted.code in desk.get("/counter/assemblies/", {"q": words}).content.decode()
    assert _rows(desk.get("/counter/assemblies/", {"q": "nobody"}).content.decode()) == 0


def test_assemblies_are_narrowed_by_where_they_stand(desk: Client, world: World) -> None:
    gone = shipped(world)
    page = desk.get("/counter/assemblies/", {"state": "shipped"}).content.decode()
    assert gone.code in page
    assert _rows(desk.get("/counter/assemblies/", {"state": "held"}).content.decode()) == 0


def test_the_list_of_assemblies_is_exported_with_words(desk: Client, world: World) -> None:
    plan(world)
    text = desk.get("/counter/assemblies/", {"_export": "csv"}).content.decode("utf-8-sig")
    assert text.splitlines()[0].startswith("Serial,Where it stands,Hose")
    assert "planned" in text


def test_a_longer_list_takes_no_more_queries(desk: Client, world: World) -> None:
    plan(world)
    with CaptureQueriesContext(connection) as few:
        desk.get("/counter/assemblies/")
    plan(world)
    with CaptureQueriesContext(connection) as more:
        desk.get("/counter/assemblies/")
    assert len(more) == len(few)


def test_a_number_in_the_scan_box_leads_on_to_the_lists(desk: Client, world: World) -> None:
    page = desk.get("/scan/", {"code": "12"})
    assert page.status_code == 404
    assert "/counter/assemblies/?q=12" in page.content.decode()
