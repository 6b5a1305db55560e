"""What is left, hose by hose."""

from decimal import Decimal

from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose
from shop.web.stores.by_hose import stock_by_hose
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
