"""What has changed since a line was confirmed, for people to read before they confirm it again."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db import models

from shop.catalogue.comparing import changed_columns
from shop.core.fields import LengthField
from shop.orders.models import Resolution

SPECIFICATIONS = ("specification_a", "specification_b")
# Consequences of other columns, or said by them already.
UNSAID = frozenset(
    {"line", "rating", "reasons", "proof_value", "rating_unit", "demand_unit", *SPECIFICATIONS}
)


@dataclass(frozen=True)
class Difference:
    """One thing that is no longer what it was."""

    what: str
    before: str
    now: str


def differences(before: Resolution, now: Resolution) -> list[Difference]:
    """Everything that a line comes to now and did not when it was confirmed; `now` need not be saved."""
    found = [
        Difference(what, _shown(before, column), _shown(now, column))
        for column, what in _columns()
        if column not in UNSAID and getattr(before, column) != getattr(now, column)
    ]
    for end, column in zip("AB", SPECIFICATIONS, strict=True):
        then, today = getattr(before, column), getattr(now, column)
        if then != today:
            found.append(Difference(f"chart for end {end}", str(then.chart_issue), str(today.chart_issue)))
            found += [
                Difference(f"end {end}: {change.label}", *change.words)
                for change in changed_columns(then, today)
            ]
    return found


def _columns() -> Iterator[tuple[str, str]]:
    for name in Resolution.FIELDS[Resolution.newest_version()]:
        yield name, str(Resolution._meta.get_field(name).verbose_name)  # type: ignore[union-attr]  # columns only


def _shown(row: models.Model, column: str) -> str:
    """The value as a person reads it: the word of a choice, a length with its unit."""
    display: Any = getattr(row, f"get_{column}_display", None)
    if display is not None:
        return str(display())
    value = getattr(row, column)
    if value is None or value == "":
        return "none"
    if isinstance(row._meta.get_field(column), LengthField):
        return f"{value} mm"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
