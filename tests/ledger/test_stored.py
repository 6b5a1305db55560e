"""What is written of a row as it is stored is, to the letter, what is written of its instance."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection, transaction

from shop.ledger.canonical import canonical
from shop.ledger.checking import check_ledger
from shop.ledger.facts import noted_columns, record_columns, row_facts
from shop.ledger.misuse import NotRecordable
from shop.ledger.models import Entry
from shop.ledger.services import write_record
from shop.ledger.stored import texts_between
from shop.people.models import User
from tests.ledger.drawer import behind_the_back, fill_drawer, keep
from tests.ledger.testapp import verbs
from tests.ledger.testapp.models import Tool, Wear

pytestmark = pytest.mark.django_db

WHOLE_SECOND = datetime(2026, 7, 1, 8, tzinfo=UTC)
ELSEWHERE = datetime(2026, 7, 1, 8, 0, 0, 5, tzinfo=timezone(timedelta(hours=2)))
ODD = 'α "90°" \\ \n\x07 %s'


@pytest.mark.parametrize(
    "columns",
    [
        {},
        {"bore": Decimal("0.396875"), "pressure": Decimal("275.5")},
        {"bore": Decimal("-3"), "pressure": Decimal(0)},
        {"weight": Decimal("1.5"), "checked_on": date(2026, 11, 5)},
        {"weight": Decimal("-0.001"), "last": True},
        {"seen_at": WHOLE_SECOND},
        {"seen_at": ELSEWHERE},
        {"parts": [{"b": 1, "a": [None, True, ODD]}], "finish": ODD},
        {"parts": {}, "finish": ""},
    ],
)
def test_every_kind_of_value_is_written_as_that_of_an_instance(bench: User, columns: dict[str, Any]) -> None:
    wear = Wear(**{"tool": keep(bench), "attempt": 1, "bore": Decimal(24)} | columns)
    with transaction.atomic():
        wear = write_record(actor=bench, verb=verbs.WORN, record=wear)
    names = record_columns(Wear)
    stored = texts_between(Wear, names, wear.pk, wear.pk, most=1)
    assert stored == {wear.pk: canonical(row_facts(Wear.objects.get(), names))} == {wear.pk: wear.entry.facts}
    assert check_ledger().is_right


def test_an_entry_and_a_row_that_may_change_are_written_so_too(bench: User) -> None:
    tool = fill_drawer(bench)
    names = tuple(field.name for field in Entry._meta.concrete_fields)
    told = {entry.pk: canonical(row_facts(entry, names)) for entry in Entry.objects.all()}
    assert texts_between(Entry, names, 1, most=100) == told
    columns = noted_columns(Tool)
    assert texts_between(Tool, columns, 1, most=100) == {tool.pk: canonical(row_facts(tool, columns))}


def test_rows_come_in_the_order_of_their_keys_and_not_too_many(bench: User) -> None:
    first, second, third = (keep(bench, mark).pk for mark in ("T1", "T2", "T3"))
    assert list(texts_between(Tool, ("mark",), 1, most=2)) == [first, second]
    assert texts_between(Tool, ("mark",), second + 1, most=2) == {third: '{"mark":"T3"}'}
    assert list(texts_between(Tool, ("mark",), first, second, most=9)) == [first, second]


@pytest.mark.parametrize("number", [2**53, -(2**53)])
def test_a_number_that_the_ledger_can_not_hold_is_not_written(bench: User, number: int) -> None:
    tool = keep(bench)
    behind_the_back("UPDATE drawer_tool SET bore = %s", number)
    with pytest.raises(NotRecordable):
        texts_between(Tool, ("bore",), tool.pk, most=1)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL holds whole numbers alone there")
def test_a_fraction_in_a_column_of_whole_numbers_is_named(bench: User) -> None:
    fill_drawer(bench)
    behind_the_back("UPDATE drawer_wear SET bore = bore + 0.5 WHERE attempt = 3")
    fault = check_ledger().faults[0]
    assert (fault.number, fault.field) == (5, "bore")
