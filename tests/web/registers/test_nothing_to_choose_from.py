"""A form whose list of choices is empty leads to where the list begins."""

import pytest
from django.test import Client

from shop.people.models import User
from tests.world import World

NOTHING = "None in the book yet"


def test_with_something_to_choose_from_nothing_is_said(client: Client, world: World) -> None:
    client.force_login(world.owner)
    assert NOTHING not in client.get("/stores/receive/hose/").content.decode()


@pytest.mark.parametrize(
    ("page", "where"),
    [
        ("/stores/receive/hose/", "/reference/hoses/new/"),
        ("/stores/receive/parts/", "/reference/ferrules/new/"),
        ("/reference/fittings/new/", "/reference/series/new/"),
        ("/tools/die-sets/new/", "/reference/die-types/new/"),
    ],
)
def test_an_empty_list_leads_to_its_first_entry(client: Client, owner: User, page: str, where: str) -> None:
    client.force_login(owner)
    text = client.get(page).content.decode()
    assert NOTHING in text
    assert f'href="{where}"' in text
