"""Rows that may change, compared with what was recorded of them."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from django.db import models

from shop.ledger.checking.results import Fault
from shop.ledger.facts import PRIVATE, noted_columns, private_columns, row_facts, subject_of
from shop.ledger.misuse import LedgerMisuse
from shop.ledger.models import Entry
from shop.ledger.registry import all_verbs

BATCH = 500  # entries about one row in memory at a time

_checks: dict[str, Callable[[], Iterator[str]]] = {}


def register_consistency_check(name: str, function: Callable[[], Iterator[str]]) -> None:
    """Let `check_ledger` also run `function`, which yields a sentence per row that disagrees."""
    if name in _checks:
        raise LedgerMisuse(f"There is a consistency check named {name!r} already.")
    _checks[name] = function


def consistency_faults() -> Iterator[Fault]:
    """What the registered checks find."""
    for _, function in sorted(_checks.items()):
        for sentence in function():
            yield Fault(sentence)


def noted_rows_that_disagree(model: type[models.Model]) -> Iterator[str]:
    """Sentences about rows that `save_noted` alone writes and that something else has changed.

    For an app to register, with its model: `partial(noted_rows_that_disagree, Hose)`.
    """
    for row in model._base_manager.order_by("pk").iterator():
        noted, texts = _as_noted(row)
        if not noted and not texts:
            yield f"{subject_of(row)} is in no entry of the ledger."
        for name, (found, said) in _differences(row, noted, texts).items():
            yield f"{name} of {subject_of(row)} is {found!r}, the ledger says {said!r}."


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


def _as_noted(row: models.Model) -> tuple[dict[str, Any], dict[str, str]]:
    """What the ledger last said of each column, and of each private one that was not erased since."""
    noted: dict[str, Any] = {}
    texts: dict[str, str] = {}
    entries = Entry.objects.filter(subject=subject_of(row), verb__in=_verbs_of_notes()).order_by("pk")
    for entry in entries.prefetch_related("private_texts").iterator(chunk_size=BATCH):
        told = entry.told
        if "after" not in told:
            continue
        noted.update(told["after"])
        for name in private_columns(type(row)) & told.get(PRIVATE, {}).keys():
            text = entry.private(name)
            erased = text is None and told[PRIVATE][name] is not None
            if erased:
                texts.pop(name, None)
            else:
                texts[name] = text or ""
    return noted, texts


def _verbs_of_notes() -> list[str]:
    """Verbs without a record: `save_noted` writes no others, and a piece of hose has many with one."""
    return [verb.name for verb in all_verbs() if verb.record is None]
