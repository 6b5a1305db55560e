"""Whoever tries out passwords is slowed down; a colleague elsewhere is not."""

from collections.abc import Iterator

import pytest
from django.core.cache import cache
from django.test import Client

from shop.web.door.throttle import TRIES, TooManyTries
from tests.world import World

RIGHT = "a hose is not a rope"


@pytest.fixture(autouse=True)
def _nobody_has_tried() -> Iterator[None]:
    cache.clear()
    yield
    cache.clear()


def _try(client: Client, world: World, password: str, address: str = "192.168.1.7") -> str:
    form = {"username": world.bench.username, "password": password}
    answer = client.post("/sign-in/", form, REMOTE_ADDR=address)
    return "in" if answer.status_code == 302 else answer.content.decode()


def test_after_too_many_wrong_passwords_not_even_the_right_one_is_taken(client: Client, world: World) -> None:
    for _ in range(TRIES):
        assert TooManyTries.says not in _try(client, world, "wrong")
    assert TooManyTries.says in _try(client, world, RIGHT)


def test_a_colleague_at_another_device_is_not_locked_out(client: Client, world: World) -> None:
    for _ in range(TRIES):
        _try(client, world, "wrong")
    assert _try(client, world, RIGHT, address="192.168.1.8") == "in"


def test_writing_the_name_otherwise_is_the_same_name(client: Client, world: World) -> None:
    for _ in range(TRIES):
        client.post("/sign-in/", {"username": world.bench.username.upper(), "password": "wrong"},
                    REMOTE_ADDR="192.168.1.7")  # fmt: skip
    assert TooManyTries.says in _try(client, world, RIGHT)


def test_signing_in_forgets_the_slips_before(client: Client, world: World) -> None:
    for _ in range(TRIES - 1):
        _try(client, world, "wrong")
    assert _try(client, world, RIGHT) == "in"
    client.logout()
    _try(client, world, "wrong")
    assert _try(client, world, RIGHT) == "in"
