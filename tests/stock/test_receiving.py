"""What came in together is booked in as a lot; hose as one piece for each reel."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.engineering.dates import last_day_to_fit
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.stock.models import Lot, MovementKind
from shop.stock.refusals import MadeInTheFuture, NothingReceived, NotHose, UndatedHose
from shop.stock.services import receive_hose, receive_lot
from tests.world import World

UNDATED = frozenset({"undated_hose"})


def test_a_lot_of_hose_comes_in_as_one_piece_for_each_reel(world: World) -> None:
    lot = Lot(hose=world.hose, batch="T-9", made_printed="2Q26", supplier="Harbour Supply")
    reels = receive_hose(
        actor=world.bench, lot=lot, lengths_mm=[Decimal(50_000), Decimal("12500.5")], place="rack 2"
    )
    assert [(reel.lot, reel.length_left, reel.place) for reel in reels] == [
        (lot, Decimal(50_000), "rack 2"),
        (lot, Decimal("12500.5"), "rack 2"),
    ]
    [movement] = reels[1].movements.all()
    assert (movement.kind, movement.change, movement.balance) == (
        MovementKind.RECEIVED,
        Decimal("12500.5"),
        Decimal("12500.5"),
    )


def test_every_lot_and_piece_has_a_code_of_its_own(world: World) -> None:
    lot = Lot(hose=world.hose, made_printed="2Q26")
    one, other = receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(10), Decimal(10)])
    assert len({lot.code, one.code, other.code}) == 3
    assert (lot.code[0], one.code[0]) == ("K", "P")


def test_the_date_is_kept_as_printed_and_says_until_when_it_may_be_fitted(world: World) -> None:
    lot = world.reel.lot
    assert lot.made is not None
    assert lot.made_printed == f"1Q{today().year}"
    until = last_day_to_fit(lot.made, world.policy.hose_age_months, world.policy.own_quarter_counts)
    assert until == datetime.date(today().year + 4, 3, 31)


def test_undated_hose_is_asked_about_and_then_received(world: World) -> None:
    lot = Lot(hose=world.hose)
    with pytest.raises(UndatedHose):
        receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(5000)])
    assert not Lot.objects.filter(code=lot.code).exists()
    [reel] = receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(5000)], sure=UNDATED)
    assert reel.lot.made is None


@pytest.mark.parametrize("printed", ["5Q26", "spring 2026", "1206", "13/26"])
def test_a_date_that_cannot_be_read_is_refused(world: World, printed: str) -> None:
    lot = Lot(hose=world.hose, made_printed=printed)
    with pytest.raises(ValidationError) as refused:
        receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(5000)])
    assert set(refused.value.message_dict) == {"made_printed"}


def test_a_date_that_has_not_come_yet_is_refused(world: World) -> None:
    next_year = f"1Q{today().year + 1}"
    with pytest.raises(MadeInTheFuture):
        receive_hose(
            actor=world.bench, lot=Lot(hose=world.hose, made_printed=next_year), lengths_mm=[Decimal(1)]
        )
    with pytest.raises(MadeInTheFuture):
        receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, made_printed=next_year, quantity=1))


def test_fittings_and_ferrules_come_in_by_number(world: World) -> None:
    lot = receive_lot(actor=world.bench, lot=Lot(ferrule=world.ferrule, batch="H-2", quantity=250))
    assert (lot.item, lot.quantity, lot.made) == (world.ferrule, 250, None)
    assert lot.actor_number == world.bench.number


@pytest.mark.parametrize("quantity", [None, 0])
def test_no_fittings_are_not_a_lot(world: World, quantity: int | None) -> None:
    with pytest.raises(NothingReceived):
        receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=quantity))


def test_hose_without_a_length_is_not_a_lot(world: World) -> None:
    with pytest.raises(NothingReceived):
        receive_hose(actor=world.bench, lot=Lot(hose=world.hose, made_printed="2Q26"), lengths_mm=[])


def test_fittings_have_no_length(world: World) -> None:
    with pytest.raises(NotHose):
        receive_hose(actor=world.bench, lot=Lot(fitting=world.fitting), lengths_mm=[Decimal(1)])


def test_a_lot_is_of_one_thing(world: World) -> None:
    mixed = Lot(fitting=world.fitting, ferrule=world.ferrule, quantity=10)
    with pytest.raises(ValidationError, match="one hose, one fitting or one ferrule"):
        receive_lot(actor=world.bench, lot=mixed)


def test_a_lot_of_nothing_is_refused(world: World) -> None:
    with pytest.raises(ValidationError, match="one hose, one fitting or one ferrule"):
        receive_hose(actor=world.bench, lot=Lot(made_printed="2Q26"), lengths_mm=[Decimal(1)])


def test_only_people_of_counter_and_bench_receive(world: World) -> None:
    with pytest.raises(NotAllowed):
        receive_lot(actor=world.inspector, lot=Lot(fitting=world.fitting, quantity=1))
