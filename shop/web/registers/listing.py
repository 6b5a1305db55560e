"""A list that is no register: sorted, narrowed, paged and exported like all others."""

from collections.abc import Mapping
from typing import Any

import django_tables2 as tables
import tablib
from django.http import HttpResponse
from django.shortcuts import render
from django_tables2 import RequestConfig

from shop.web.access import StaffRequest
from shop.web.registers.export import CONTENT_TYPES, as_file
from shop.web.registers.views import PER_PAGE


def list_page(
    request: StaffRequest, table: tables.Table, template: str, name: str, context: Mapping[str, Any]
) -> HttpResponse:
    """Answer with the list, or with all its rows as a file of that name if `?_export=` asks for one.

    `context` is what the template needs besides `table` and `is_empty`.
    """
    file_format = request.GET.get("_export", "")
    if file_format in CONTENT_TYPES:
        RequestConfig(request, paginate=False).configure(table)
        headers, *rows = table.as_values()
        return as_file(tablib.Dataset(*rows, headers=headers), name=name, file_format=file_format)
    RequestConfig(request, paginate={"per_page": PER_PAGE}).configure(table)
    table.export_formats = list(CONTENT_TYPES)
    return render(request, template, {"table": table, "is_empty": not table.data, **context})
