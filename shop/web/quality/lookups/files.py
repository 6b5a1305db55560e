"""A look-up as a file: a CSV of any length, sent batch by batch, or a sheet of bounded length."""

from collections.abc import Iterator
from itertools import chain, islice
from typing import Any

import tablib
from django.db.models import Model, QuerySet
from django.http import HttpResponseBase

from shop.assemblies.models import Assembly
from shop.core.refusals import Refusal
from shop.web.quality.lookups.tables import TouchedTable
from shop.web.registers.export import as_file, as_long_csv

AT_ONCE = 1000  # rows in memory
MOST_IN_A_SHEET = 20_000  # a sheet is made as a whole


class TooLongForASheet(Refusal):
    says = "{count} assemblies are more than the {most} that go into one sheet."
    do = "Narrow them down, or take the CSV, which may be of any length."


def as_download(thing: Model, rows: QuerySet[Assembly], *, name: str, file_format: str) -> HttpResponseBase:
    """The rows as a file of that name; `file_format` is 'csv' or 'xlsx'. Raises `TooLongForASheet`."""
    if file_format == "csv":
        return as_long_csv(_batches(thing, rows), name=name)
    count = rows.count()
    if count > MOST_IN_A_SHEET:
        raise TooLongForASheet(count=count, most=MOST_IN_A_SHEET)
    headers, *lines = chain.from_iterable(_batches(thing, rows))
    return as_file(tablib.Dataset(*lines, headers=headers), name=name, file_format=file_format)


def _batches(thing: Model, rows: QuerySet[Assembly]) -> Iterator[Iterator[list[Any]]]:
    """The headers, then lines."""
    yield islice(TouchedTable([], thing=thing).as_values(), 1)
    found = rows.iterator(chunk_size=AT_ONCE)
    while batch := list(islice(found, AT_ONCE)):
        table = TouchedTable(batch, thing=thing)
        table.ask(assembly.pk for assembly in batch)
        yield islice(table.as_values(), 1, None)
