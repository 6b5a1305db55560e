"""A piece that decides about the next is asked for before the press moves, not when the crimp is sent."""

import pytest
from django.test import Client

from shop.assemblies.models import Assembly
from tests.assemblies import bench
from tests.assemblies.test_runs import TOO_LARGE, cut_run
from tests.web.bench.bench_pages import Tablet
from tests.world import World


@pytest.fixture
def pieces(client: Client, world: World) -> list[Assembly]:
    """Three equal ones, of which the first has been crimped; the bench person is at the tablet."""
    pieces = cut_run(world, 3, every=3)
    client.force_login(world.bench)
    return pieces


def test_who_comes_with_the_second_piece_is_led_to_measuring_the_first(
    client: Client, world: World, pieces: list[Assembly]
) -> None:
    bench.crimp(world, pieces[0])
    tablet = Tablet(client, pieces[1])
    assert "has not been measured. Measure it before you crimp the next" in tablet.text
    assert f'href="/bench/{pieces[0].code}/"' in tablet.page.content.decode()
    assert "Scan the bin of fittings" not in tablet.text


def test_after_a_first_piece_that_failed_one_is_led_to_setting_up_once_more(
    client: Client, world: World, pieces: list[Assembly]
) -> None:
    bench.measure(world, bench.crimp(world, pieces[0]), TOO_LARGE)
    tablet = Tablet(client, pieces[1])
    assert "The crimp of" in tablet.text
    assert "on this set-up at end A failed. Find out why" in tablet.text
    assert f"/bench/{pieces[1].code}/?instead=set_up" in tablet.page.content.decode()


def test_after_a_first_piece_that_passed_the_second_is_asked_for_its_bins(
    client: Client, world: World, pieces: list[Assembly]
) -> None:
    bench.measure(world, bench.crimp(world, pieces[0]))
    assert "Scan the bin of fittings" in Tablet(client, pieces[1]).text
