"""What a register is."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import django_filters
import django_tables2 as tables
from django.db import models
from django.urls import reverse

from shop.engineering.pressures import Pressure
from shop.people.models import User
from shop.people.permissions import Permission
from shop.web.access import StaffRequest
from shop.web.registers.forms import RegisterForm

Confirm = Callable[[User, Any, str, Pressure], object]  # actor, row, document, figure read in it
MoreOfList = Callable[[], Mapping[str, Any]]
MoreOfRow = Callable[[StaffRequest, Any], Mapping[str, Any]]


@dataclass(frozen=True, kw_only=True)
class Register:
    """One kind of the workshop's own data.

    `slug` is its part of the address and, with underscores, the first part of its pages' names.
    `about` says in an empty list what will be there and how to start. `rows` gives what the list needs,
    in a constant number of queries. `confirm` calls the service for parts with a rating. `more_of_row`
    gives `item_template`, an extension of `web/registers/item.html`, what it shows beyond the values, and
    `more_of_list` does so for `list_template`.
    """

    slug: str
    place: str
    title: str
    noun: str
    about: str
    model: type[models.Model]
    form: type[RegisterForm]
    table: type[tables.Table]
    filterset: type[django_filters.FilterSet] | None = None
    read: Permission = Permission.READ
    write: Permission
    label: bool = False
    label_lines: Callable[[Any], tuple[str, str]] = lambda row: (str(row), "")
    rows: Callable[[], models.QuerySet[Any]] | None = None
    confirm: Confirm | None = None
    list_template: str = "web/registers/list.html"
    more_of_list: MoreOfList | None = None
    item_template: str = "web/registers/item.html"
    more_of_row: MoreOfRow | None = None

    @property
    def name(self) -> str:
        """The first part of its pages' names: `die_sets`."""
        return self.slug.replace("-", "_")

    @property
    def a_noun(self) -> str:
        """The noun with its article: 'an arrangement'."""
        return f"an {self.noun}" if self.noun[0] in "aeiou" else f"a {self.noun}"

    def all_rows(self) -> models.QuerySet[Any]:
        """The rows, with what a list of them needs."""
        return self.model._default_manager.all() if self.rows is None else self.rows()

    def url(self, page: str = "", *args: object) -> str:
        """The address of one of its pages: '' is the list, else 'new', 'item', 'change', 'csv' …"""
        return reverse(f"web:{self.name}_{page}" if page else f"web:{self.name}", args=args)

    @property
    def place_url(self) -> str:
        """The address of the place that it belongs to."""
        return reverse(f"web:{self.place}")

    @property
    def list_url(self) -> str:
        """The address of the list."""
        return self.url()

    @property
    def new_url(self) -> str:
        """Where a new row is written."""
        return self.url("new")

    @property
    def csv_url(self) -> str:
        """Where a CSV is taken in."""
        return self.url("csv")

    @property
    def export_url(self) -> str:
        """Where the list is exported."""
        return self.url("export")

    @property
    def labels_url(self) -> str:
        """Where labels are printed; empty for what has no label."""
        return self.url("labels") if self.label else ""
