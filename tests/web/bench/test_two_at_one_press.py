"""Who works on a set-up that has ended is told so before the press moves, and led to setting up once more."""

import pytest
from django.test import Client

from shop.assemblies.models import Assembly, Crimp
from tests.assemblies import bench
from tests.web.bench.bench_pages import Tablet
from tests.world import World


@pytest.fixture
def mine(world: World) -> Assembly:
    """An assembly of the bench person, with the press set up for its end A."""
    return bench.ready_to_crimp(world)


@pytest.fixture
def taken(world: World) -> str:
    """How the sentence begins."""
    return f"Stopped: {world.inspector.name} has set up {world.crimper} for"


def take_the_press(world: World) -> None:
    bench.tool_up(world, bench.plan_and_cut(world), actor=world.inspector)


@pytest.mark.parametrize("of_the_run", [False, True], ids=["one assembly", "a run"])
def test_a_press_that_another_bench_has_taken_is_told_before_anything_is_scanned(
    client: Client, world: World, mine: Assembly, taken: str, of_the_run: bool
) -> None:
    take_the_press(world)
    client.force_login(world.bench)
    tablet = Tablet(client, mine.run if of_the_run else mine)
    assert taken in tablet.text
    assert "Scan the bin of fittings" not in tablet.text
    assert f"/bench/{mine.code}/?instead=set_up" in tablet.page.content.decode()
    assert tablet.text.count("Set up once more") == 1


@pytest.mark.parametrize("of_the_run", [False, True], ids=["one assembly", "a run"])
def test_a_press_taken_while_the_bins_were_scanned_is_refused_with_nothing_recorded(
    client: Client, world: World, mine: Assembly, taken: str, of_the_run: bool
) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, mine.run if of_the_run else mine)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    take_the_press(world)
    assert tablet.tick_all_and_take().status_code == 422
    assert tablet.text.count(taken) == 1
    assert Crimp.objects.count() == 0


def test_setting_up_once_more_goes_on_with_the_crimp(client: Client, world: World, mine: Assembly) -> None:
    take_the_press(world)
    client.force_login(world.bench)
    tablet = Tablet(client, mine)
    tablet.open("?instead=set_up")
    tablet.scan(*(tool.code for tool in (world.crimper, world.die_set, world.stop_part, world.caliper)))
    tablet.tick_all_and_take()
    assert "Scan the bin of fittings" in tablet.text


def test_who_may_not_crimp_is_not_troubled_with_it(client: Client, world: World, mine: Assembly) -> None:
    take_the_press(world)
    client.force_login(world.counter)
    assert "Stopped:" not in Tablet(client, mine).text
