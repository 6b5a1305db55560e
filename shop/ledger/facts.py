"""What an entry tells of a row: its columns, in canonical form."""

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from django.db import models

from shop.ledger.canonical import Json, form_of
from shop.ledger.models import Record

PRIVATE = "private"  # the ledger's own key in the facts of an entry


def subject_of(instance: models.Model) -> str:
    """How an entry names what it is about: `stock.piece:12`.

    A record is named by its entry, `stock.lot:home-12`, because that is known before its row is.
    """
    if isinstance(instance, Record):
        return record_subject(type(instance), instance.entry.chain.site, instance.entry.number)
    return row_subject(type(instance), instance.pk)


def row_subject(model: type[models.Model], key: Any) -> str:
    """The name of the row of this key in a table that is none of records."""
    return f"{model._meta.label_lower}:{key}"


def record_subject(record: type[Record], site: str, number: int) -> str:
    """The name of the record that the entry of this number has."""
    return f"{record._meta.label_lower}:{site}-{number}"


@cache
def record_columns(record: type[Record]) -> tuple[str, ...]:
    """The names of all of a record's columns but `entry`."""
    return tuple(field.name for field in record._meta.concrete_fields if field.name != "entry")


def noted_columns(model: type[models.Model]) -> tuple[str, ...]:
    """The names of the columns of a changeable row that the ledger follows.

    All but the key, which the subject names, and the model's `UNNOTED_FIELDS`: what nobody needs to
    trace and what no ledger may hold, such as hashes of passwords.
    """
    unnoted: frozenset[str] = getattr(model, "UNNOTED_FIELDS", frozenset())
    fields = model._meta.concrete_fields
    return tuple(field.name for field in fields if not field.primary_key and field.name not in unnoted)


def private_columns(model: type[models.Model]) -> frozenset[str]:
    """The names of the columns whose values must never stand in the chain itself."""
    names: frozenset[str] = getattr(model, "PRIVATE_FIELDS", frozenset())
    return names


def row_facts(instance: models.Model, names: Iterable[str]) -> dict[str, Json]:
    """The columns of these names, as the ledger writes them."""
    return {name: column_fact(instance, name) for name in names}


def column_fact(instance: models.Model, name: str) -> Json:
    """One column, as the ledger writes it."""
    attribute, form = _column(type(instance), name)
    return form(getattr(instance, attribute))


@cache
def _column(model: type[models.Model], name: str) -> tuple[str, Callable[[Any], Json]]:
    """Under which name a row has the column's value, and how that is written."""
    field: models.Field[Any, Any] = model._meta.get_field(name)  # type: ignore[assignment]  # columns only
    return field.attname, form_of(field)
