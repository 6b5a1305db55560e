"""What is left on a piece is the sum of its movements, and never below zero (rule 10)."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.ledger.services import history
from shop.people.refusals import NotAllowed
from shop.stock.models import MovementKind, Piece
from shop.stock.refusals import CountFarOff, NotEnoughLeft
from shop.stock.services import count_piece, move_piece, place_piece
from tests.world import World

FAR_OFF = frozenset({"count_far_off"})


def cut(world: World, piece: Piece, length_mm: Decimal) -> None:
    move_piece(actor=world.bench, piece=piece, kind=MovementKind.CUT, change_mm=-length_mm)


def test_a_cut_takes_its_length_off_once(world: World) -> None:
    cut(world, world.reel, Decimal(880))
    reel = Piece.objects.get()
    assert reel.length_left == Decimal(49_120)
    assert [(m.number, m.change, m.balance) for m in reel.movements.all()] == [
        (1, Decimal(50_000), Decimal(50_000)),
        (2, Decimal(-880), Decimal(49_120)),
    ]


def test_a_piece_may_be_used_up_to_the_last_nanometre(world: World) -> None:
    cut(world, world.reel, Decimal("49999.999999"))
    assert world.reel.length_left == Decimal("0.000001")
    cut(world, world.reel, Decimal("0.000001"))
    assert world.reel.length_left == 0


def test_more_than_is_left_is_refused_with_what_is_left(world: World) -> None:
    with pytest.raises(NotEnoughLeft) as refused:
        cut(world, world.reel, Decimal("50000.1"))
    assert "has 50000 mm left by the book; 50000.1 mm are needed" in refused.value.what
    assert Piece.objects.get().length_left == Decimal(50_000)
    assert world.reel.movements.count() == 1


def test_a_length_known_from_before_somebody_elses_cut_is_read_again(world: World) -> None:
    stale = Piece.objects.get()
    cut(world, world.reel, Decimal(20_000))
    cut(world, stale, Decimal(20_000))
    assert Piece.objects.get().length_left == Decimal(10_000)


@pytest.mark.parametrize(("measured", "change"), [("49250", "-750"), ("50120.5", "120.5"), ("50000", "0")])
def test_the_reel_shows_more_or_less_than_the_book(world: World, measured: str, change: str) -> None:
    movement = count_piece(actor=world.bench, piece=world.reel, measured_mm=Decimal(measured))
    assert (movement.kind, movement.change, movement.balance) == (
        MovementKind.COUNTED,
        Decimal(change),
        Decimal(measured),
    )
    assert Piece.objects.get().length_left == Decimal(measured)


@pytest.mark.parametrize("measured", ["49.12", "61000", "39000"])
def test_a_count_far_from_the_book_is_asked_about(world: World, measured: str) -> None:
    with pytest.raises(CountFarOff) as doubted:
        count_piece(actor=world.bench, piece=world.reel, measured_mm=Decimal(measured))
    assert f"{measured} mm is far from the 50000 mm" in doubted.value.what
    assert Piece.objects.get().length_left == Decimal(50_000)
    count_piece(actor=world.bench, piece=world.reel, measured_mm=Decimal(measured), sure=FAR_OFF)
    assert Piece.objects.get().length_left == Decimal(measured)


def test_a_remnant_of_less_than_a_metre_is_counted_without_a_question(world: World) -> None:
    cut(world, world.reel, Decimal(49_300))
    count_piece(actor=world.bench, piece=world.reel, measured_mm=Decimal(0))
    assert Piece.objects.get().length_left == 0


def test_an_auditor_does_not_count(world: World) -> None:
    with pytest.raises(NotAllowed):
        count_piece(actor=world.auditor, piece=world.reel, measured_mm=Decimal(1))


def test_where_a_piece_is_kept_is_noted_with_before_and_after(world: World) -> None:
    place_piece(actor=world.bench, piece=world.reel, place="rack 4")
    newest = history(world.reel).last()
    assert newest is not None
    assert newest.told == {"before": {"place": ""}, "after": {"place": "rack 4"}}


def test_no_service_and_no_sql_brings_a_piece_below_zero(world: World) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Piece.objects.update(length_left=Decimal(-1))
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE stock_piecemovement SET balance = balance - 1")


LENGTHS = st.decimals(min_value=Decimal(0), max_value=Decimal(60_000), places=3)
ACTS = st.lists(st.tuples(st.sampled_from(["cut", "count"]), LENGTHS), max_size=12)


@given(acts=ACTS)
@settings(max_examples=40)
def test_whatever_is_cut_and_counted_the_balance_is_the_sum_and_never_below_zero(
    world: World, acts: list[tuple[str, Decimal]]
) -> None:
    with transaction.atomic():
        for act, length in acts:
            if act == "count":
                count_piece(actor=world.bench, piece=world.reel, measured_mm=length, sure=FAR_OFF)
            elif length > world.reel.length_left:
                with pytest.raises(NotEnoughLeft):
                    cut(world, world.reel, length)
            else:
                cut(world, world.reel, length)
        reel = Piece.objects.get()
        movements = list(reel.movements.all())
        balances = [sum((m.change for m in movements[: n + 1]), Decimal(0)) for n in range(len(movements))]
        assert [m.balance for m in movements] == balances
        assert reel.length_left == balances[-1]
        assert min(balances) >= 0
        assert [m.number for m in movements] == list(range(1, reel.movements_made + 1))
        transaction.set_rollback(True)
    world.reel.refresh_from_db()


def test_placing_a_piece_does_not_bring_back_what_was_cut_from_it_meanwhile(world: World) -> None:
    looked_at = Piece.objects.get(pk=world.reel.pk)
    count_piece(actor=world.bench, piece=world.reel, measured_mm=Decimal(40_000))
    place_piece(actor=world.bench, piece=looked_at, place="rack 4")
    assert Piece.objects.get().length_left == 40_000
