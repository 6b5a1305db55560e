"""The published tables are loaded from the reference's first page."""

from django.test import Client

from shop.people.models import User
from shop.standards.models import HoseRating
from tests.world import World

LOAD = "/reference/load-standards/"


def test_an_empty_reference_begins_with_the_tables(client: Client, owner: User) -> None:
    client.force_login(owner)
    page = client.get("/reference/").content.decode()
    assert f'action="{LOAD}"' in page
    assert '<button type="submit" class="next">Load the published tables</button>' in page


def test_loading_says_how_many_and_again_that_there_was_nothing_to_do(client: Client, world: World) -> None:
    client.force_login(world.owner)
    first = client.post(LOAD, follow=True).content.decode()
    assert "The tables are loaded: 305 rows added" in first
    again = client.post(LOAD, follow=True).content.decode()
    assert "The tables are loaded already" in again
    assert HoseRating.objects.count() == 203


def test_the_bench_may_not_load_them(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assert client.post(LOAD).status_code == 403
    assert LOAD not in client.get("/reference/").content.decode()
    assert not HoseRating.objects.exists()


def test_the_first_page_counts_what_is_in_use_and_unconfirmed(client: Client, world: World) -> None:
    client.force_login(world.owner)
    client.post(LOAD)
    assert "nobody has confirmed" not in client.get("/reference/").content.decode()
    world.hose.standard = HoseRating.objects.get(standard="EN 853 2SN", dash=8)
    world.hose.save()
    page = client.get("/reference/").content.decode()
    assert "1 in use with a rating that nobody has confirmed" in page
    assert "/reference/hose-ratings/?rating=unconfirmed" in page
