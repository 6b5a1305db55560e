"""From a batch to every assembly with it: the question of a recall."""

import pytest
from django.test import Client

from tests.assemblies import bench
from tests.world import World


@pytest.mark.parametrize("lot", ["reel", "fitting_lot", "ferrule_lot"])
def test_a_lot_leads_to_the_assemblies_that_have_it_each_once(client: Client, world: World, lot: str) -> None:
    made = [bench.made(world), bench.made(world)]
    unfinished = bench.plan(world)
    client.force_login(world.auditor)
    thing = getattr(world, lot)
    page = client.get(f"/stores/lots/{thing.lot_id if lot == 'reel' else thing.pk}/")
    table = page.context["table"]
    assert sorted(row.record.serial for row in table.rows) == [assembly.serial for assembly in made]
    text = page.content.decode()
    assert "assemblies." in text
    assert f'href="/assembly/{made[0].code}/"' in text
    assert f'href="/assembly/{unfinished.code}/"' not in text


def test_a_lot_that_was_not_used_leads_to_none(client: Client, world: World) -> None:
    bench.made(world)
    client.force_login(world.auditor)
    assert "No assembly yet." in client.get(f"/stores/lots/{world.elbow_lot.pk}/").content.decode()


def test_a_cut_on_the_page_of_a_piece_names_its_assembly(client: Client, world: World) -> None:
    assembly = bench.made(world)
    client.force_login(world.bench)
    text = client.get(f"/stores/pieces/{world.reel.pk}/").content.decode()
    assert f'<a href="/assembly/{assembly.code}/">assembly {assembly.serial}</a>' in text
