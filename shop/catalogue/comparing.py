"""What has changed from one line of a chart to another, column by column."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

from django.db import models

from shop.catalogue.models import CrimpValues

V = TypeVar("V", bound=CrimpValues)
W = TypeVar("W", bound=CrimpValues)

IDENTIFYING = ("ferrule", "material", "die_type", "stop_kind", "stop_type")


@dataclass(frozen=True)
class ColumnChange:
    """One column that differs: its name as the pages call it, and both values.

    A value is a `Decimal` in millimetres, or text for reading; None where the column is empty.
    """

    column: str
    label: str
    before: Decimal | str | None
    after: Decimal | str | None

    @property
    def words(self) -> tuple[str, str]:
        """Both values as a sentence says them: a length with its unit, an empty column as 'none'."""
        return _words(self.before), _words(self.after)


@dataclass(frozen=True)
class LineChange(Generic[V, W]):
    """A line before and after; one of the two is None for a line that is new or gone."""

    before: V | None
    after: W | None
    columns: tuple[ColumnChange, ...]

    @property
    def differs(self) -> bool:
        """Whether anything has changed."""
        return self.before is None or self.after is None or bool(self.columns)


def changed_columns(before: CrimpValues, after: CrimpValues) -> tuple[ColumnChange, ...]:
    """The columns in which two lines differ, in the order of the chart."""
    return tuple(
        ColumnChange(column, _label(after, column), _value(before, column), _value(after, column))
        for column in CrimpValues.COLUMNS
        if _key(before, column) != _key(after, column)
    )


def compare_lines(before: Iterable[V], after: Sequence[W]) -> list[LineChange[V, W]]:
    """Each line of `after` beside the one of `before` that it comes from, then the lines that are gone.

    Lines belong together if they are for the same hose and series; of several, those that agree in
    most of ferrule, material, die and stop.
    """
    left = list(before)
    pairs: dict[int, V] = {}
    for wanted in range(len(IDENTIFYING), -1, -1):
        for index, line in enumerate(after):
            match = next((old for old in left if _likeness(old, line) == wanted), None)
            if index not in pairs and match is not None:
                pairs[index] = match
                left.remove(match)
    changes: list[LineChange[V, W]] = []
    for index, line in enumerate(after):
        old = pairs.get(index)
        changes.append(LineChange(old, line, changed_columns(old, line) if old else ()))
    return changes + [LineChange(old, None, ()) for old in left]


def _likeness(one: CrimpValues, other: CrimpValues) -> int:
    """How many of the identifying columns agree; below zero for another hose or series."""
    if (one.hose_id, one.series_id) != (other.hose_id, other.series_id):
        return -1
    return sum(_key(one, column) == _key(other, column) for column in IDENTIFYING)


def _key(line: CrimpValues, column: str) -> object:
    return line._meta.get_field(column).value_from_object(line)  # type: ignore[union-attr]  # columns only


def _label(line: CrimpValues, column: str) -> str:
    field: models.Field[object, object] = line._meta.get_field(column)  # type: ignore[assignment]  # columns only
    return str(field.verbose_name)


def _words(value: Decimal | str | None) -> str:
    if isinstance(value, Decimal):
        return f"{value} mm"
    return value or "none"


def _value(line: CrimpValues, column: str) -> Decimal | str | None:
    value = getattr(line, column)
    if isinstance(value, Decimal) or value is None:
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    choice = getattr(line, f"get_{column}_display", None)
    return str(choice() if choice else value)
