"""Rows that may change, such as customers and hoses: each change is an entry with before and after."""

from collections.abc import Iterable, Mapping
from typing import TypeVar

from django.db import models, transaction

from shop.ledger.actors import Actor
from shop.ledger.canonical import Json
from shop.ledger.facts import noted_columns, private_columns, row_facts, subject_of
from shop.ledger.misuse import WrongWriter
from shop.ledger.registry import Verb, find_verb
from shop.ledger.services.appending import append

M = TypeVar("M", bound=models.Model)
Many = Mapping[str, Iterable[models.Model]]


@transaction.atomic
def save_noted(*, actor: Actor, verb: Verb | str, instance: M, many: Many | None = None) -> M:
    """Save the row and append an entry with the columns that changed, before and after.

    `many` gives the rows that many-to-many fields are set to. Columns in the model's
    `PRIVATE_FIELDS` go beside the chain, those in `UNNOTED_FIELDS` nowhere. If nothing changed,
    nothing is written. Raises `ValidationError` if the row breaks a rule of its model.
    """
    known = find_verb(verb)
    if known.record is not None:
        raise WrongWriter(f"{known.name!r} has a record, {known.record.KIND}: use write_record().")
    chosen = {name: sorted(row.pk for row in rows) for name, rows in (many or {}).items()}
    before = None if instance._state.adding else _lock(instance, chosen)
    instance.full_clean()
    if before is not None and before == {**_values(instance), **chosen}:
        return instance
    instance.save()
    for name, keys in chosen.items():
        getattr(instance, name).set(keys)
    after: dict[str, Json] = {**_values(instance), **chosen}
    changed = {name for name in after if before is None or before[name] != after[name]}
    private = private_columns(type(instance))
    told = changed - private
    append(
        actor=actor,
        verb=known,
        subject=subject_of(instance),
        facts={
            "before": None if before is None else {name: before[name] for name in told},
            "after": {name: after[name] for name in told},
        },
        private={name: _text(after[name]) for name in sorted(changed & private)},
    )
    return instance


def _lock(instance: models.Model, chosen: Mapping[str, list[int]]) -> dict[str, Json]:
    """The row as it is in the database, kept still until the transaction ends."""
    rows = type(instance)._base_manager.select_for_update(no_key=True)
    row = rows.get(pk=instance.pk)
    keys = {name: sorted(getattr(row, name).values_list("pk", flat=True)) for name in chosen}
    return {**_values(row), **keys}


def _values(instance: models.Model) -> dict[str, Json]:
    return row_facts(instance, noted_columns(type(instance)))


def _text(value: Json) -> str | None:
    return None if value is None else str(value)
