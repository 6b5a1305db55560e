"""From a batch to every assembly with it: the question of a recall."""

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags

from shop.assemblies.models import End
from shop.stock.models import Lot
from shop.stock.services import condemn_lot, receive_hose
from shop.web.bench.gathering import owned
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


def test_condemning_a_lot_shows_what_was_made_from_it_before_and_after(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    client.force_login(world.bench)
    page = reverse("web:lots_item", args=[world.fitting_lot.pk])
    condemn = reverse("web:lots_condemn", args=[world.fitting_lot.pk])
    assert condemn in client.get(page).content.decode()
    question = f"{world.customer.number} {world.customer}: 1 out in service, 0 still here"
    assert question in client.get(condemn).content.decode()
    after = client.post(condemn, {"reason": "Cracks in the thread."}, follow=True).content.decode()
    assert "Cracks in the thread." in after
    assert question in after
    assert condemn not in after
    suspected = f"{reverse('web:suspect')}?fitting_lot={world.fitting_lot.pk}"
    assert suspected in after
    assert assembly.code in client.get(suspected).content.decode()
    twice = client.post(condemn, {"reason": "Once more."}).content.decode()
    assert "is condemned already" in twice
    assert "Once more." in twice


def test_the_piece_of_a_condemned_lot_says_so_and_is_no_stock(client: Client, world: World) -> None:
    condemn_lot(actor=world.bench, lot=world.reel.lot, reason="Blisters under the cover.")
    client.force_login(world.bench)
    piece = client.get(reverse("web:pieces_item", args=[world.reel.pk])).content.decode()
    assert "Its lot is condemned" in piece
    stores = client.get(reverse("web:stores"))
    assert (stores.context["pieces"], stores.context["condemned"], stores.context["hoses"]) == (0, 1, [])
    assert "Of condemned lots" in stores.content.decode()


@pytest.mark.parametrize("name", ["web:lots", "web:pieces"])
def test_lists_of_lots_and_pieces_mark_what_is_condemned(client: Client, world: World, name: str) -> None:
    receive_hose(actor=world.bench, lot=Lot(hose=world.hose, made_printed="1Q26"), lengths_mm=[Decimal(5000)])
    condemn_lot(actor=world.bench, lot=world.reel.lot, reason="Blisters under the cover.")
    client.force_login(world.bench)
    stands = {
        getattr(row.record, "lot", row.record).pk: strip_tags(row.get_cell("stands")).strip()
        for row in client.get(reverse(name)).context["table"].rows
    }
    assert stands.pop(world.reel.lot_id) == "condemned"
    assert set(stands.values()) == {"—"}
    assert client.get(reverse(name), {"_export": "csv"}).content.decode().count("condemned") == 1


def test_the_bench_is_offered_nothing_of_a_condemned_lot(world: World) -> None:
    assembly = bench.plan(world)
    lots = (
        (None, "piece", world.reel.lot),
        (End.A, "fittings", world.fitting_lot),
        (End.A, "ferrules", world.ferrule_lot),
    )
    for end, role, lot in lots:
        assert list(owned(assembly, end, role))
        condemn_lot(actor=world.bench, lot=lot, reason="Cracks.")
        assert not list(owned(assembly, end, role))
