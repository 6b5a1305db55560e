"""Headers and host names: what a page from elsewhere can't do to the workshop's machine."""

import pytest
from django.test import Client

from shop.policy.models import Workshop
from tests.world import World


def test_pages_load_and_send_nothing_elsewhere(client: Client, world: World) -> None:
    policy = client.get("/sign-in/").headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_the_back_button_shows_the_next_person_nothing(client: Client, world: World) -> None:
    client.force_login(world.counter)
    assert "no-store" in client.get("/counter/").headers["Cache-Control"]


@pytest.mark.parametrize("host", ["192.168.1.20:8000", "[fd00::20]:8000", "localhost:8000"])
def test_the_machine_answers_to_its_number_and_its_own_names(client: Client, world: World, host: str) -> None:
    assert client.get("/sign-in/", headers={"host": host}).status_code == 200


def test_the_machine_answers_to_the_address_on_its_tags(client: Client, world: World) -> None:
    Workshop.objects.update(base_address="HTTPS://TAGS.EXAMPLE")
    assert client.get("/sign-in/", headers={"host": "tags.example"}).status_code == 200


def test_a_name_that_somebody_points_at_the_machine_is_not_answered(client: Client, world: World) -> None:
    page = client.get("/sign-in/", headers={"host": "elsewhere.example"})
    assert page.status_code == 400
    assert "FERRULEBOOK_HOSTS" in page.content.decode()


@pytest.mark.parametrize("person", ["nobody", "counter"])
def test_a_page_that_is_not_there_says_where_to_go(client: Client, world: World, person: str) -> None:
    if person != "nobody":
        client.force_login(getattr(world, person))
    page = client.get("/no-such-page/")
    assert page.status_code == 404
    assert "There is no such page" in page.content.decode()


def test_a_form_from_before_signing_in_is_refused_and_says_what_to_do(world: World) -> None:
    client = Client(enforce_csrf_checks=True)
    page = client.post("/sign-in/", {"username": "ilse", "password": "a hose is not a rope"})
    assert page.status_code == 403
    assert "Nothing was changed" in page.content.decode()


def test_an_error_of_the_program_is_owned_up_to(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(*_: object, **__: object) -> None:
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr("shop.web.door.views.SignInForm", break_down)
    client.raise_request_exception = False
    page = client.get("/sign-in/")
    assert page.status_code == 500
    assert "something that it should not" in page.content.decode()
