"""What is left, hose by hose."""

from decimal import Decimal

import pytest
from django.test import Client

from shop.policy.models import Workshop
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose
from shop.web.stores.by_hose import stock_by_hose
from shop.web.templatetags.quantities import clock, stretch
from tests import factories
from tests.world import World


def test_each_hose_has_its_pieces_together_and_its_longest_one(world: World) -> None:
    other = factories.HoseFactory(maker="Aldermoor")
    for hose, lengths in ((world.hose, [Decimal(1200), Decimal(800)]), (other, [Decimal("90.5")])):
        receive_hose(actor=world.bench, lot=Lot(hose=hose, made_printed="1Q26"), lengths_mm=lengths)
    rows = stock_by_hose(Piece.objects.select_related("lot__hose"))
    assert [(row.hose, row.pieces, row.longest_mm, row.together_mm) for row in rows] == [
        (other, 1, Decimal("90.5"), Decimal("90.5")),
        (world.hose, 3, Decimal(50_000), Decimal(52_000)),
    ]


@pytest.mark.parametrize(
    ("unit", "mm", "shown"),
    [
        ("mm", "42562", "42.56 m"),
        ("mm", "1999.999", "1.99 m"),
        ("in", "3048", "10.00 ft"),
        ("mm", "0", "0.00 m"),
    ],
)
def test_a_stretch_of_stock_is_in_metres_or_feet_and_never_looks_longer_than_it_is(
    world: World, unit: str, mm: str, shown: str
) -> None:
    Workshop.objects.update(length_unit=unit)
    assert stretch(Decimal(mm)) == shown


def test_movements_have_the_time_of_the_workshop(client: Client, world: World) -> None:
    client.force_login(world.bench)
    moved = world.reel.movements.get()
    assert clock(moved.entry.recorded_at) in client.get(f"/stores/pieces/{world.reel.pk}/").content.decode()
