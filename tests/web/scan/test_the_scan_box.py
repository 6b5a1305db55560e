"""One box for tags, labels and badges."""

from collections.abc import Callable

import pytest
from django.test import Client

from shop.core.labels import Labelled
from shop.engineering.codes import ALPHABET, new_code
from shop.trace.lookup import labelled_kinds
from shop.web.scan.destinations import PAGES
from tests.assemblies.bench import plan
from tests.world import World

PLACES: dict[str, tuple[Callable[[World], Labelled], str]] = {
    "an assembly": (plan, "/assembly/{thing.code}/"),
    "the own badge": (lambda world: world.auditor, "/quality/people/{thing.pk}/"),
    "a crimper": (lambda world: world.crimper, "/tools/crimpers/{thing.pk}/"),
    "a die set": (lambda world: world.die_set, "/tools/die-sets/{thing.pk}/"),
    "a gauge": (lambda world: world.caliper, "/tools/gauges/{thing.pk}/"),
    "a lot": (lambda world: world.fitting_lot, "/stores/lots/{thing.pk}/"),
    "a piece": (lambda world: world.reel, "/stores/pieces/{thing.pk}/"),
    "an order": (lambda world: world.order, "/counter/orders/{thing.code}/"),
    "a stop part": (lambda world: world.stop_part, "/tools/stop-parts/{thing.pk}/"),
}


@pytest.mark.parametrize("kind", PLACES)
def test_it_goes_to_the_page_of_each_kind_of_thing(client: Client, world: World, kind: str) -> None:
    make, place = PLACES[kind]
    thing = make(world)
    client.force_login(world.auditor)
    answer = client.get("/scan/", {"code": thing.printed_code.lower()})
    assert answer.headers["Location"] == place.format(thing=thing)
    assert client.get(answer.headers["Location"]).status_code == 200


def test_every_kind_that_carries_a_label_has_a_page() -> None:
    assert set(PAGES) == set(labelled_kinds().values())


def test_the_address_of_a_tag_is_taken_too(client: Client, world: World) -> None:
    assembly = plan(world)
    client.force_login(world.bench)
    answer = client.get("/scan/", {"code": f"HTTPS://HOSE.EXAMPLE/T/{assembly.code}"})
    assert answer.headers["Location"] == f"/assembly/{assembly.code}/"


def test_a_mistyped_code_stays_in_the_box_with_what_is_wrong(client: Client, world: World) -> None:
    code = plan(world).code
    wrong = code[:-1] + ALPHABET[(ALPHABET.index(code[-1]) + 1) % len(ALPHABET)]
    client.force_login(world.bench)
    answer = client.get("/scan/", {"code": wrong})
    assert answer.status_code == 404
    html = answer.content.decode()
    assert "One character of this code is wrong" in html
    assert f'value="{wrong}"' in html


def test_an_unknown_code_is_said_to_be_unknown(client: Client, world: World) -> None:
    client.force_login(world.bench)
    answer = client.get("/scan/", {"code": new_code("D")})
    assert answer.status_code == 404
    assert "is nothing in this workshop" in answer.content.decode()


def test_the_empty_page_asks_for_a_code_or_a_photo(client: Client, world: World) -> None:
    client.force_login(world.bench)
    html = client.get("/scan/").content.decode()
    assert 'name="code"' in html
    assert 'type="file"' in html
    assert 'role="alert"' not in html


@pytest.mark.parametrize("path", ["/scan/", "/scan/photo/"])
def test_strangers_are_asked_to_sign_in(client: Client, world: World, path: str) -> None:
    assert client.get(path).headers["Location"].startswith("/sign-in/")
