"""A list as a file that can be corrected and taken in again: the same columns, the same words."""

from collections.abc import Iterable, Iterator
from typing import Any

import tablib
from django.http import HttpResponse

from shop.web.files import download
from shop.web.registers.cells import Cells
from shop.web.registers.sheet import Sheet

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
        content = b"\xef\xbb\xbf" + table.export("csv").encode()  # so that spreadsheets know it is UTF-8
    return download(content, f"{name}.{file_format}", CONTENT_TYPES[file_format])


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
