"""From anything in hand to everything that it touched: counts first, then the assemblies."""

from dataclasses import dataclass, replace
from typing import Any

from django.db.models import Count, Model, QuerySet
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET
from django_tables2 import RequestConfig

from shop.assemblies.models import Assembly, State
from shop.core.refusals import Refusal
from shop.orders.models import Customer, Order
from shop.people.models import User
from shop.people.permissions import Permission
from shop.stock.models import Lot
from shop.trace.naming import NAMED_WITH, things_meant
from shop.trace.reaching import Way, reached_by, suspicion_of, ways_to
from shop.trace.recalling import customers_of, whereabouts_of_all
from shop.trace.thing_as_of import ROWS_OF
from shop.web.access import StaffRequest, needs
from shop.web.quality.lookups.address import KINDS, kind_of, lookup_address, own_page
from shop.web.quality.lookups.files import as_download
from shop.web.quality.lookups.forms import FindForm, LookupFilterForm
from shop.web.quality.lookups.tables import TouchedTable
from shop.web.quality.recalls.address import address_of
from shop.web.refusing import attempt
from shop.web.registers.export import CONTENT_TYPES
from shop.web.registers.views import PER_PAGE
from shop.web.tools.tables import made_rows

CUSTOMERS_AT_ONCE = 10


@dataclass(frozen=True)
class Answer:
    """One thing that the box may mean."""

    thing: Model
    note: str
    address: str

    @property
    def kind(self) -> str:
        """What it is, in words."""
        return kind_of(self.thing)


@require_GET
@needs(Permission.READ)
def find(request: StaffRequest) -> HttpResponse:
    """One box: a single answer is gone to, several are offered."""
    form = FindForm(request.GET if "which" in request.GET else None)
    answers: list[Answer] = []
    if form.is_valid():
        things = attempt(form, lambda: things_meant(form.cleaned_data["which"])) or []
        answers = [
            Answer(thing, note_on(thing), lookup_address(thing) or own_page(thing)) for thing in things
        ]
    if len(answers) == 1:
        return redirect(answers[0].address)
    return render(request, "web/quality/lookups/find.html", {"form": form, "answers": answers})


@require_GET
@needs(Permission.READ)
def looked_up(request: StaffRequest, kind: str, pk: int) -> HttpResponseBase:
    """What one thing touched."""
    if kind not in KINDS:
        raise Http404
    rows = KINDS[kind]._default_manager.select_related(*NAMED_WITH.get(KINDS[kind], ()))
    thing = get_object_or_404(rows, pk=pk)
    ways, every = ways_to(thing), reached_by(thing)
    customers = customers_of(every)
    form = LookupFilterForm(request.GET, ways=ways, customers=customers)
    found = narrowed(thing, form) if form.is_valid() else every
    table = TouchedTable(made_rows(found, "cut__entry__happened_at"), thing=thing)
    refusal = None
    if (file_format := request.GET.get("_export", "")) in CONTENT_TYPES:
        RequestConfig(request, paginate=False).configure(table)
        try:
            return as_download(thing, table.data.data, name=f"{kind}-{pk}", file_format=file_format)
        except Refusal as too_long:
            refusal = too_long
    context: dict[str, Any] = {
        "thing": thing,
        "table": table,
        "note": note_on(thing),
        "kind": kind_of(thing),
        "page": own_page(thing),
        "has_as_of": type(thing) in ROWS_OF,
        "where": whereabouts_of_all(customers),
        "ways": [(way, _suspected(thing, way, form)) for way in ways],
        "states": _states(every),
        "customers": customers[:CUSTOMERS_AT_ONCE],
        "more_customers": customers[CUSTOMERS_AT_ONCE:],
        "filter": {"form": form},
        "refusal": refusal,
    }
    RequestConfig(request, paginate={"per_page": PER_PAGE}).configure(table)
    table.export_formats = list(CONTENT_TYPES)
    return render(request, "web/quality/lookups/thing.html", context)


def narrowed(thing: Model, form: LookupFilterForm) -> QuerySet[Assembly]:
    """Those that the thing touched in the way, in the time and for the customer that are asked for."""
    found = reached_by(thing, form.link, form.window)
    if form.cleaned_data["state"]:
        found = found.filter(state=form.cleaned_data["state"])
    key = form.customer_key
    return found if key is None else found.filter(run__line__order__customer=key)


def note_on(thing: Model) -> str:
    """What tells it from others that go by the same name."""
    match thing:
        case Assembly():
            return thing.get_state_display()
        case Lot():
            return f"{thing.item}, batch {thing.batch}" if thing.batch else str(thing.item)
        case Order():
            return f"{thing.customer}, {thing.reference}" if thing.reference else str(thing.customer)
        case Customer() | User():
            return f"number {thing.number}"
    return ""


def _suspected(thing: Model, way: Way, form: LookupFilterForm) -> str:
    """The page on which what was touched in that way is suspected, narrowed as it is here."""
    if not form.is_valid():
        return address_of(suspicion_of(thing, way.link))
    suspicion = suspicion_of(thing, way.link, form.window)
    key = form.customer_key
    if key is not None:
        suspicion = replace(suspicion, things={**suspicion.things, "customer": (key,)})
    return address_of(suspicion)


def _states(every: QuerySet[Assembly]) -> list[tuple[State, int]]:
    counts = dict(every.order_by().values_list("state").annotate(count=Count("pk")))
    return [(state, counts[state]) for state in State if state in counts]
