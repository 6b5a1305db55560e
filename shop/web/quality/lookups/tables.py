"""The assemblies that a thing touched."""

from collections.abc import Iterable, Mapping
from typing import Any

import django_tables2 as tables
from django.db.models import Model
from django.template.loader import render_to_string

from shop.assemblies.models import Assembly
from shop.trace.links import Link
from shop.trace.not_to_be_used import WORDS, why_not_of_each
from shop.trace.reaching import ways_of_each
from shop.web.access import StaffRequest
from shop.web.templatetags.quantities import clock
from shop.web.tools.tables import MadeTable


class TouchedTable(MadeTable):
    """Each with the ways in which it was touched and why it is not to be used, asked for the rows shown."""

    ways = tables.Column(
        accessor="pk", verbose_name="How", orderable=False, attrs={"td": {"class": "touched-how"}}
    )
    not_used = tables.Column(
        accessor="pk", verbose_name="Not to be used", orderable=False, attrs={"td": {"class": "keep"}}
    )
    cut = tables.Column(accessor="cut__entry__happened_at", verbose_name="Hose cut")

    class Meta:
        model = Assembly
        fields = ("serial", "state", "not_used", "ways", "cut", "customer", "order", "hose")
        order_by = "-serial"
        caption = "Assemblies"

    def __init__(self, data: Iterable[Assembly], *, thing: Model) -> None:
        super().__init__(data)
        self.thing = thing
        self.known: dict[int, list[Link]] = {}
        self.why_not: Mapping[int, str] = {}

    def before_render(self, request: StaffRequest) -> None:
        self.ask(row.record.pk for row in self.page or self.rows)

    def ask(self, keys: Iterable[int]) -> None:
        """Ask how these assemblies were touched, and which of them are not to be used."""
        shown = list(keys)
        self.known = ways_of_each(self.thing, shown)
        self.why_not = why_not_of_each(shown)

    def render_not_used(self, value: int) -> str:
        if value not in self.why_not:
            return "—"
        why = self.why_not[value]
        return render_to_string("web/parts/state.html", {"state": why, "label": WORDS[why]})

    def value_not_used(self, value: int) -> str:
        return WORDS[self.why_not[value]] if value in self.why_not else ""

    def render_ways(self, value: int) -> str:
        return ", ".join(dict.fromkeys(link.words for link in self.known[value]))

    def render_cut(self, value: Any) -> str:
        return clock(value)
