"""Pieces of hose, compared with the movements that were recorded of them."""

from collections.abc import Iterator
from decimal import Decimal

from shop.ledger.checking import register_consistency_check
from shop.stock.models import Piece

BATCH = 500  # pieces in memory at a time


def register() -> None:
    """Add the checks of this app to `check_ledger`."""
    register_consistency_check("stock.pieces", pieces_that_disagree)


def pieces_that_disagree() -> Iterator[str]:
    """A sentence for each piece whose movements don't add up, or that has another length than they say."""
    for piece in Piece.objects.order_by("pk").prefetch_related("movements").iterator(chunk_size=BATCH):
        yield from _disagreements(piece)


def _disagreements(piece: Piece) -> Iterator[str]:
    left, made = Decimal(0), 0
    for movement in sorted(piece.movements.all(), key=lambda movement: movement.number):
        made += 1
        left += movement.change
        if movement.number != made:
            yield f"{piece}: movement {made} is missing."
            return
        if movement.balance != left:
            yield f"{piece}: after movement {made} {movement.balance} mm were left, by its changes {left} mm."
            return
    if piece.length_left != left:
        yield f"{piece} is said to have {piece.length_left} mm left; by its movements it has {left} mm."
    if piece.movements_made != made:
        yield f"{piece} is said to have {piece.movements_made} movements; {made} were recorded."
