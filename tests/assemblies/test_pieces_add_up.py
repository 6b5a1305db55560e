"""The length of each piece agrees with its movements, or is named."""

import pytest

from shop.ledger.checking import check_ledger
from shop.stock.consistency import pieces_that_disagree
from shop.stock.models import Piece
from tests.assemblies import bench
from tests.ledger.drawer import behind_the_back
from tests.world import World

pytestmark = pytest.mark.django_db


def test_a_piece_that_was_cut_adds_up(world: World) -> None:
    bench.cut(world, bench.plan(world))
    assert list(pieces_that_disagree()) == []


def test_a_length_changed_behind_the_program_s_back_is_named(world: World) -> None:
    bench.cut(world, bench.plan(world))
    Piece.objects.update(length_left=50_000, movements_made=1)
    assert list(pieces_that_disagree()) == [
        f"{world.reel} is said to have 50000 mm left; by its movements it has 49120 mm.",
        f"{world.reel} is said to have 1 movements; 2 were recorded.",
    ]
    assert str(check_ledger().faults[0]) == next(pieces_that_disagree())


def test_a_balance_that_does_not_follow_from_the_changes_is_named(world: World) -> None:
    bench.cut(world, bench.plan(world))
    behind_the_back("UPDATE stock_piecemovement SET balance = balance + 1000000 WHERE number = 2")
    assert list(pieces_that_disagree()) == [
        f"{world.reel}: after movement 2 49121 mm were left, by its changes 49120 mm."
    ]


def test_a_movement_that_is_gone_is_named(world: World) -> None:
    for _ in range(2):
        bench.cut(world, bench.plan(world))
    behind_the_back("UPDATE stock_piecemovement SET number = 9 WHERE number = 2")
    assert list(pieces_that_disagree()) == [f"{world.reel}: movement 2 is missing."]
