"""A list as a file that can be corrected and taken in again: the same columns, the same words."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import tablib
from django.http import HttpResponse, StreamingHttpResponse

from shop.web.files import download, streamed
from shop.web.registers.cells import Cells
from shop.web.registers.sheet import Sheet

# So that spreadsheets know a CSV to be UTF-8.
MARK = b"\xef\xbb\xbf"
CONTENT_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def export(sheet: Sheet, rows: Iterable[Any], *, name: str, file_format: str) -> HttpResponse:
    """The rows as a file named `name`; `file_format` is a key of `CONTENT_TYPES`."""
    table = tablib.Dataset(*_lines(sheet, rows), headers=list(sheet.headers.values()))
    return as_file(table, name=name, file_format=file_format)


def as_file(table: tablib.Dataset, *, name: str, file_format: str) -> HttpResponse:
    """Headers and lines as a download; `file_format` is a key of `CONTENT_TYPES`."""
    if file_format == "xlsx":
        content = table.export("xlsx", escape=True)  # a cell that begins with = is no formula
    else:
        content = MARK + table.export("csv").encode()
    return download(content, f"{name}.{file_format}", CONTENT_TYPES[file_format])


def as_long_csv(batches: Iterable[Iterable[Sequence[Any]]], *, name: str) -> StreamingHttpResponse:
    """Lines as a download that is sent batch by batch, however many there are; the first are the headers."""
    return streamed(_encoded(batches), f"{name}.csv", CONTENT_TYPES["csv"])


def _encoded(batches: Iterable[Iterable[Sequence[Any]]]) -> Iterator[bytes]:
    yield MARK
    for lines in batches:
        text = io.StringIO(newline="")
        csv.writer(text).writerows(lines)
        yield text.getvalue().encode()


def _lines(sheet: Sheet, rows: Iterable[Any]) -> Iterator[list[str]]:
    cells = Cells()
    for row in rows:
        values = sheet.form.values_of(row)
        head = [cells.write(name, field, values.get(name)) for name, field in sheet.form.base_fields.items()]
        below = sheet.form.rows_of(row) or [{}]
        for part in below:
            yield head + [
                cells.write(name, field, part.get(name)) for name, field in sheet.row_fields.items()
            ]
