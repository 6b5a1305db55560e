"""Pieces of hose, compared with the movements that were recorded of them."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Sum, Window
from django.db.models.functions import RowNumber

from shop.ledger.checking import register_consistency_check
from shop.stock.models import Piece, PieceMovement

BATCH = 500  # pieces in memory at a time


def register() -> None:
    """Add the checks of this app to `check_ledger`."""
    register_consistency_check("stock.pieces", pieces_that_disagree)


def pieces_that_disagree() -> Iterator[str]:
    """A sentence for each piece whose movements don't add up, or that has another length than they say."""
    newest = PieceMovement.objects.filter(piece=OuterRef("pk"))
    ends_as_said = Exists(newest.filter(number=OuterRef("movements_made"), balance=OuterRef("length_left")))
    goes_on = Exists(newest.filter(number__gt=OuterRef("movements_made")))
    doubtful = Piece.objects.filter(~ends_as_said | goes_on | Q(pk__in=_with_a_movement_amiss()))
    for piece in doubtful.order_by("pk").prefetch_related("movements").iterator(chunk_size=BATCH):
        yield from _disagreements(piece)


def _with_a_movement_amiss() -> "QuerySet[PieceMovement, Any]":
    """The keys of pieces with a movement that does not go on from those before it."""
    over: dict[str, Any] = {"partition_by": "piece", "order_by": "number"}
    movements = PieceMovement.objects.annotate(
        place=Window(RowNumber(), **over), left=Window(Sum("change"), **over)
    )
    amiss = movements.filter(~Q(number=F("place")) | ~Q(balance=F("left")))
    return amiss.order_by().values_list("piece")


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
