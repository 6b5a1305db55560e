"""The counter's lists."""

from typing import Any

import django_tables2 as tables
from django.urls import reverse
from django.utils.html import format_html

from shop.assemblies.models import Assembly
from shop.orders.models import Order, OrderLine
from shop.policy.services import today
from shop.web.registers.tables import FigureColumn, LengthColumn


def order_url(record: Order) -> str:
    """The address of an order."""
    return reverse("web:order", args=[record.code])


def line_url(record: OrderLine) -> str:
    """The address of a line."""
    return reverse("web:line", args=[record.order.code, record.position])


def where_it_stands(order: Any) -> str:
    """The counts of `queries.with_counts` in words, what is furthest behind first."""
    counts = (
        (order.quoted, "quotation to confirm", "quotations to confirm"),
        (order.troubled, "held or failed", "held or failed"),
        (order.to_replace, "to be replaced", "to be replaced"),
        (order.made, "to be made", "to be made"),
        (order.released, "released, to hand over", "released, to hand over"),
        (order.gone, "handed over", "handed over"),
    )
    words = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    return " · ".join(words) or "no line yet"


class OrderTable(tables.Table):
    """Orders, what is due first first."""

    caption = "Open orders"

    number = tables.Column("Order", linkify=order_url)
    customer = tables.Column(order_by="customer__name")
    reference = tables.Column("Their reference", empty_values=())
    due_on = tables.DateColumn(verbose_name="Due", format="Y-m-d")
    lines_count = FigureColumn(verbose_name="Lines")
    stands = tables.Column("Where it stands", accessor="pk", orderable=False)

    class Meta:
        orderable = True
        empty_text = "No order is open."

    def render_due_on(self, record: Order) -> str:
        if record.due_on is not None and record.due_on < today():
            return format_html("<strong>{} (late)</strong>", record.due_on)
        return str(record.due_on)

    def render_stands(self, record: Order) -> str:
        return where_it_stands(record)


class LineTable(tables.Table):
    """Lines that wait for somebody at the counter."""

    position = tables.Column("Line", linkify=line_url, order_by=("order__number", "position"))
    customer = tables.Column(accessor="order__customer", order_by="order__customer__name")
    quantity = FigureColumn(verbose_name="Of")
    hose = tables.Column(order_by=("hose__maker", "hose__designation", "hose__dash"))
    overall_length = LengthColumn(verbose_name="Overall")
    due = tables.DateColumn(accessor="order__due_on", format="Y-m-d")

    def __init__(self, *args: Any, caption: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.caption = caption

    def render_position(self, record: OrderLine) -> str:
        return f"{record.order.number}/{record.position}"


class AssemblyTable(tables.Table):
    """The assemblies of one order."""

    caption = "Its assemblies"

    serial = tables.Column(linkify=lambda record: reverse("web:assembly", args=[record.code]))
    line = tables.Column("Line", accessor="run__line__position", order_by="run__line__position")
    state = tables.TemplateColumn(
        template_name="web/counter/assembly_state.html", verbose_name="Where it stands"
    )
    replaces = tables.Column(
        "In place of", linkify=lambda record: reverse("web:assembly", args=[record.replaces.code])
    )

    class Meta:
        empty_text = "Assemblies are planned when a line is confirmed."

    def render_replaces(self, value: Assembly) -> str:
        return str(value.serial)
