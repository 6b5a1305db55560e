"""Looking up what was ordered and made: every order and every assembly, not only what is open."""

from typing import Any

import django_filters
import django_tables2 as tables
from django.db.models import Q, QuerySet
from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET

from shop.assemblies.models import Assembly, State, Trouble
from shop.orders.models import Order
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.counter.queries import with_counts
from shop.web.counter.tables import OrderTable, order_url
from shop.web.registers.filters import RegisterFilter
from shop.web.registers.listing import list_page
from shop.web.registers.tables import LengthColumn


class AllOrdersTable(OrderTable):
    """Every order, the newest first."""

    caption = "Every order"

    class Meta:
        orderable = True
        order_by = "-number"
        default = "—"

    def render_due_on(self, record: Any) -> str:
        still_owed = record.quoted or record.made or record.troubled or record.released or record.to_replace
        return super().render_due_on(record) if still_owed else str(record.due_on)


class NumberedFilter(RegisterFilter):
    """A search box in which a figure alone is a number of ours, or stands in a reference of theirs."""

    NUMBERS: tuple[str, ...] = ()
    REFERENCE = "reference"

    def search(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        if not (value.isascii() and value.isdigit() and len(value) < 10):
            return super().search(rows, name, value)
        found = Q((f"{self.REFERENCE}__icontains", value))
        for column in self.NUMBERS:
            found |= Q((column, int(value)))
        return rows.filter(found)


class OrderFilter(NumberedFilter):
    """Orders by number, customer or the customer's reference."""

    SEARCH = ("customer__name", "reference")
    NUMBERS = ("number",)


class AllAssembliesTable(tables.Table):
    """Every assembly, the newest first."""

    caption = "Every assembly"

    serial = tables.Column("Serial", linkify=lambda record: reverse("web:assembly", args=[record.code]))
    state = tables.TemplateColumn(
        template_name="web/counter/assembly_state.html", verbose_name="Where it stands", orderable=False
    )
    hose = tables.Column(accessor="run__resolution__hose", orderable=False)
    overall = LengthColumn(accessor="run__resolution__overall_length", verbose_name="Overall")
    order = tables.Column(
        "Order", accessor="run__line__order__number", linkify=lambda record: order_url(record.run.line.order)
    )
    customer = tables.Column(
        accessor="run__line__order__customer", order_by="run__line__order__customer__name"
    )
    reference = tables.Column("Their reference", accessor="run__line__order__reference")

    class Meta:
        order_by = "-serial"
        default = "—"

    def value_state(self, record: Assembly) -> str:
        return record.get_trouble_display() if record.trouble else record.get_state_display()


class AssemblyFilter(NumberedFilter):
    """Assemblies by serial, order, customer, reference or hose, and by where they stand."""

    SEARCH = (
        "run__line__order__customer__name",
        "run__line__order__reference",
        "run__resolution__hose__maker",
        "run__resolution__hose__designation",
    )
    NUMBERS = ("serial", "run__line__order__number")
    REFERENCE = "run__line__order__reference"

    state = django_filters.ChoiceFilter(
        method="by_state",
        label="Where it stands",
        empty_label="anywhere",
        choices=[*State.choices, *((value, label) for value, label in Trouble.choices if value)],
    )

    def by_state(self, rows: QuerySet[Assembly], name: str, value: str) -> QuerySet[Assembly]:
        if value in Trouble.values:
            return rows.filter(trouble=value)
        return rows.filter(state=value, trouble=Trouble.NONE)


@require_GET
@needs(Permission.READ)
def orders(request: StaffRequest) -> HttpResponse:
    """Every order, open or done."""
    narrowed = OrderFilter(request.GET, queryset=with_counts(Order.objects.all()))
    context = {"filter": narrowed, "title": "Orders", "other": ("web:assemblies", "Assemblies")}
    return list_page(request, AllOrdersTable(narrowed.qs), "web/counter/looking.html", "orders", context)


@require_GET
@needs(Permission.READ)
def assemblies(request: StaffRequest) -> HttpResponse:
    """Every assembly, wherever it stands."""
    rows = Assembly.objects.select_related("run__resolution__hose", "run__line__order__customer")
    narrowed = AssemblyFilter(request.GET, queryset=rows)
    context = {"filter": narrowed, "title": "Assemblies", "other": ("web:orders", "Orders")}
    table = AllAssembliesTable(narrowed.qs)
    return list_page(request, table, "web/counter/looking.html", "assemblies", context)
