"""Walking a chain from entry to entry."""

import json
from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any

from django.db.models import Count, Max

from shop.ledger.canonical import GENESIS, canonical, private_hash
from shop.ledger.checking.glance import steps_after
from shop.ledger.checking.records import UNREADABLE, Rows, record_faults, rows_of
from shop.ledger.checking.results import ChainEnd, Checkpoint, Fault
from shop.ledger.checking.seals import SealWatch
from shop.ledger.facts import PRIVATE
from shop.ledger.misuse import NotRecordable
from shop.ledger.models import Chain, Entry, PrivateText
from shop.ledger.registry import is_registered
from shop.ledger.verbs import ERASED

BATCH = 2000  # entries in memory at a time


def chain_ends() -> list[ChainEnd]:
    """The end of every chain; the workshop may go on writing, the walk goes as far as here."""
    chains = Chain.objects.annotate(last=Max("entries__number", default=0), count=Count("entries"))
    rows = chains.order_by("site").values_list("pk", "site", "length", "head", "last", "count")
    return [ChainEnd(*row) for row in rows]


def chain_faults(
    end: ChainEnd, start: Checkpoint | None, watch: SealWatch, reach: Callable[[str, Checkpoint], None]
) -> Iterator[Fault]:
    """What is wrong in the chain, in its order; `reach` is told how far it has been found right."""
    if start is not None:
        yield from _start_faults(end, start)
        yield from watch.pass_over(start.number)
    at = start or Checkpoint(0, GENESIS)
    size = BATCH
    while at.number < end.length:
        try:
            steps = steps_after(end, at, size)
            doubtful = _Doubtful([step.key for step in steps if not step.is_right])
        except UNREADABLE as error:
            if size == 1:
                yield Fault(f"it or its record can't be read ({error}).", end.site, at.number + 1)
                return
            size = 1  # to find out which it is
            continue
        if not steps:
            yield Fault(f"it is missing, and so are all up to {end.length}.", end.site, at.number + 1)
            return
        for step in steps:
            if not step.is_right:
                yield from doubtful.faults(end.site, step.key, at)
            if watch.pass_by(step.hash):
                yield from watch.faults()
            at = Checkpoint(step.number, step.hash)
        reach(end.site, at)
    yield from _end_faults(end, at)
    yield from watch.pass_the_end()


class _Doubtful:
    """Entries that are not right at a glance, with their records and private texts."""

    def __init__(self, keys: Collection[int]) -> None:
        self._entries = Entry.objects.in_bulk(keys) if keys else {}
        self._rows = rows_of(self._entries.values())
        self._texts: dict[int, dict[str, PrivateText]] = {key: {} for key in keys}
        for text in PrivateText.objects.filter(entry__in=keys).select_related("erased_by"):
            self._texts[text.entry_id][text.name] = text

    def faults(self, site: str, key: int, before: Checkpoint) -> Iterator[Fault]:
        """What is wrong with one of them."""
        entry = self._entries[key]
        yield from _entry_faults(site, entry, before)
        yield from _fact_faults(site, entry, self._texts[key], self._rows)


def _start_faults(end: ChainEnd, start: Checkpoint) -> Iterator[Fault]:
    """Whether the entry that an earlier check had reached is still the same."""
    entry = Entry.objects.filter(chain_id=end.key, number=start.number).first()
    if entry is None:
        yield Fault("an earlier check found it right; now it is missing.", end.site, start.number)
    elif not entry.hash == _hash_of(entry, end.site) == start.hash:
        yield Fault("it is not as an earlier check found it.", end.site, start.number)


def _end_faults(end: ChainEnd, at: Checkpoint) -> Iterator[Fault]:
    if end.last != end.length or end.count != end.length:
        yield Fault(
            f"its head says that it ends at entry {end.length}, "
            f"but it has {end.count} entries and ends at entry {end.last}.",
            end.site,
        )
    if end.head != at.hash:
        yield Fault("the head of the chain has another hash than this last entry.", end.site, at.number)


def _entry_faults(site: str, entry: Entry, before: Checkpoint) -> Iterator[Fault]:
    """What is wrong with the entry's place and hash."""
    if entry.number != before.number + 1:
        yield Fault(f"it is missing; entry {entry.number} comes next.", site, before.number + 1)
    if entry.previous != before.hash:
        yield Fault(
            f"it does not continue entry {before.number}: one of the two was changed, moved or put in.",
            site,
            entry.number,
        )
    if entry.hash != _hash_of(entry, site):
        yield Fault("it was changed after it was written: its hash does not fit.", site, entry.number)


def _fact_faults(site: str, entry: Entry, texts: Mapping[str, PrivateText], rows: Rows) -> Iterator[Fault]:
    """What is wrong with what the entry tells, with its private texts and with its record."""
    if not is_registered(entry.verb):
        yield Fault(f"{entry.verb!r} is no verb of this program.", site, entry.number)
        return
    told = _told(entry)
    if told is None:
        yield Fault("its facts are not canonical JSON.", site, entry.number)
        return
    if texts or PRIVATE in told:
        yield from _private_faults(site, entry, texts, told.get(PRIVATE, {}))
    yield from record_faults(site, entry, told, rows)


def _hash_of(entry: Entry, site: str) -> str | None:
    try:
        return entry.compute_hash(site)
    except NotRecordable:
        return None  # a column holds what can't have been hashed, so no hash fits


def _told(entry: Entry) -> dict[str, Any] | None:
    """The facts, or None if they are not in the one form in which they can have been written."""
    try:
        told = entry.told
        return told if isinstance(told, dict) and canonical(told) == entry.facts else None
    except (json.JSONDecodeError, NotRecordable):
        return None


def _private_faults(
    site: str, entry: Entry, texts: Mapping[str, PrivateText], hashes: Mapping[str, str | None]
) -> Iterator[Fault]:
    given = {name for name, digest in hashes.items() if digest is not None}
    for name in sorted(given - set(texts)):
        yield Fault(f"its private text {name} is missing.", site, entry.number, name)
    for name in sorted(set(texts) - given):
        yield Fault(f"it has a private text {name} that it does not tell of.", site, entry.number, name)
    for name in sorted(given & set(texts)):
        text = texts[name]
        if text.value is None or text.salt is None:
            if not _was_erased(site, entry, text):
                what = f"its private text {name} was erased without an entry that says so."
                yield Fault(what, site, entry.number, name)
        elif private_hash(text.salt, text.value) != hashes[name]:
            yield Fault(f"its private text {name} was changed.", site, entry.number, name)


def _was_erased(site: str, entry: Entry, text: PrivateText) -> bool:
    act = text.erased_by
    if act is None or act.verb != ERASED.name:
        return False
    return [site, entry.number, text.name] in act.told.get("erased", [])
