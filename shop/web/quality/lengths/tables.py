"""The list of what finished lengths say."""

from decimal import Decimal

import django_tables2 as tables

from shop.web.registers.tables import FigureColumn
from shop.web.worksheets.cut_correction import signed


class DifferenceColumn(FigureColumn):
    """A difference of lengths with its sign."""

    def render(self, value: Decimal) -> str:
        return signed(value)


class LengthsTable(tables.Table):
    """Each hose with each series at both ends."""

    hose = tables.Column(linkify=lambda record: record.url)
    series = tables.Column(verbose_name="Series at both ends")
    pieces = FigureColumn()
    over = DifferenceColumn(verbose_name="Longer than wanted")
    says = tables.Column(verbose_name="That is")
    in_force = DifferenceColumn(verbose_name="Corrected by")

    class Meta:
        sequence = (
            "hose",
            "over",
            "says",
            "in_force",
            "pieces",
            "series",
        )  # what a phone has no room for is last
        order_by = "hose"
        caption = "What finished lengths say"
        default = "—"
