"""Somebody of the bench, who reads everything and writes no orders, at a worksheet."""

from collections.abc import Callable

import pytest
from django.test import Client

from tests.world import World

Ask = Callable[..., str]


@pytest.fixture
def reader(client: Client, world: World) -> Client:
    """A browser in which the bench is signed in."""
    client.force_login(world.bench)
    return client


@pytest.fixture
def page(reader: Client) -> Ask:
    """The page of a worksheet with these answers sent, as without script."""

    def ask(slug: str, **typed: str) -> str:
        return reader.get(f"/reference/worksheets/{slug}/", typed).content.decode()

    return ask


@pytest.fixture
def fragment(reader: Client) -> Ask:
    """What answers while these were typed."""

    def ask(slug: str, **typed: str) -> str:
        return reader.get(f"/reference/worksheets/{slug}/answer/", typed).content.decode()

    return ask
