"""The assemblies that a thing touched."""

from collections.abc import Iterable
from typing import Any

import django_tables2 as tables
from django.db.models import Model

from shop.assemblies.models import Assembly
from shop.trace.links import Link
from shop.trace.reaching import ways_of_each
from shop.web.access import StaffRequest
from shop.web.templatetags.quantities import clock
from shop.web.tools.tables import MadeTable


class TouchedTable(MadeTable):
    """Each with the ways in which it was touched, which are asked only for the rows that are shown."""

    ways = tables.Column(
        accessor="pk", verbose_name="How", orderable=False, attrs={"td": {"class": "touched-how"}}
    )
    cut = tables.Column(accessor="cut__entry__happened_at", verbose_name="Hose cut")

    class Meta:
        model = Assembly
        fields = ("serial", "state", "ways", "cut", "customer", "order", "hose")
        order_by = "-serial"
        caption = "Assemblies"

    def __init__(self, data: Iterable[Assembly], *, thing: Model) -> None:
        super().__init__(data)
        self.thing = thing
        self.known: dict[int, list[Link]] = {}

    def before_render(self, request: StaffRequest) -> None:
        self.ask(row.record.pk for row in self.page or self.rows)

    def ask(self, keys: Iterable[int]) -> None:
        """Ask how these assemblies were touched."""
        self.known = ways_of_each(self.thing, keys)

    def render_ways(self, value: int) -> str:
        return ", ".join(dict.fromkeys(link.words for link in self.known[value]))

    def render_cut(self, value: Any) -> str:
        return clock(value)
