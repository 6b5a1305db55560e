"""The page of what failures have in common: hints in careful words, each leading to what it suspects."""

from decimal import Decimal

from django.test import Client
from django.urls import reverse

from shop.people.models import User
from shop.stock.models import Lot
from shop.trace.common_factors import in_common
from shop.web.quality.failures.common import _probability
from tests.trace.test_common_factors import bad_lot, fail, ship_some  # noqa: F401  # the fixture
from tests.world import World

PAGE = "/quality/failures/in-common/"


def test_it_shows_counts_rates_and_how_probable_that_is_and_leads_to_what_is_suspected(
    client: Client,
    world: World,
    bad_lot: Lot,  # noqa: F811  # the fixture
) -> None:
    client.force_login(world.auditor)
    page = client.get(PAGE, {"mode": "blow_off"})
    text = page.content.decode()
    assert "None of them is a verdict" in text
    assert f"Fitting from {bad_lot}." in text
    assert "4 of 5" in text
    assert "0 of 5" in text
    assert "0.0476" in text
    assert "0.0952" in text  # two lots could be asked about
    assert "2 things could be asked about" in text
    assert "look here first" in text
    assert f'href="{reverse("web:suspect")}?fitting_lot={bad_lot.pk}"' in text
    assert "Too few to ask" in client.get(PAGE, {"mode": "pinhole"}).content.decode()
    assert in_common().hints[0].question.with_it.failed == 4


def test_what_concerns_a_person_is_shown_to_who_decides_or_audits_only(
    client: Client, world: World, inspector: User
) -> None:
    """Another one made five of ten, of which four failed."""
    ship_some(world, 5)
    usual, world.bench = world.bench, inspector
    other = User.objects.get(pk=world.owner.pk)
    world.inspector = other
    made = ship_some(world, 5)
    world.bench, world.inspector = usual, inspector
    for assembly in made[:4]:
        fail(world, assembly)
    about_him = f"rimped by {inspector}"
    for person, sees in ((world.counter, False), (world.auditor, True)):
        client.force_login(person)
        text = client.get(PAGE).content.decode()
        assert (about_him in text) is sees
        assert ("about people" in text) is not sees
        assert "<h2>Crimped by" not in text  # and never drawn under their name


def test_what_is_all_but_impossible_by_chance_is_never_said_to_be_nought() -> None:
    assert [_probability(Decimal(p)) for p in ("0.00009", "0.0001", "0.5", "1")] == [
        "below 0.0001",
        "0.0001",
        "0.5000",
        "1.0000",
    ]


def test_with_too_few_failures_it_lists_them_and_asks_nothing(client: Client, world: World) -> None:
    [assembly] = ship_some(world, 1)
    fail(world, assembly)
    client.force_login(world.counter)
    text = client.get(PAGE).content.decode()
    assert "Too few to ask" in text
    assert f"/assembly/{assembly.code}/" in text
    assert "By chance alone" not in text
