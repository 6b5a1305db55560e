"""Comparing a row of a printed table with its document: what the file says is not shown meanwhile."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.people.permissions import Permission
from shop.standards.figures import TITLES, PrintedRow, confirm_figures, figure_value, printed_rows
from shop.standards.models import FigureConfirmation
from shop.standards.refusals import NotAFigure
from shop.web.access import StaffRequest, needs
from shop.web.refusing import attempt

_PAGES = {"length_tolerances": "web:tolerances", "sizes": "web:sizes", "tube_sized_bores": "web:sizes"}


class FigureField(forms.CharField):
    """A figure as a document prints it: cleans to its text, which can be read as a number."""

    def clean(self, value: Any) -> str:
        text: str = super().clean(value)
        try:
            figure_value(text)
        except NotAFigure as refusal:
            raise ValidationError(str(refusal)) from refusal
        return text


class FiguresForm(forms.Form):
    """The document, and a question for each figure of the row, empty to begin with."""

    document = forms.CharField(
        max_length=200, help_text="Title, edition and date of the document that you have before you."
    )

    def __init__(self, row: PrintedRow, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data)
        self._figures = {f"figure_{n}": figure for n, figure in enumerate(row.figures, start=1)}
        for name, figure in self._figures.items():
            field = FigureField(label=figure.asks, max_length=20, required=not figure.may_be_missing)
            field.widget.attrs |= {"autocomplete": "off", "size": 12}
            if figure.unit:
                field.widget.attrs["data-unit"] = figure.unit
            self.fields[name] = field

    @property
    def typed(self) -> dict[str, str]:
        """What was typed, by the names of the row's figures; for a form that is valid."""
        return {figure.name: self.cleaned_data[name] for name, figure in self._figures.items()}


@require_http_methods(["GET", "POST"])
@needs(Permission.CONFIRM_RATINGS)
def confirm(request: StaffRequest, table: str, number: int) -> HttpResponse:
    """Type the figures that the document prints for one row, without seeing the table's."""
    row = _find(table, number)
    form = FiguresForm(row, request.POST or None)
    page = _PAGES.get(table, "web:figures")
    if request.method == "POST" and form.is_valid():
        written = attempt(form, lambda: _write(request, row, form))
        if written is not None:
            messages.success(request, f"{row.row}: confirmed against {written.document}.")
            return redirect(page)
    context = {"row": row, "title": TITLES[table], "page": reverse(page), "form": form}
    return render(request, "web/reference/figures_confirm.html", context)


def _find(table: str, number: int) -> PrintedRow:
    rows = printed_rows(table) if table in TITLES else ()
    if not 1 <= number <= len(rows):
        raise Http404("No printed table has this row.")
    return rows[number - 1]


def _write(request: StaffRequest, row: PrintedRow, form: FiguresForm) -> FigureConfirmation:
    return confirm_figures(
        actor=request.user,
        table=row.table,
        row=row.row,
        document=form.cleaned_data["document"],
        typed=form.typed,
    )
