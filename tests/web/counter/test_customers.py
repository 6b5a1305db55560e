"""The list of customers is kept at the counter."""

import pytest
from django.test import Client

from shop.orders.models import Customer
from tests.world import World


def test_a_customer_is_added(desk: Client, world: World) -> None:
    desk.post("/counter/customers/new/", {"number": "12", "name": "Ebb Dredging"})
    assert Customer.objects.get(number="12").name == "Ebb Dredging"


def test_a_customers_drawings_may_name_the_length_rules(desk: Client, world: World) -> None:
    typed = {"number": "12", "name": "Ebb Dredging", "length_rules": "SAE J517"}
    desk.post("/counter/customers/new/", typed)
    assert Customer.objects.get(number="12").length_rules == "SAE J517"


def test_a_number_is_given_once(desk: Client, world: World) -> None:
    number = world.customer.number
    page = desk.post("/counter/customers/new/", {"number": number, "name": "Ebb Dredging"})
    assert "Another customer has this number." in page.content.decode()
    assert Customer.objects.count() == 1


def test_the_customers_page_shows_what_is_open(desk: Client, world: World) -> None:
    page = desk.get(f"/counter/customers/{world.customer.pk}/").content.decode()
    assert f"/counter/orders/{world.order.code}/" in page
    assert "no line yet" in page


@pytest.mark.parametrize(("who", "status"), [("bench", 403), ("auditor", 403), ("owner", 200)])
def test_who_may_add_customers(client: Client, world: World, who: str, status: int) -> None:
    client.force_login(getattr(world, who))
    assert client.get("/counter/customers/new/").status_code == status
    assert client.get("/counter/customers/").status_code == 200
