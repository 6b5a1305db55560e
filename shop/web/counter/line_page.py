"""The page of one line, and the sheet below the form while one is written."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from shop.assemblies.models import Assembly
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.core.refusals import Refusal
from shop.orders.drawing import drawing_of_line
from shop.orders.models import OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import find_differences
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.access import StaffRequest
from shop.web.counter.line_form import LineForm
from shop.web.counter.outcome import drawn, outcome_of, workshop_unit
from shop.web.counter.queries import stopped_lines

DRAWN_FROM = frozenset({"hose", "fitting_a", "fitting_b", "overall_typed"})


def preview_of(form: LineForm, line: OrderLine) -> dict[str, Any]:
    """What the typed line comes to; or the drawing as far as it can be drawn, and what is still to be said.

    `line` is written on but not saved.
    """
    if form.is_valid():
        return {"outcome": outcome_of(resolve_line(form.apply_to(line), today()))}
    missing = [field for field in form if field.errors and not field.value()]
    wrong = [field for field in form if field.errors and field.value()]
    context: dict[str, Any] = {"missing": missing, "wrong": wrong}
    if form.cleaned_data.keys() >= DRAWN_FROM:
        context["drawing"] = drawn(drawing_of_line(form.sketch(), workshop_unit()))
    return context


def line_page(request: StaffRequest, line: OrderLine, refusal: Refusal | None = None) -> HttpResponse:
    """Show the line: as a quotation, confirmed, or with what has changed since."""
    proposal = resolve_line(line, today())
    confirmed = line.resolution
    unfinished = Assembly.objects.filter(run__line=line, state__in=ON_THE_ROAD).count()
    return render(
        request,
        "web/counter/line.html",
        {
            "line": line,
            "order": line.order,
            "outcome": outcome_of(proposal),
            "confirmed": confirmed,
            "unfinished": unfinished,
            "is_stopped": stopped_lines(today()).filter(pk=line.pk).exists(),
            "differences": find_differences(line, proposal) if unfinished else (),
            "refusal": refusal,
            "may_write": request.user.may(Permission.WRITE_ORDERS),
            "may_confirm": request.user.may(Permission.CONFIRM_ORDERS),
        },
    )
