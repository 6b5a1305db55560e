"""Writing a line, seeing what it comes to, confirming it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.assemblies.planning import resolve_again, start_line
from shop.core.refusals import Refusal
from shop.orders.models import Order, OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import cancel_line, save_line
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.access import StaffRequest, needs
from shop.web.counter.line_form import LineForm
from shop.web.counter.line_page import line_page, preview_of
from shop.web.counter.named import HOSES, KINDS, suggest
from shop.web.counter.outcome import outcome_of
from shop.web.refusing import answered_doubts, attempt


@require_http_methods(["GET", "POST"])
@needs(Permission.WRITE_ORDERS)
def line_new(request: StaffRequest, code: str) -> HttpResponse:
    """Write a line; with `like`, beginning with what another line of the order says."""
    order = get_object_or_404(Order.objects.select_related("customer"), code=code)
    like, data = request.GET.get("like", ""), request.POST or None
    form = LineForm.of(find_line(code, int(like)), data) if like.isdecimal() else LineForm(order, data)
    return _write(request, form, OrderLine(order=order))


@require_http_methods(["GET", "POST"])
@needs(Permission.WRITE_ORDERS)
def line_change(request: StaffRequest, code: str, position: int) -> HttpResponse:
    """Change a line that isn't confirmed yet."""
    found = find_line(code, position)
    return _write(request, LineForm.of(found, request.POST or None), found)


@require_POST
@needs(Permission.WRITE_ORDERS)
def line_preview(request: StaffRequest, code: str) -> HttpResponse:
    """What the line comes to while it is being written. Writes nothing."""
    order = get_object_or_404(Order, code=code)
    return render(
        request, "web/counter/preview.html", preview_of(LineForm(order, request.POST), OrderLine(order=order))
    )


@require_GET
@needs(Permission.READ)
def line_parts(request: StaffRequest) -> HttpResponse:
    """Names to suggest for what was typed so far into a field."""
    kind = KINDS.get(request.GET.get("kind", ""), HOSES)
    text = request.GET.get(request.GET.get("field", ""), "")
    names = suggest(kind, text, request.GET.get("hose", ""))
    return render(request, "web/counter/suggestions.html", {"suggestions": names})


@require_GET
@needs(Permission.READ)
def line(request: StaffRequest, code: str, position: int) -> HttpResponse:
    """One line: what it comes to, what is open, and what has changed since it was confirmed."""
    return line_page(request, find_line(code, position))


@require_POST
@needs(Permission.CONFIRM_ORDERS)
def line_confirm(request: StaffRequest, code: str, position: int) -> HttpResponse:
    """Confirm the line as it stands today, and plan its assemblies."""
    found = find_line(code, position)
    return _act(
        request,
        found,
        lambda: start_line(actor=request.user, line=found),
        f"{found} is confirmed and its assemblies are planned. Next they are cut at the bench.",
    )


@require_POST
@needs(Permission.CONFIRM_ORDERS)
def line_again(request: StaffRequest, code: str, position: int) -> HttpResponse:
    """Confirm the line again, for what it comes to now."""
    found = find_line(code, position)
    return _act(
        request,
        found,
        lambda: resolve_again(actor=request.user, line=found),
        f"{found} is confirmed again. What is unfinished goes on with the new values.",
    )


@require_POST
@needs(Permission.WRITE_ORDERS)
def line_cancel(request: StaffRequest, code: str, position: int) -> HttpResponse:
    """Cancel a quotation."""
    found = find_line(code, position)
    return _act(
        request,
        found,
        lambda: cancel_line(actor=request.user, line=found),
        f"{found} is cancelled. The order keeps it for the record.",
    )


def find_line(code: str, position: int) -> OrderLine:
    """The line with the parts that its pages name."""
    lines = OrderLine.objects.select_related(
        "order__customer",
        "hose__standard",
        "fitting_a__series",
        "fitting_a__connection",
        "fitting_a__seal",
        "fitting_b__series",
        "fitting_b__connection",
        "fitting_b__seal",
        "fluid",
    )
    return get_object_or_404(lines, order__code=code, position=position)


def _write(request: StaffRequest, form: LineForm, line: OrderLine) -> HttpResponse:
    sure = answered_doubts(request.POST)
    page = {"form": form, "line": line, "order": line.order, "answered": sorted(sure)}
    if form.is_bound and form.is_valid():
        proposal = attempt(form, lambda: save_line(actor=request.user, line=form.apply_to(line), sure=sure))
        if proposal is not None:
            words = "Confirm it." if proposal.can_be_confirmed else "See to what is open, then confirm it."
            messages.success(request, f"{line} is written. {words}")
            return redirect("web:line", line.order.code, line.position)
        page["outcome"] = outcome_of(resolve_line(line, today()))
    elif form.is_bound:
        page |= preview_of(form, line)
    elif line.pk:
        page["outcome"] = outcome_of(resolve_line(line, today()))
    return render(request, "web/counter/line_form.html", page)


def _act(request: StaffRequest, line: OrderLine, act: Callable[[], object], done: str) -> HttpResponse:
    """Do it and say so; or show the line with the reason why not."""
    try:
        act()
    except Refusal as refusal:
        return line_page(request, line, refusal)
    messages.success(request, done)
    return redirect("web:line", line.order.code, line.position)
