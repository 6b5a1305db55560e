"""The ledger's entries about one assembly, with the people behind their numbers."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Generic, TypeVar

from django.db.models import Q

from shop.core.prepared import Prepared, fill
from shop.ledger.facts import PRIVATE
from shop.ledger.models import Entry, PrivateText, Record
from shop.people.names import names_of

R = TypeVar("R", bound=Record)

ERASED = "erased"


@dataclass(frozen=True, slots=True)
class Person:
    """Who did it: the number is what the ledger knows; the name may have been erased."""

    number: int
    name: str

    def __str__(self) -> str:
        is_unknown = self.name == f"number {self.number}"
        return self.name if is_unknown else f"{self.name} ({self.number})"


@dataclass(frozen=True, slots=True)
class Told:
    """One entry of the ledger, for reading: `by` has done it; who else wrote it down is `entered_by`."""

    entry: Entry
    by: Person
    entered_by: Person | None = None

    @property
    def happened_at(self) -> datetime:
        return self.entry.happened_at

    @property
    def recorded_at(self) -> datetime:
        return self.entry.recorded_at

    def private(self, name: str) -> str:
        """A text beside the chain: 'erased' if it was, empty if there was none."""
        text = self.entry.private(name)
        was_given = self.entry.told.get(PRIVATE, {}).get(name) is not None
        return text or (ERASED if was_given else "")


@dataclass(frozen=True, slots=True)
class Written(Generic[R]):
    """A record with its entry."""

    record: R
    told: Told

    @property
    def by(self) -> Person:
        return self.told.by


def corrected_number(corrects: int | None, every: "Iterable[Written[Any]]") -> int | None:
    """The number, among these records, of the one with that key; None for what corrects none."""
    return next((written.record.number for written in every if written.record.pk == corrects), None)


class Story:
    """Entries by their key, read in three queries whatever their number."""

    def __init__(self, keys: Collection[int], subjects: Collection[str]) -> None:
        entries = _ENTRIES.ask([*keys], [*subjects])
        fill(entries, "private_texts", _TEXTS.ask([entry.pk for entry in entries]), of="entry_id")
        people = _people(number for entry in entries for number in (entry.actor_number, entry.doer_number))
        self._told = {
            entry.pk: Told(
                entry,
                by=people[entry.doer_number],
                entered_by=None if entry.done_by is None else people[entry.actor_number],
            )
            for entry in entries
        }

    @property
    def entries(self) -> tuple[Told, ...]:
        """All of them, in the order in which they were recorded."""
        return tuple(self._told.values())

    def of(self, record: R) -> Written[R]:
        """The record with its entry, which the story was told to read."""
        told = self._told[record.pk]
        record.entry = told.entry
        return Written(record, told)


_ENTRIES = Prepared(
    lambda keys, subjects: (
        Entry.objects.filter(Q(pk__in=keys) | Q(subject__in=subjects)).select_related("chain").order_by("pk")
    )
)
_TEXTS = Prepared(lambda keys: PrivateText.objects.filter(entry__in=keys).order_by("pk"))


def _people(numbers: Iterable[int]) -> Mapping[int, Person]:
    return {number: Person(number, name) for number, name in names_of(numbers).items()}
