"""Worksheets kept with an order line, and taken off again."""

import pytest

from shop.ledger.models import Entry
from shop.ledger.services import history
from shop.orders.models import AttachedWorksheet, OrderLine, WorksheetRemoval
from shop.orders.refusals import (
    LineCancelled,
    WorksheetAttachedBefore,
    WorksheetNotWorkedOut,
    WorksheetTakenOffBefore,
)
from shop.orders.services import cancel_line
from shop.orders.worksheets import attach_worksheet, attached_to, take_worksheet_off
from shop.people.refusals import NotAllowed
from tests.assemblies import bench
from tests.world import World

TYPED = [("known", "overall"), ("overall", "930"), ("size", "-8")]
SAYS = "Overall 930 mm, cut to 880 mm."


def attach(world: World, line: OrderLine, **changes: object) -> AttachedWorksheet:
    values = {"actor": world.counter, "worksheet": "length", "typed": TYPED, "says": SAYS}
    return attach_worksheet(line=line, **(values | changes))  # type: ignore[arg-type]  # each test its own


def test_it_keeps_what_was_typed_and_the_answer_of_the_day(world: World) -> None:
    line = world.written_line()
    attach(world, line)
    [kept] = attached_to(line)
    assert (kept.worksheet, kept.typed, kept.says) == ("length", [list(pair) for pair in TYPED], SAYS)
    assert kept.actor_number == world.counter.number


def test_the_line_has_one_entry_for_it(world: World) -> None:
    line = world.written_line()
    before = Entry.objects.count()
    attach(world, line)
    assert Entry.objects.count() == before + 1
    assert [entry.says for entry in history(line)][-1] == "attached a worksheet to an order line"


def test_a_confirmed_line_takes_one_too_and_stays_confirmed_as_it_was(world: World) -> None:
    line = bench.plan(world).run.line
    confirmed = line.resolution
    attach(world, line)
    assert attached_to(line).count() == 1
    assert line.resolution == confirmed


def test_a_cancelled_line_takes_none(world: World) -> None:
    line = world.written_line()
    cancel_line(actor=world.counter, line=line)
    with pytest.raises(LineCancelled):
        attach(world, line)
    assert not AttachedWorksheet.objects.exists()


def test_a_worksheet_without_an_answer_is_not_kept(world: World) -> None:
    with pytest.raises(WorksheetNotWorkedOut):
        attach(world, world.written_line(), says="")
    assert not AttachedWorksheet.objects.exists()


def test_the_same_values_are_kept_once_with_a_line(world: World) -> None:
    line, other = world.written_line(), world.written_line()
    attach(world, line)
    with pytest.raises(WorksheetAttachedBefore) as refused:
        attach(world, line)
    assert refused.value.what.startswith(str(line))
    attach(world, other)
    attach(world, line, worksheet="routing")
    attach(world, line, typed=[*TYPED, ("between", "100")])
    assert attached_to(line).count() == 3


def test_what_was_taken_off_counts_no_more_and_stays_in_the_book(world: World) -> None:
    line = world.written_line()
    kept = attach(world, line)
    take_worksheet_off(actor=world.owner, attached=kept)
    assert not attached_to(line).exists()
    assert AttachedWorksheet.objects.get() == kept
    assert WorksheetRemoval.objects.get().actor_number == world.owner.number
    assert [entry.says for entry in history(line)][-1] == "took a worksheet off an order line"


def test_it_is_taken_off_once(world: World) -> None:
    kept = attach(world, world.written_line())
    take_worksheet_off(actor=world.counter, attached=kept)
    with pytest.raises(WorksheetTakenOffBefore):
        take_worksheet_off(actor=world.counter, attached=kept)


def test_it_may_be_attached_again_after_it_was_taken_off(world: World) -> None:
    line = world.written_line()
    take_worksheet_off(actor=world.counter, attached=attach(world, line))
    again = attach(world, line)
    assert list(attached_to(line)) == [again]


def test_it_is_for_those_who_write_orders(world: World) -> None:
    line = world.written_line()
    with pytest.raises(NotAllowed):
        attach(world, line, actor=world.bench)
    kept = attach(world, line)
    with pytest.raises(NotAllowed):
        take_worksheet_off(actor=world.bench, attached=kept)
    assert list(attached_to(line)) == [kept]
