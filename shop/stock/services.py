"""Receiving lots and moving lengths of hose."""

import datetime
from collections.abc import Sequence
from decimal import Decimal

from django.db import transaction

from shop.engineering.numbers import plain
from shop.ledger.services import save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.stock import verbs
from shop.stock.editions import require_its_edition
from shop.stock.models import Lot, LotCondemnation, MovementKind, Piece, PieceMovement
from shop.stock.refusals import (
    CondemnedAlready,
    CountFarOff,
    LotCondemned,
    MadeInTheFuture,
    NotEnoughLeft,
    NothingReceived,
    NotHose,
    UndatedHose,
    WhyCondemned,
)

DOUBTED_FROM_MM = Decimal(1000)  # and from a fifth of the book: common practice, no source
DOUBTED_SHARE = Decimal("0.2")


@transaction.atomic
def receive_lot(*, actor: User, lot: Lot) -> Lot:
    """Book in fittings or ferrules of one batch.

    Raises `NothingReceived` without a number of pieces, `MadeInTheFuture`.
    """
    require(actor, Permission.RECEIVE_STOCK)
    if not lot.quantity:
        raise NothingReceived(what="The number of pieces")
    return _write_lot(actor, lot)


@transaction.atomic
def receive_hose(
    *,
    actor: User,
    lot: Lot,
    lengths_mm: Sequence[Decimal],
    place: str = "",
    sure: frozenset[str] = frozenset(),
) -> list[Piece]:
    """Book in hose of one batch, as one piece for each of the lengths (mm).

    Raises `NotHose`, `NothingReceived` if there is no length, `MadeInTheFuture`, `OutsideEdition`, and
    doubts hose without a date (`UndatedHose`), and such hose of a type that another edition rates lower
    (`MayBeOlderEdition`), until somebody is sure of it.
    """
    require(actor, Permission.RECEIVE_STOCK)
    lot.full_clean(exclude=["entry"])
    if lot.hose is None:
        raise NotHose(item=lot.item)
    if not lengths_mm:
        raise NothingReceived(what="The length of the hose")
    if not lot.made_printed and UndatedHose().code not in sure:
        raise UndatedHose
    require_its_edition(lot.hose, lot.made, sure)
    _write_lot(actor, lot)
    pieces = []
    for length_mm in lengths_mm:
        piece = Piece(lot=lot, length_left=Decimal(0), place=place)
        piece.full_clean()
        piece.save()
        move_piece(actor=actor, piece=piece, kind=MovementKind.RECEIVED, change_mm=length_mm)
        pieces.append(piece)
    return pieces


@transaction.atomic
def condemn_lot(*, actor: User, lot: Lot, reason: str) -> LotCondemnation:
    """Let nothing be made from a lot any more, for good. Raises `CondemnedAlready` and `WhyCondemned`.

    What was made from it is `shop.trace.in_question`'s to say.
    """
    require(actor, Permission.CONDEMN)
    Lot.objects.select_for_update(no_key=True, of=("self",)).get(pk=lot.pk)
    if LotCondemnation.objects.filter(lot=lot).exists():
        raise CondemnedAlready(lot=lot)
    if not reason.strip():
        raise WhyCondemned
    return write_record(
        actor=actor,
        verb=verbs.LOT_CONDEMNED,
        record=LotCondemnation(lot=lot),
        subject=lot,
        private={"reason": reason.strip()},
    )


def require_not_condemned(*lots: Lot | None) -> None:
    """Raise `LotCondemned` if one of them is, whenever it was condemned."""
    keys = [lot.pk for lot in lots if lot is not None]
    condemned = LotCondemnation.objects.filter(lot__in=keys).select_related("lot").first()
    if condemned is not None:
        raise LotCondemned(lot=condemned.lot)


@transaction.atomic
def count_piece(
    *, actor: User, piece: Piece, measured_mm: Decimal, sure: frozenset[str] = frozenset()
) -> PieceMovement:
    """Record that there is more or less on a piece than the book says (rule 10: a record, not a stop).

    Doubts what is far from the book (`CountFarOff`) until somebody is sure of it.
    """
    require(actor, Permission.MAKE)
    piece.refresh_from_db(from_queryset=Piece.objects.select_for_update(no_key=True))
    change_mm = measured_mm - piece.length_left
    doubt = CountFarOff(measured=plain(measured_mm), left=plain(piece.length_left))
    is_far_off = abs(change_mm) > max(DOUBTED_FROM_MM, DOUBTED_SHARE * piece.length_left)
    if is_far_off and doubt.code not in sure:
        raise doubt
    return move_piece(actor=actor, piece=piece, kind=MovementKind.COUNTED, change_mm=change_mm)


@transaction.atomic
def place_piece(*, actor: User, piece: Piece, place: str) -> Piece:
    """Write down where a piece is kept."""
    require(actor, Permission.MAKE)
    # Read anew under the lock: somebody may have cut from it since the person looked.
    piece.refresh_from_db(from_queryset=Piece.objects.select_for_update(no_key=True))
    piece.place = place
    return save_noted(actor=actor, verb=verbs.PIECE_PLACED, instance=piece)


@transaction.atomic
def move_piece(
    *,
    actor: User,
    piece: Piece,
    kind: MovementKind,
    change_mm: Decimal,
    happened_at: datetime.datetime | None = None,
    done_by: User | None = None,
) -> PieceMovement:
    """Change what is left on a piece by `change_mm` (negative: taken off) and record it.

    The one door to a piece's length: receiving, cutting and counting come through here. `happened_at` and
    `done_by` are for what is written down later, or by somebody else. Raises `NotEnoughLeft`.
    """
    piece.refresh_from_db(from_queryset=Piece.objects.select_for_update(no_key=True))
    balance = piece.length_left + change_mm
    if balance < 0:
        raise NotEnoughLeft(piece=piece, left=piece.length_left, wanted=-change_mm)
    piece.length_left = balance
    piece.movements_made += 1
    piece.save()
    return write_record(
        actor=actor,
        verb=verbs.PIECE_MOVED,
        record=PieceMovement(
            piece=piece, number=piece.movements_made, kind=kind, change=change_mm, balance=balance
        ),
        subject=piece,
        happened_at=happened_at,
        done_by=done_by,
    )


def _write_lot(actor: User, lot: Lot) -> Lot:
    lot.full_clean(exclude=["entry"])
    if lot.made is not None and lot.made.first_day > today():
        raise MadeInTheFuture(printed=lot.made_printed)
    return write_record(actor=actor, verb=verbs.LOT_RECEIVED, record=lot)
