"""Reading a CSV: bytes or pasted text to columns and lines, with every fault named."""

import csv
import difflib
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django import forms

MOST_LINES = 1000
MOST_BYTES = 500_000
SEPARATORS = ",;\t"


@dataclass(frozen=True)
class Fault:
    """What is wrong with one cell, one line or, with `line` 0, the file."""

    line: int
    column: str
    reason: str


class Unreadable(ValueError):
    """The file can't be read as a table; the message says why and what to do."""


@dataclass(frozen=True)
class Line:
    """One line of the file below its headers; `number` counts the headers as 1, as spreadsheets do."""

    number: int
    cells: Mapping[str, str]


@dataclass
class Table:
    """The file as lines of cells by the form's field name, and what is wrong with its headers."""

    names: list[str] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def decode(content: bytes) -> str:
    """The text of an uploaded file. Raises `Unreadable` unless it is UTF-8, with or without its mark."""
    if len(content) > MOST_BYTES:
        raise Unreadable(f"The file is larger than {MOST_BYTES // 1000} kB. Take it in in parts.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Unreadable(
            "The file is not UTF-8: letters such as é or ø would be lost. "
            "Save it again as “CSV UTF-8” and take that one."
        ) from error


def headers_of(form_fields: Mapping[str, forms.Field]) -> dict[str, str]:
    """The header of each field: its label, as on the page."""
    return {name: label_of(name, found) for name, found in form_fields.items()}


def label_of(name: str, form_field: forms.Field) -> str:
    """What a field is called on the page."""
    words = str(form_field.label or name.replace("_", " "))
    return words[:1].upper() + words[1:]


def read_table(text: str, headers: Mapping[str, str]) -> Table:
    """Sort the text into cells. `headers` are the known fields and what they are called.

    A column may carry the field's label or its name. Raises `Unreadable` if there is nothing to read.
    """
    text = text.removeprefix("\ufeff")
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True))
    except csv.Error as error:
        raise Unreadable(
            f"The text is no table: {error}. Look for a quotation mark without its pair."
        ) from error
    filled = [(number, row) for number, row in enumerate(rows, start=1) if any(cell.strip() for cell in row)]
    if len(filled) < 2:
        raise Unreadable("There is nothing below the headers. The first line names the columns.")
    if len(filled) > MOST_LINES + 1:
        raise Unreadable(f"There are {len(filled) - 1} lines. Take in {MOST_LINES} at most at a time.")
    table = Table()
    (_, first), *others = filled
    table.names = _names_of(first, headers, table.faults)
    for number, row in others:
        table.lines.append(_line(number, row, table))
    return table


def _separator(text: str) -> str:
    """The separator that is most often in the headers."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=first.count)


def _names_of(first: Sequence[str], headers: Mapping[str, str], faults: list[Fault]) -> list[str]:
    known = {_tidy(words): name for name, words in headers.items()} | {_tidy(name): name for name in headers}
    names: list[str] = []
    for cell in first:
        name = known.get(_tidy(cell), "")
        if cell.strip() and not name:
            faults.append(Fault(1, cell.strip(), f"This list has no such column.{_nearest(cell, headers)}"))
        elif name and name in names:
            faults.append(Fault(1, cell.strip(), "This column is there twice. Leave one of the two out."))
            name = ""
        names.append(name)
    return names


def _line(number: int, row: Sequence[str], table: Table) -> Line:
    cells = dict(zip(table.names, row, strict=False))
    stray = [cell for name, cell in zip(table.names, row, strict=False) if not name and cell.strip()]
    if stray and not table.faults:
        says = f"“{stray[0].strip()}” stands under no header. Name its column, or leave it out."
        table.faults.append(Fault(number, "", says))
    elif len(row) > len(table.names):
        says = f"The line has {len(row)} cells and there are {len(table.names)} headers."
        table.faults.append(Fault(number, "", f"{says} Put cells with a decimal comma in quotation marks."))
    return Line(number, {name: cell.strip() for name, cell in cells.items() if name})


def _tidy(words: str) -> str:
    return " ".join(words.casefold().replace("_", " ").split())


def _nearest(words: str, headers: Mapping[str, str]) -> str:
    near = difflib.get_close_matches(_tidy(words), [_tidy(header) for header in headers.values()], n=1)
    known = next((header for header in headers.values() if near and _tidy(header) == near[0]), None)
    return f" Is “{known}” meant?" if known else f" Its columns are: {', '.join(headers.values())}."
