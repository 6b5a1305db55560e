"""Rows that may change, compared with what was recorded of them."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from django.db import models

from shop.ledger.checking.records import UNREADABLE
from shop.ledger.checking.results import Fault
from shop.ledger.facts import (
    PRIVATE,
    noted_columns,
    private_columns,
    row_facts,
    row_subject,
    subject_of,
)
from shop.ledger.misuse import LedgerMisuse
from shop.ledger.models import Entry
from shop.ledger.registry import all_verbs
from shop.ledger.stored import pages_of

BATCH = 500  # rows, and entries about them, in memory at a time

_checks: dict[str, Callable[[], Iterator[str]]] = {}


def register_consistency_check(name: str, function: Callable[[], Iterator[str]]) -> None:
    """Let `check_ledger` also run `function`, which yields a sentence per row that disagrees."""
    if name in _checks:
        raise LedgerMisuse(f"There is a consistency check named {name!r} already.")
    _checks[name] = function


def consistency_faults() -> Iterator[Fault]:
    """What the registered checks find."""
    for name, function in sorted(_checks.items()):
        try:
            yield from map(Fault, function())
        except UNREADABLE as error:
            yield Fault(f"Rows can't be compared with what was recorded of them, in {name}: {error}")


def noted_rows_that_disagree(model: type[models.Model]) -> Iterator[str]:
    """Sentences about rows that `save_noted` alone writes and that something else has changed.

    For an app to register, with its model: `partial(noted_rows_that_disagree, Hose)`.
    """
    for texts in pages_of(model, noted_columns(model), at_once=BATCH):
        doubtful = model._base_manager.order_by("pk").filter(pk__in=_doubtful(model, texts))
        recorded = _as_noted(model, doubtful)
        for row in doubtful:
            noted, said = recorded[subject_of(row)]
            if not noted and not said:
                yield f"{subject_of(row)} is in no entry of the ledger."
            for name, (found, told) in _differences(row, noted, said).items():
                yield f"{name} of {subject_of(row)} is {found!r}, the ledger says {told!r}."


def _doubtful(model: type[models.Model], texts: Mapping[int, str]) -> list[int]:
    """The keys of rows that are not, to the letter, what their only entry says: that they came to be so."""
    subjects = {row_subject(model, key): key for key in texts}
    told = dict.fromkeys(subjects, "")
    for subject, facts in _notes_of(subjects).values_list("subject", "facts"):
        told[subject] += facts  # of two entries no one JSON object
    return [
        key for subject, key in subjects.items() if told[subject] != f'{{"after":{texts[key]},"before":null}}'
    ]


def _differences(
    row: models.Model, noted: Mapping[str, Any], texts: Mapping[str, str]
) -> dict[str, tuple[Any, Any]]:
    columns = row_facts(row, noted_columns(type(row)))
    tied = {field.name for field in type(row)._meta.many_to_many} & noted.keys()
    keys = {name: sorted(getattr(row, name).values_list("pk", flat=True)) for name in tied}
    private = {name: (columns[name] or "", said) for name, said in texts.items() if name in columns}
    found = {**columns, **keys}
    pairs = {name: (found[name], said) for name, said in noted.items() if name in found}
    return {name: pair for name, pair in {**pairs, **private}.items() if pair[0] != pair[1]}


def _as_noted(
    model: type[models.Model], rows: Iterable[models.Model]
) -> dict[str, tuple[dict[str, Any], dict[str, str]]]:
    """What the ledger last said of each row's columns, and of the private ones that were not erased since."""
    recorded: dict[str, tuple[dict[str, Any], dict[str, str]]] = {subject_of(row): ({}, {}) for row in rows}
    entries = _notes_of(recorded).order_by("pk").prefetch_related("private_texts")
    for entry in entries.iterator(chunk_size=BATCH):
        told = entry.told
        if "after" not in told:
            continue
        noted, texts = recorded[entry.subject]
        noted.update(told["after"])
        for name in private_columns(model) & told.get(PRIVATE, {}).keys():
            text = entry.private(name)
            erased = text is None and told[PRIVATE][name] is not None
            if erased:
                texts.pop(name, None)
            else:
                texts[name] = text or ""
    return recorded


def _notes_of(subjects: Iterable[str]) -> models.QuerySet[Entry]:
    """Entries without a record: `save_noted` writes no others, and a piece of hose has many with one.

    The others are left out, rather than these chosen, so that no database looks through all notes for them.
    """
    with_record = [verb.name for verb in all_verbs() if verb.record is not None]
    return Entry.objects.filter(subject__in=list(subjects)).exclude(verb__in=with_record)
