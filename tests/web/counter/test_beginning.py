"""A new workshop is told what its book still needs before the first hose."""

from django.test import Client

from shop.catalogue.models import Fluid
from shop.people.models import User
from shop.web.counter.beginning import first_needs
from tests.assemblies.bench import plan
from tests.world import World


def test_a_book_that_lacks_nothing_says_nothing(desk: Client, world: World) -> None:
    assert first_needs() == []
    assert "Before the first hose" not in desk.get("/counter/").content.decode()


def test_what_is_lacking_is_named_with_the_page_where_it_is_written(desk: Client, world: World) -> None:
    world.hose.fluids.clear()
    Fluid.objects.all().delete()
    page = desk.get("/counter/").content.decode()
    assert "Before the first hose" in page
    assert [need.what for need in first_needs() if not need.is_there] == ["Fluids"]
    assert 'href="/reference/fluids/"' in page


def test_a_workshop_of_one_is_told_before_its_first_chart(world: World) -> None:
    User.objects.exclude(pk=world.owner.pk).update(is_active=False)
    assert [need.what for need in first_needs() if not need.is_there] == ["A second person"]


def test_nobody_is_told_once_a_line_was_confirmed(world: World) -> None:
    plan(world)
    User.objects.exclude(pk=world.owner.pk).update(is_active=False)
    assert first_needs() == []
