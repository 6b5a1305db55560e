"""The list of customers."""

from collections.abc import Mapping
from typing import Any

import django_tables2 as tables
from django.db.models import Count, QuerySet

from shop.orders.models import Customer
from shop.orders.services import save_customer
from shop.people.models import User
from shop.people.permissions import Permission
from shop.web.access import StaffRequest
from shop.web.counter.queries import open_orders
from shop.web.counter.tables import OrderTable
from shop.web.registers.filters import RegisterFilter
from shop.web.registers.forms import RegisterForm
from shop.web.registers.register import Register
from shop.web.registers.tables import FigureColumn, ItemColumn

MOST_ORDERS = 50  # of one customer that are shown on its page


class CustomerForm(RegisterForm):
    """A customer with a number of its own."""

    KEY = ("number",)

    class Meta(RegisterForm.Meta):
        model = Customer
        fields = ["number", "name", "contact", "address", "length_rules"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Customer:
        return save_customer(actor=actor, customer=self.instance)


class CustomerTable(tables.Table):
    """Customers with how many orders each has given."""

    name = ItemColumn("customers")
    orders_count = FigureColumn(verbose_name="Orders")

    class Meta:
        model = Customer
        fields = ("name", "number", "contact", "orders_count")


class CustomerFilter(RegisterFilter):
    """Customers by any word of their name, number, contact or address."""

    SEARCH = ("name", "number", "contact", "address")


def _customers() -> QuerySet[Customer]:
    counted: QuerySet[Customer] = Customer.objects.annotate(orders_count=Count("orders"))
    return counted


def _open_orders(request: StaffRequest, customer: Customer) -> Mapping[str, Any]:
    orders = open_orders().filter(customer=customer)[:MOST_ORDERS]
    return {
        "orders": OrderTable(orders, orderable=False),
        "may_erase": request.user.may(Permission.ERASE),
    }


CUSTOMERS = Register(
    slug="customers",
    place="counter",
    title="Customers",
    noun="customer",
    about="Whoever orders hose. Add the first one here, or while you write an order.",
    model=Customer,
    form=CustomerForm,
    table=CustomerTable,
    filterset=CustomerFilter,
    write=Permission.KEEP_CUSTOMERS,
    rows=_customers,
    item_template="web/counter/customer.html",
    more_of_row=_open_orders,
)
