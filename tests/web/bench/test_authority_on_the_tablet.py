"""Who may not take a step reads so when the page opens, and not after everything was scanned."""

import datetime

import pytest
from django.test import Client

from shop.assemblies.models import Assembly
from shop.authority.models import Authority
from shop.authority.services import save_authority
from shop.policy.services import today
from tests import factories
from tests.assemblies import bench
from tests.web.bench.bench_pages import Tablet
from tests.world import World

DAY = datetime.timedelta(days=1)


def give(world: World, step: str, **changes: object) -> None:
    values: dict[str, object] = {"person": world.inspector, "valid_from": today() - DAY} | changes
    save_authority(actor=world.owner, authority=Authority(step=step, **values))


@pytest.fixture
def cut(world: World) -> Assembly:
    return bench.plan_and_cut(world)


def opened(client: Client, world: World, work: Assembly) -> Tablet:
    client.force_login(world.bench)
    return Tablet(client, work)


def test_no_form_is_shown_to_who_has_no_authority(client: Client, world: World, cut: Assembly) -> None:
    give(world, "set_up")
    tablet = opened(client, world, cut)
    assert f"{world.bench.name} may not set up" in tablet.text
    assert f"Ask {world.inspector.name}" in tablet.text
    assert not tablet.form.action


def test_a_run_s_page_says_it_too(client: Client, world: World, cut: Assembly) -> None:
    give(world, "set_up")
    client.force_login(world.bench)
    assert f"{world.bench.name} may not set up" in Tablet(client, cut.run).text


def test_an_authority_on_one_of_the_crimpers_is_enough_to_set_up(
    client: Client, world: World, cut: Assembly
) -> None:
    other = factories.CrimperFactory()
    factories.ArrangementFactory(crimper=other, die_type=world.die_type, stop_type=world.stop_type)
    give(world, "set_up", person=world.bench, crimper=other)
    assert "Scan the crimper" in opened(client, world, cut).text


def test_the_crimp_is_on_the_crimper_that_is_set_up(client: Client, world: World, cut: Assembly) -> None:
    bench.tool_up(world, cut)
    give(world, "crimp", person=world.bench, crimper=factories.CrimperFactory())
    tablet = opened(client, world, cut)
    assert f"may not crimp {world.series} on {world.crimper}" in tablet.text
    assert "Set up once more" in tablet.text
