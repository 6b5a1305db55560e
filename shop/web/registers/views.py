"""The pages of every register. `register_urls` gives each view its register and its permission."""

from typing import Any

from django.contrib import messages
from django.db import models
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django_tables2 import RequestConfig

from shop.documents.labels import Label, label_sheet
from shop.documents.refusals import PdfNotInstalled
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.web.access import StaffRequest
from shop.web.files import shown_pdf
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.confirming import ConfirmForm
from shop.web.registers.describing import describe
from shop.web.registers.export import CONTENT_TYPES, export
from shop.web.registers.history import tell
from shop.web.registers.register import Register
from shop.web.registers.sheet import Sheet

PER_PAGE = 25
MOST_LABELS = 200  # about five seconds' work


def list_rows(request: StaffRequest, register: Register) -> HttpResponse:
    """All rows: sorted, narrowed, paged."""
    rows, narrowed = _narrowed(request, register)
    table = register.table(rows)
    RequestConfig(request, paginate={"per_page": PER_PAGE}).configure(table)
    context = {
        "register": register,
        "table": table,
        "filter": narrowed,
        "add_label": f"Add {register.a_noun}",
        "is_empty": not rows.exists() and not register.all_rows().exists(),
        "may_write": request.user.may(register.write),
        **(register.more_of_list() if register.more_of_list else {}),
    }
    return render(request, register.list_template, context)


def add(request: StaffRequest, register: Register) -> HttpResponse:
    """Write a new row."""
    return _write(request, register, register.model(), f"Add {register.a_noun}")


def change(request: StaffRequest, register: Register, pk: int) -> HttpResponse:
    """Write an existing row again."""
    row = get_object_or_404(register.all_rows(), pk=pk)
    return _write(request, register, row, f"Change {row}")


def look(request: StaffRequest, register: Register, pk: int) -> HttpResponse:
    """One row: its values, and what the ledger tells of it."""
    row = get_object_or_404(register.all_rows(), pk=pk)
    context = {
        "register": register,
        "row": row,
        "values": describe(register.form, row),
        "history": tell(row),
        "may_write": request.user.may(register.write),
        "may_confirm": request.user.may(Permission.CONFIRM_RATINGS),
        "change_url": register.url("change", pk),
        "confirm_url": register.url("confirm", pk) if register.confirm else "",
        "confirmed_by": _confirmed_by(row) if register.confirm else "",
        **(register.more_of_row(request, row) if register.more_of_row else {}),
    }
    return render(request, register.item_template, context)


def confirm(request: StaffRequest, register: Register, pk: int) -> HttpResponse:
    """Type the figure that the document prints, without seeing the table's."""
    assert register.confirm is not None
    row = get_object_or_404(register.all_rows(), pk=pk)
    form = ConfirmForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        document, write = form.cleaned_data["document"], register.confirm
        if attempt(form, lambda: write(request.user, row, document, form.figure)) is not None:
            messages.success(request, f"The rating of {row} is confirmed against {document}.")
            return redirect(register.url("item", pk))
    return render(request, "web/registers/confirm.html", {"register": register, "row": row, "form": form})


def export_rows(request: StaffRequest, register: Register) -> HttpResponse:
    """The list, narrowed as on the page, as a file that can be taken in again."""
    file_format = request.GET.get("format", "csv")
    if file_format not in CONTENT_TYPES:
        raise Http404(f"Lists export as {' or '.join(CONTENT_TYPES)}.")
    rows, _ = _narrowed(request, register)
    return export(sheet_of(register), rows, name=register.slug, file_format=file_format)


def labels(request: StaffRequest, register: Register) -> HttpResponse:
    """Labels of one row (`?pk=`), or of the list as it is narrowed, as PDF."""
    rows, _ = _narrowed(request, register)
    if (key := request.GET.get("pk", "")).isdecimal():
        rows = register.all_rows().filter(pk=key)
    if rows.count() > MOST_LABELS:
        messages.warning(
            request, f"That is more than {MOST_LABELS} labels. Narrow the list, then print them."
        )
        return redirect(register.list_url)
    try:
        pdf = label_sheet([Label(row.code, register.noun, *register.label_lines(row)) for row in rows])
    except PdfNotInstalled as refusal:
        context = {"register": register, "refusal": refusal}
        return render(request, "web/registers/no_labels.html", context, status=503)
    return shown_pdf(pdf, f"{register.slug}-labels.pdf")


def template(request: StaffRequest, register: Register) -> HttpResponse:
    """A file with the headers only."""
    return export(sheet_of(register), (), name=f"{register.slug}-template", file_format="csv")


def sheet_of(register: Register) -> Sheet:
    """What a CSV of this register is taken into."""
    return Sheet(register.form, register.model, register.all_rows())


def _confirmed_by(part: Any) -> str:
    confirmation = part.confirmation
    number = confirmation.actor_number if confirmation else None
    return "" if number is None else names_of([number])[number]


def _narrowed(request: StaffRequest, register: Register) -> tuple[models.QuerySet[Any], Any]:
    rows = register.all_rows()
    if register.filterset is None:
        return rows, None
    narrowed = register.filterset(request.GET, queryset=rows)
    return narrowed.qs, narrowed


def _write(request: StaffRequest, register: Register, row: models.Model, heading: str) -> HttpResponse:
    form = register.form(request.POST or None, instance=row)
    sure = answered_doubts(request.POST)
    if request.method == "POST" and form.is_valid():
        written = attempt(form, lambda: form.take(actor=request.user, sure=sure))
        if written is not None:
            messages.success(request, f"{written} is written.")
            return redirect(register.url("item", written.pk))
    context = {"register": register, "form": form, "heading": heading, "sure": sure}
    return render(request, "web/registers/form.html", context)
