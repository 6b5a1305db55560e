"""The first page begins a workshop, and the door lets people in and out."""

import pytest
from django.test import Client

from shop.people.models import User
from shop.policy.models import Policy, Workshop
from tests.world import World

FIRST = {
    "length_unit": "mm",
    "pressure_unit": "bar",
    "zone": "Europe/Lisbon",
    "name": "Pennant Hose Works",
    "owner-number": "1",
    "owner-name": "Marit Osei",
    "owner-username": "marit",
    "owner-password": "a hose is not a rope",
}


@pytest.mark.django_db
def test_an_empty_installation_begins_with_its_first_page(client: Client) -> None:
    page = client.get("/", follow=True)
    assert page.redirect_chain[-1][0] == "/begin/"
    client.post("/begin/", FIRST)
    assert Workshop.objects.get().name == "Pennant Hose Works"
    assert Policy.objects.get().number == 1
    assert User.objects.get().roles == ["owner"]


def test_the_first_page_is_closed_once_there_is_a_workshop(client: Client, world: World) -> None:
    assert client.get("/begin/").headers["Location"] == "/sign-in/"


def test_a_wrong_password_keeps_the_name_and_says_so(client: Client, world: World) -> None:
    page = client.post("/sign-in/", {"username": world.bench.username, "password": "wrong"})
    assert "Name and password" in page.content.decode()
    assert f'value="{world.bench.username}"' in page.content.decode()


def test_signing_in_leads_to_the_persons_own_place(client: Client, world: World) -> None:
    page = client.post(
        "/sign-in/", {"username": world.bench.username, "password": "a hose is not a rope"}, follow=True
    )
    assert page.redirect_chain[-1][0] == "/bench/"
