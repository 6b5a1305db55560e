"""Tables that come as files as pages show them: each row with its source and how far it can be relied on."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeVar

from django.urls import reverse

from shop.engineering.age import AgeRule
from shop.engineering.cleanliness import ScaleRow
from shop.engineering.flow import VelocityLimit
from shop.engineering.tolerance import LengthRule
from shop.standards.figures import Confirmations, Entry, printed_row, printed_rows

E = TypeVar("E", AgeRule, LengthRule, ScaleRow, VelocityLimit)


@dataclass(frozen=True)
class Standing:
    """How far a row can be relied on, and where it is compared with its document.

    `basis` is the file's own word for it, or the confirmation in words.
    """

    row: str
    basis: str
    is_confirmed: bool
    url: str


@dataclass(frozen=True)
class Cell:
    """What a row says under one heading."""

    words: str
    heading: str
    is_figure: bool


@dataclass(frozen=True)
class TableRow:
    """One row: its cells, where it comes from, how it stands."""

    cells: tuple[str, ...]
    source: str
    standing: Standing


@dataclass(frozen=True)
class PrintedTable:
    """A table under its name. `figures` are the columns that stand to the right; `used` says what the
    workshop holds to it, empty if nothing.
    """

    name: str
    head: tuple[str, ...]
    rows: Sequence[TableRow]
    figures: frozenset[int]
    used: str = ""

    @property
    def columns(self) -> list[tuple[str, bool]]:
        """Each heading, and whether figures stand under it."""
        return [(words, number in self.figures) for number, words in enumerate(self.head)]

    @property
    def by_source(self) -> list[tuple[str, list[tuple[list[Cell], Standing]]]]:
        """Each source with the rows that come from it."""
        return [
            (source, [(self._cells(row), row.standing) for row in rows])
            for source, rows in groupby(self.rows, key=lambda row: row.source)
        ]

    def _cells(self, row: TableRow) -> list[Cell]:
        columns = zip(row.cells, self.columns, strict=True)
        return [Cell(words, heading, is_figure) for words, (heading, is_figure) in columns]


def standing(entry: Entry, confirmed: Confirmations) -> Standing:
    """How the entry stands."""
    row, is_confirmed = printed_row(entry), confirmed.of(entry) is not None
    number = printed_rows(row.table).index(row) + 1
    return Standing(
        row=row.row,
        basis=confirmed.words(entry) if is_confirmed else row.basis,
        is_confirmed=is_confirmed,
        url=reverse("web:figures_confirm", args=[row.table, number]),
    )


def table_rows(
    entries: Iterable[E], confirmed: Confirmations, cells: Callable[[E], Iterable[str]]
) -> list[TableRow]:
    """The entries as rows, each with the cells that it is given."""
    return [TableRow(tuple(cells(entry)), entry.source, standing(entry, confirmed)) for entry in entries]
