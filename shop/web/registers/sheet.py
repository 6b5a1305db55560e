"""What a CSV is taken into, and what one of its rows would do there."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from django import forms
from django.db import models

from shop.web.registers.forms import RegisterForm
from shop.web.registers.reading import Line, headers_of


class Effect(StrEnum):
    NEW = "new"
    CHANGED = "changed"
    UNCHANGED = "unchanged"


@dataclass(frozen=True)
class Change:
    """One value that would change, before and after, as lists show it."""

    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Question:
    """What a person has to say is meant before the line is taken."""

    code: str  # with the line's number: a tick is for this line only
    says: str


@dataclass
class Item:
    """One row of the register that the file tells of, from one line or from several."""

    lines: Sequence[Line]
    form: RegisterForm
    effect: Effect = Effect.NEW
    words: str = ""
    changes: list[Change] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)

    @property
    def number(self) -> int:
        return self.lines[0].number


@dataclass(frozen=True)
class Sheet:
    """What a CSV is taken into.

    `new` makes a blank row, with what is fixed for every line (the chart of a chart's lines); `rows` are
    those that a line may change. Records are written once: `may_change` is False, and a line for one
    that is there already is refused.
    """

    form: type[RegisterForm]
    new: Callable[[], models.Model]
    rows: models.QuerySet[Any]
    may_change: bool = True

    @property
    def headers(self) -> dict[str, str]:
        """Field by field, what its column is called; those of the rows below come last."""
        return headers_of(self.form.base_fields) | headers_of(self.row_fields)

    @property
    def row_fields(self) -> Mapping[str, forms.Field]:
        """The fields of the rows below, each a line of its own; mostly none."""
        return {} if self.form.ROW_FORM is None else self.form.ROW_FORM.base_fields
