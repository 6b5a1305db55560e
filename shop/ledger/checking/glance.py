"""Telling at a glance which entries are right: of nearly all of them, two texts say so to the letter.

An entry is right if its row has the hash of what it says, and if its facts are what its record says now.
The others are in doubt: `chains` and `records` look at them column by column and name what is wrong, if
anything is.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from django.db import connection

from shop.ledger.canonical import ENTRY_PARTS, canonical, sha256
from shop.ledger.checking.records import UNREADABLE
from shop.ledger.checking.results import ChainEnd, Checkpoint
from shop.ledger.facts import PRIVATE, record_columns
from shop.ledger.models import Entry, PrivateText, Record
from shop.ledger.registry import find_verb, is_registered
from shop.ledger.stored import quoted, stored_form, texts_between, writer

Table = type[Record]
Columns = tuple[str, ...]
_HASHED = sorted({*ENTRY_PARTS, "chain", "previous", "done_by"})
_DONE_BY = _HASHED.index("done_by")


class Step(NamedTuple):
    """An entry of a chain that is walked."""

    key: int
    number: int
    hash: str
    is_right: bool


def steps_after(end: ChainEnd, at: Checkpoint, size: int) -> list[Step]:
    """The next entries of the chain, so many at the most."""
    rows = _rows_after(end, at.number, size)
    if not rows:
        return []
    keys = [row[0] for row in rows]
    first, last = min(keys), max(keys)
    texts = PrivateText.objects.filter(entry__gte=first, entry__lte=last)
    with_texts = set(texts.values_list("entry_id", flat=True))
    told = {kind: _told(*kind) for kind in {row[-2:] for row in rows}}
    shown = {one: _shown(*one, first, last, size) for one in set(told.values()) if one is not None}
    hash_of = _hashing(end.site)
    steps, before = [], (at.number + 1, at.hash)
    for key, digest, *said in rows:
        _, _, _, facts, _, number, previous, _, _, verb, version = said
        record = told[verb, version]
        is_right = (
            (number, previous) == before
            and key not in with_texts
            and (_is_a_note(verb, facts) if record is None else facts == shown[record].get(key))
            and hash_of(said) == digest
        )
        steps.append(Step(key, number, digest, is_right))
        before = number + 1, digest
    return steps


def _rows_after(end: ChainEnd, number: int, size: int) -> list[tuple[Any, ...]]:
    """Key, hash and what is hashed of the next entries, as the database's driver gives them."""
    entries = Entry.objects.filter(chain_id=end.key, number__gt=number, number__lte=end.length)
    rows = entries.order_by("number").values_list("pk", "hash", *_HASHED)[:size]
    with connection.cursor() as cursor:
        cursor.execute(*rows.query.sql_with_params())
        return list(cursor.fetchall())


def _told(verb: str, version: int) -> tuple[Table, Columns] | None:
    """The table of records that such entries tell of, and the columns that they tell of."""
    table = find_verb(verb).record if is_registered(verb) else None
    columns = None if table is None else table.FIELDS.get(version)
    if table is None or columns is None or not set(columns) <= set(record_columns(table)):
        return None
    return table, columns


def _shown(table: Table, columns: Columns, first: int, last: int, size: int) -> Mapping[int, str]:
    """What the records of these entries say in these columns, where others are empty, which came later.

    Nothing at all if one of them can't be read.
    """
    later = tuple(set(record_columns(table)) - set(columns))
    empty = canonical(dict.fromkeys(later))
    try:
        texts = texts_between(table, columns, first, last, most=size)
        rest = texts_between(table, later, first, last, most=size) if later else {}
    except UNREADABLE:
        return {}
    return {key: text for key, text in texts.items() if rest.get(key, empty) == empty}


def _is_a_note(verb: str, facts: str) -> bool:
    """Whether these are the facts of an entry without a record, in the one form that they can have."""
    if not is_registered(verb) or find_verb(verb).record is not None:
        return False
    try:
        told = json.loads(facts)
        return isinstance(told, dict) and PRIVATE not in told and canonical(told) == facts
    except UNREADABLE:
        return False


def _hashing(site: str) -> Callable[[Sequence[Any]], str | None]:
    """Works out the hash of an entry from what is hashed, as it is stored; None for what no entry can say."""
    chain = quoted(site)
    forms = {name: stored_form(Entry, name) for name in _HASHED} | {"chain": lambda _: chain}
    for_another = writer(forms)
    for_oneself = writer({name: form for name, form in forms.items() if name != "done_by"})

    def hash_of(said: Sequence[Any]) -> str | None:
        try:
            if said[_DONE_BY] is None:
                return sha256(for_oneself([*said[:_DONE_BY], *said[_DONE_BY + 1 :]]))
            return sha256(for_another(said))
        except UNREADABLE:
            return None

    return hash_of
