"""Attaching a worksheet to an order line, its paper, and taking it off."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from shop.core.refusals import Refusal
from shop.orders.models import AttachedWorksheet
from shop.orders.worksheets import attach_worksheet, take_worksheet_off
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.refusing import attempt
from shop.web.worksheets.for_line import ForLineForm
from shop.web.worksheets.kept import title_of, worked_out_again
from shop.web.worksheets.sheet import Worksheet
from shop.web.worksheets.views import worked_out


@require_POST
@needs(Permission.WRITE_ORDERS)
def attach(request: StaffRequest, worksheet: Worksheet) -> HttpResponse:
    """Keep what was typed, and what it comes to, with an order line."""
    for_line = ForLineForm(request.POST)
    context = worked_out(request, worksheet, request.POST, for_line)
    line, form, sheet = for_line.found, context["form"], context["sheet"]
    kept = line and attempt(
        for_line,
        lambda: attach_worksheet(
            actor=request.user,
            line=line,
            worksheet=worksheet.slug,
            typed=form.in_address,
            says="" if sheet is None else sheet.says,
        ),
    )
    if kept:
        messages.success(request, f"“{worksheet.title}” is kept with {kept.line}, where it can be printed.")
        return redirect("web:line", kept.line.order.code, kept.line.position)
    return render(request, "web/worksheets/worksheet.html", context, status=422)


@require_GET
@needs(Permission.READ)
def attached(request: StaffRequest, pk: int) -> HttpResponse:
    """An attached worksheet for the printer: whose it is, what it came to, and what it comes to today."""
    return _paper(request, _find(pk))


@require_POST
@needs(Permission.WRITE_ORDERS)
def attached_off(request: StaffRequest, pk: int) -> HttpResponse:
    """Take it off its line."""
    found = _find(pk)
    try:
        take_worksheet_off(actor=request.user, attached=found)
    except Refusal as refusal:
        return _paper(request, found, refusal)
    messages.success(
        request, f"“{title_of(found.worksheet)}” is taken off {found.line}. The ledger still has it."
    )
    return redirect("web:line", found.line.order.code, found.line.position)


def _find(pk: int) -> AttachedWorksheet:
    found = AttachedWorksheet.objects.select_related("entry", "line__order__customer", "removal__entry")
    return get_object_or_404(found, pk=pk)


def _paper(request: StaffRequest, found: AttachedWorksheet, refusal: Refusal | None = None) -> HttpResponse:
    [kept] = worked_out_again([found])
    context = {"kept": kept, "line": found.line, "order": found.line.order, "refusal": refusal}
    context |= {"worksheet": kept.worksheet, "form": kept.form, "sheet": kept.sheet, "now": timezone.now()}
    return render(request, "web/worksheets/attached.html", context, status=200 if refusal is None else 422)
