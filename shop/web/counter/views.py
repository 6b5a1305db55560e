"""The counter: what is open, and the orders themselves."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods
from django_tables2 import RequestConfig

from shop.assemblies.models import Assembly
from shop.assemblies.owing import quotations
from shop.orders.models import Order
from shop.orders.services import open_order, save_order
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.access import StaffRequest, needs
from shop.web.counter.beginning import first_needs
from shop.web.counter.forms import NewOrderForm, OrderForm
from shop.web.counter.lines import lines_of
from shop.web.counter.queries import open_orders, stopped_lines, with_counts
from shop.web.counter.tables import AssemblyTable, LineTable, OrderTable, where_it_stands
from shop.web.refusing import attempt

ROWS = 25


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """What is open: orders by the day they are due, quotations, lines stopped by a newer chart."""
    config = RequestConfig(request, paginate={"per_page": ROWS})
    orders = OrderTable(open_orders())
    waiting = {
        "stopped": (stopped_lines(today()), "Stopped: their chart has moved on"),
        "quoted": (quotations(), "Quotations to confirm"),
    }
    tables = {
        name: LineTable(
            rows.select_related("order__customer", "hose"), caption=caption, prefix=f"{name}-", order_by="due"
        )
        for name, (rows, caption) in waiting.items()
    }
    for table in (orders, *tables.values()):
        config.configure(table)
    context = {"may_write": request.user.may(Permission.WRITE_ORDERS), "needs": first_needs()}
    return render(request, "web/counter/index.html", {"orders": orders, **tables, **context})


@require_http_methods(["GET", "POST"])
@needs(Permission.WRITE_ORDERS)
def order_new(request: StaffRequest) -> HttpResponse:
    """Open an order, for a customer on the list or one who is written there with it."""
    form = NewOrderForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        opened = attempt(
            form,
            lambda: open_order(
                actor=request.user, customer=form.customer_for_order(), order=form.apply_to(Order())
            ),
        )
        if opened is not None:
            messages.success(request, f"Order {opened.number} is open. Write its first line.")
            return redirect("web:line_new", opened.code)
    return render(request, "web/counter/order_new.html", {"form": form})


@require_http_methods(["GET", "POST"])
@needs(Permission.WRITE_ORDERS)
def order_change(request: StaffRequest, code: str) -> HttpResponse:
    """Change customer, reference or due date."""
    found = get_object_or_404(Order.objects.select_related("customer"), code=code)
    form = OrderForm.of(found, request.POST or None)
    if request.method == "POST" and form.is_valid():
        saved = attempt(form, lambda: save_order(actor=request.user, order=form.apply_to(found)))
        if saved is not None:
            messages.success(request, f"The head of order {saved.number} is changed.")
            return redirect("web:order", saved.code)
    return render(request, "web/counter/order_change.html", {"form": form, "order": found})


@require_GET
@needs(Permission.READ)
def order(request: StaffRequest, code: str) -> HttpResponse:
    """One order: its head, its lines with what is open, its assemblies."""
    found = get_object_or_404(with_counts(Order.objects.all()), code=code)
    assemblies = AssemblyTable(
        Assembly.objects.filter(run__line__order=found).select_related("run__line", "replaces"),
        order_by="serial",
    )
    RequestConfig(request, paginate={"per_page": ROWS}).configure(assemblies)
    return render(
        request,
        "web/counter/order.html",
        {
            "order": found,
            "stands": where_it_stands(found),
            "lines": lines_of(found),
            "assemblies": assemblies,
            "may_write": request.user.may(Permission.WRITE_ORDERS),
        },
    )
