"""Comparing records with what their entries say of them."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Exists, OuterRef

from shop.ledger.canonical import canonical
from shop.ledger.checking.results import Fault
from shop.ledger.facts import PRIVATE, column_fact, record_columns, row_facts
from shop.ledger.misuse import NotRecordable
from shop.ledger.models import Chain, Entry, PrivateText, Record
from shop.ledger.registry import find_verb, is_registered, verbs_of
from shop.ledger.triggers import record_models

# What Python raises over a value that no program of ours can have written into its column.
UNREADABLE = (ValueError, TypeError, ArithmeticError, ValidationError, NotRecordable)

Rows = Mapping[type[Record], Mapping[int, Record]]


def rows_of(entries: Collection[Entry]) -> Rows:
    """The records of these entries, by their table and key: one query per table."""
    verbs = {entry.verb for entry in entries if is_registered(entry.verb)}
    tables = {table for verb in verbs if (table := find_verb(verb).record) is not None}
    keys = [entry.pk for entry in entries]
    return {table: table._base_manager.in_bulk(keys) for table in tables}


def record_faults(site: str, entry: Entry, told: Mapping[str, Any], rows: Rows) -> Iterator[Fault]:
    """What is wrong with the record that this entry tells of."""
    table = find_verb(entry.verb).record
    if table is None:
        return
    label = table._meta.label
    row = rows[table].get(entry.pk)
    if row is None:
        yield Fault(f"its record in {label} is missing.", site, entry.number)
        return
    if entry.version not in table.FIELDS:
        yield Fault(f"{label} has no version {entry.version}.", site, entry.number)
        return
    names = table.FIELDS[entry.version]
    if set(told) - {PRIVATE} != set(names):
        yield Fault(f"it does not tell the columns of {label}, version {entry.version}.", site, entry.number)
        return
    said = {name: told.get(name) for name in record_columns(table)}  # a column that came later is empty
    if _all_shown(row, said) == canonical(said):
        return
    for name, value in said.items():
        found = _shown(row, name)
        if found != canonical(value):
            what = f"{name} of its record in {label} is {found}, the ledger says {canonical(value)}."
            yield Fault(what, site, entry.number, name)


def _all_shown(row: Record, names: Iterable[str]) -> str | None:
    try:
        return canonical(row_facts(row, names))
    except UNREADABLE:
        return None


def _shown(row: Record, name: str) -> str:
    try:
        return canonical(column_fact(row, name))
    except UNREADABLE as error:
        return f"unreadable ({error})"


def stray_faults() -> Iterator[Fault]:
    """Rows that no entry tells of.

    The walk has found one row for each entry with a record; since a record's key is its entry, none
    left over here means that both are equally many.
    """
    for table in record_models():
        told = Entry.objects.filter(pk=OuterRef("pk"), verb__in=verbs_of(table))
        for key in table._base_manager.exclude(Exists(told)).order_by("pk").values_list("pk", flat=True)[:1]:
            yield Fault(f"{table._meta.label} has a row that no entry tells of, with the key {key}.")
    chainless = Entry.objects.exclude(Exists(Chain.objects.filter(pk=OuterRef("chain_id"))))
    for key in chainless.order_by("pk").values_list("pk", flat=True)[:1]:
        yield Fault(f"There is an entry that belongs to no chain, with the key {key}.")
    orphans = PrivateText.objects.exclude(Exists(Entry.objects.filter(pk=OuterRef("entry_id"))))
    for key in orphans.order_by("pk").values_list("pk", flat=True)[:1]:
        yield Fault(f"There is a private text that belongs to no entry, with the key {key}.")
