"""The list of people on the page: roles as boxes, badges, passwords apart."""

import pytest
from django.contrib.auth import authenticate
from django.test import Client

from shop.people.models import User
from tests.world import World

JONAS = {"number": "6", "name": "Jonas Ferreira", "username": "jonas", "is_active": "on"}


@pytest.fixture
def keeper(client: Client, world: World) -> Client:
    client.force_login(world.owner)
    return client


def test_a_newcomer_is_written_with_roles_and_then_given_a_password(keeper: Client, world: World) -> None:
    page = keeper.post("/quality/people/new/", JONAS | {"roles": ["bench", "inspector"]}, follow=True)
    text = page.content.decode()
    assert "has no password yet and can't sign in" in text
    assert "cut, crimp and measure" in text
    person = User.objects.get(number=6)
    assert person.roles == ["bench", "inspector"]
    keeper.post(f"/quality/people/{person.pk}/password/", {"password": "read the layline"})
    assert authenticate(username="jonas", password="read the layline") == person  # noqa: S106  # invented


def test_a_short_password_is_not_set(keeper: Client, world: World) -> None:
    before = world.bench.password
    text = keeper.post(f"/quality/people/{world.bench.pk}/password/", {"password": "hose"}).content.decode()
    assert "at least 8 characters" in text
    assert 'value="hose"' not in text
    assert User.objects.get(pk=world.bench.pk).password == before


def test_the_last_owner_is_told_why_she_stays(keeper: Client, world: World) -> None:
    sent = {
        "number": "1",
        "name": world.owner.name,
        "username": "marit",
        "roles": ["counter"],
        "is_active": "on",
    }
    text = keeper.post(f"/quality/people/{world.owner.pk}/change/", sent).content.decode()
    assert "is the only owner who works here" in text
    assert User.objects.get(pk=world.owner.pk).roles == ["owner"]


def test_people_come_from_a_csv(keeper: Client, world: World) -> None:
    text = (
        "Staff number,Name,Sign-in name,Roles,Works here\n"
        "6,Jonas Ferreira,jonas,bench; inspector,yes\n"
        "7,Aino Brandt,aino,counter,yes\n"
    )
    assert "2 new" in keeper.post("/quality/people/csv/", {"text": text}).content.decode()
    keeper.post("/quality/people/csv/", {"text": text, "take": "yes"})
    assert User.objects.get(number=6).roles == ["bench", "inspector"]
    wrong = text.replace("inspector", "foreman").replace("7,", "x,")
    page = keeper.post("/quality/people/csv/", {"text": wrong}).content.decode()
    assert "“foreman” is none of" in page
    assert "Enter a whole number" in page


def test_no_file_and_no_page_carries_a_password(keeper: Client, world: World) -> None:
    exported = keeper.get("/quality/people/export/?format=csv").content.decode()
    assert world.bench.name in exported
    assert "assword" not in exported
    page = keeper.get(f"/quality/people/{world.bench.pk}/").content.decode()
    assert world.bench.password not in page


def test_others_read_the_list_and_change_nothing(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    text = client.get("/quality/people/").content.decode()
    assert world.bench.name in text
    assert "Add a person" not in text
    assert client.post("/quality/people/new/", JONAS).status_code == 403
    assert client.get(f"/quality/people/{world.bench.pk}/password/").status_code == 403
