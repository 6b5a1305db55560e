"""What the ledger tells of one row, in words."""

import datetime
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models

from shop.core.fields import LengthField, PressureField
from shop.ledger.facts import PRIVATE
from shop.ledger.models import Entry
from shop.ledger.registry import find_verb
from shop.ledger.services import history
from shop.people.names import names_of
from shop.web.templatetags.quantities import length, pressure

Related = (models.ForeignKey, models.ManyToManyField)
MOST_ENTRIES = 100  # a page shows the newest; the ledger has them all


@dataclass(frozen=True)
class Told:
    """One entry: who did what and when, and each value that it tells of, before and after."""

    who: str
    says: str
    happened_at: datetime.datetime
    recorded_at: datetime.datetime
    values: list[tuple[str, str, str]]  # label, before, after


def tell(row: models.Model, *, without: Collection[str] = ()) -> list[Told]:
    """The newest entries about the row, newest first, in a constant number of queries.

    `without` are names of verbs that the page shows in another way.
    """
    entries = list(history(row).exclude(verb__in=without).order_by("-pk")[:MOST_ENTRIES])
    people = names_of(entry.actor_number for entry in entries)
    words = _Words((type(row), entry) for entry in entries)
    return [
        Told(
            who=people[entry.actor_number],
            says=entry.says,
            happened_at=entry.happened_at,
            recorded_at=entry.recorded_at,
            values=list(words.of(type(row), entry)),
        )
        for entry in entries
    ]


class _Words:
    """Facts as people read them; the rows that they name are read once for all entries."""

    def __init__(self, entries: Iterable[tuple[type[models.Model], Entry]]) -> None:
        named: dict[type[models.Model], set[int]] = defaultdict(set)
        for model, entry in entries:
            for column, *values in _facts(model, entry):
                for value in values if isinstance(column, Related) else ():
                    named[_model_of(column)] |= set(_keys(value))
        self._names = {
            model: {row.pk: str(row) for row in _rows_of(model).filter(pk__in=keys)}
            for model, keys in named.items()
        }

    def of(self, model: type[models.Model], entry: Entry) -> Iterator[tuple[str, str, str]]:
        for column, before, after in _facts(model, entry):
            label = str(column.verbose_name)
            yield label[:1].upper() + label[1:], self._text(column, before), self._text(column, after)
        for name, value in entry.told.items() if "after" not in entry.told else ():
            if isinstance(value, list):  # such as the parts of an arrangement, each a row of texts
                yield name[:1].upper() + name[1:], "", "; ".join(map(_row_words, value))
        for name in entry.told.get(PRIVATE, {}):
            label = name.replace("_", " ")
            yield label[:1].upper() + label[1:], "", entry.private(name) or "empty or erased"

    def _text(self, column: "models.Field[Any, Any]", value: Any) -> str:
        if value is None or value == "":
            return ""
        match column:
            case LengthField():
                return length(Decimal(value) / column.scale)
            case PressureField():
                return pressure(Decimal(value) / column.scale)
            case models.BooleanField():
                return "yes" if value else "no"
            case models.ForeignKey() | models.ManyToManyField():
                names = self._names[_model_of(column)]
                return "; ".join(names.get(key, f"entry {key}") for key in _keys(value))
            case _ if column.choices:
                return str(dict(column.flatchoices).get(value, value))
            case models.JSONField() if isinstance(value, list):
                return "; ".join(map(str, value))
            case _:
                return str(value)


def _facts(subject: type[models.Model], entry: Entry) -> Iterator[tuple["models.Field[Any, Any]", Any, Any]]:
    """Each fact that is a column: before and after of a row, or the columns of a record."""
    told: Mapping[str, Any] = entry.told
    record = find_verb(entry.verb).record
    model = record or subject
    if record is not None:
        told = {"before": None, "after": told}
    before, after = told.get("before") or {}, told.get("after") or {}
    known = {field.name: field for field in (*model._meta.concrete_fields, *model._meta.many_to_many)}
    for name, field in known.items():  # in the order in which people see them
        names_the_row = record is not None and field.related_model is subject
        if name in after and getattr(field, "editable", True) and not names_the_row:
            yield field, before.get(name), after[name]


def _model_of(column: "models.Field[Any, Any]") -> type[models.Model]:
    related = column.related_model
    assert related is not None  # of a foreign key there is one
    return related


def _row_words(row: Any) -> str:
    if not isinstance(row, dict):
        return str(row)
    return ", ".join(f"{name} {value}" for name, value in row.items() if value)


def _keys(value: Any) -> list[int]:
    return [] if value is None else value if isinstance(value, list) else [value]


def _rows_of(model: type[models.Model]) -> models.QuerySet[Any]:
    return model._default_manager.select_related()
