"""Which row each line of a CSV is about, and what it would change there."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from shop.web.registers.cells import Cells
from shop.web.registers.forms import MOST_ROWS, RegisterForm
from shop.web.registers.reading import Fault, Line, Table, label_of
from shop.web.registers.sheet import Change, Effect, Item, Sheet

Key = tuple[str, ...]


class Matching:
    """Turns the lines of a table into items, each with its bound form; what is wrong goes on `faults`."""

    def __init__(self, sheet: Sheet, table: Table, faults: list[Fault]) -> None:
        self.sheet, self.table, self.faults = sheet, table, faults
        self.cells = Cells()
        self.fields = sheet.form.base_fields
        self.key_fields = sheet.form.key_fields()
        self.there: dict[Key, models.Model] = {}

    def items(self) -> Iterator[Item]:
        """The rows that the file tells of and that could be read."""
        missing = [name for name in self.key_fields if name not in self.table.names]
        for name in missing:
            self._fault(1, name, "This column is needed: it says which entry a line is about.")
        if missing:
            return
        self.there = self._rows_by_key()
        seen: dict[Key, int] = {}
        for lines in self._grouped():
            key = self._key(lines[0])
            if key and key in seen:
                self._fault(
                    lines[0].number, "", f"Line {seen[key]} is about the same. Leave one of the two out."
                )
            seen.setdefault(key, lines[0].number)
            item = self._item(lines, self.there.get(key))
            if item is not None:
                yield item

    def _rows_by_key(self) -> dict[Key, models.Model]:
        rows = {}
        for row in self.sheet.rows if self.key_fields else ():
            values = self.sheet.form.values_of(row)
            rows[tuple(self._written(name, values.get(name)) for name in self.key_fields)] = row
        return rows

    def _grouped(self) -> Iterator[Sequence[Line]]:
        """Lines about one entry: those below each other with the same key, if it has rows of its own."""
        if not self.sheet.row_fields:
            yield from ([line] for line in self.table.lines)
            return
        for _, lines in groupby(self.table.lines, self._key):
            yield list(lines)

    def _key(self, line: Line) -> Key:
        """The words of the key's cells as lists show them; empty if one can't be read."""
        try:
            return tuple(self._canonical(name, line.cells.get(name, "")) for name in self.key_fields)
        except ValidationError:
            return ()  # said at the cell, when the form is filled

    def _canonical(self, name: str, text: str) -> str:
        field = self.fields[name]
        data = self.cells.read(name, field, text)
        value = data if isinstance(field, forms.ModelChoiceField) else field.clean(data)
        return self._written(name, value)

    def _written(self, name: str, value: Any) -> str:
        return self.cells.write(name, self.fields[name], value)

    def _item(self, lines: Sequence[Line], row: models.Model | None) -> Item | None:
        before = self.sheet.form.values_of(row or self.sheet.new())
        data, unread = self._head_data(lines[0], row, before)
        rows = self._rows_data(lines, row)
        if rows is None:
            return None
        form = self.sheet.form({**data, **rows}, instance=row or self.sheet.new())
        if not form.is_valid() or unread:
            self._say_what_is_wrong(form, lines, unread)
            return None
        changes = [*self._changes(form, before), *self._changed_rows(form, row)]
        if row is None:
            return Item(lines, form, Effect.NEW, str(form.instance), changes)
        if changes and not self.sheet.may_change:
            self._fault(lines[0].number, "", "This is recorded already, and a record is never changed.")
            return None
        return Item(lines, form, Effect.CHANGED if changes else Effect.UNCHANGED, str(row), changes)

    def _head_data(
        self, line: Line, row: models.Model | None, before: dict[str, Any]
    ) -> tuple[dict[str, Any], set[str]]:
        """The form's data, and which cells could not be read.

        From the cells of this line, else what is there already, else what the form begins with.
        """
        data: dict[str, Any] = {}
        unread: set[str] = set()
        for name, field in self.fields.items():
            text = line.cells.get(name, "")
            if name not in self.table.names or (row is None and not text):
                text = self._written(name, before.get(name))
            try:
                data[name] = self.cells.read(name, field, text)
            except ValidationError as error:
                self._fault(line.number, name, *error.messages)
                unread.add(name)
        return data, unread

    def _rows_data(self, lines: Sequence[Line], row: models.Model | None) -> dict[str, Any] | None:
        """The data of the rows below, which stay as they are if the file has no column of theirs."""
        row_fields = self.sheet.row_fields
        if not row_fields:
            return {}
        if len(lines) > MOST_ROWS:
            self._fault(lines[MOST_ROWS].number, "", f"There are more than {MOST_ROWS} lines for one entry.")
            return None
        cells = [line.cells for line in lines]
        if row is not None and not any(name in self.table.names for name in row_fields):
            cells = [
                {name: self.cells.write(name, row_fields[name], value) for name, value in below.items()}
                for below in self.sheet.form.rows_of(row)
            ]
        data: dict[str, Any] = {"rows-TOTAL_FORMS": len(cells), "rows-INITIAL_FORMS": 0}
        for position, below in enumerate(cells):
            for name, field in row_fields.items():
                data[f"rows-{position}-{name}"] = self._read_below(name, field, below.get(name, ""))
        return data

    def _read_below(self, name: str, field: forms.Field, text: str) -> Any:
        """The data for a cell of a row below. One that can't be read stays as it is: its form says why."""
        try:
            return self.cells.read(name, field, text)
        except ValidationError:
            return text

    def _changes(self, form: RegisterForm, before: dict[str, Any]) -> Iterator[Change]:
        for name, field in self.fields.items():
            was = self._written(name, before.get(name))
            will_be = self._written(name, form.cleaned_data.get(name))
            if was != will_be:
                yield Change(label_of(name, field), was, will_be)

    def _changed_rows(self, form: RegisterForm, row: models.Model | None) -> Iterator[Change]:
        if form.rows is None:
            return
        was = "; ".join(map(self._row_words, self.sheet.form.rows_of(row) if row else ()))
        will_be = "; ".join(map(self._row_words, form.filled_rows))
        if was != will_be:
            yield Change(form.ROWS_TITLE, was, will_be)

    def _row_words(self, below: dict[str, Any]) -> str:
        fields = self.sheet.row_fields.items()
        words = (self.cells.write(name, field, below.get(name)) for name, field in fields)
        return ", ".join(word for word in words if word)

    def _say_what_is_wrong(self, form: RegisterForm, lines: Sequence[Line], unread: set[str]) -> None:
        for name, sentences in form.errors.items():
            if name not in unread:
                self._fault(lines[0].number, name, *map(str, sentences))
        if form.rows is None:
            return
        self._fault(lines[0].number, "", *map(str, form.rows.non_form_errors()))
        for line, below in zip(lines, form.rows.forms, strict=False):
            for name, sentences in below.errors.items():
                self._fault(line.number, name, *map(str, sentences))

    def _fault(self, line: int, name: str, *sentences: str) -> None:
        label = self.sheet.headers.get(name, "")
        self.faults.extend(Fault(line, label, sentence) for sentence in sentences)
