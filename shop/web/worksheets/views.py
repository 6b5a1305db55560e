"""The worksheets' pages. All of them only look and work out; what is typed stands in the address."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET
from django_htmx.http import replace_url

from shop.engineering.errors import EngineeringError
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.sheet import Worksheet


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Everything that can be worked out here."""
    return render(request, "web/worksheets/index.html", {"worksheets": WORKSHEETS})


@require_GET
@needs(Permission.READ)
def page(request: StaffRequest, worksheet: Worksheet) -> HttpResponse:
    """A worksheet: its questions, and the answer if they are answered in the address."""
    return render(request, "web/worksheets/worksheet.html", _worked_out(request, worksheet))


@require_GET
@needs(Permission.READ)
def answer(request: StaffRequest, worksheet: Worksheet) -> HttpResponse:
    """The answer alone, while a person types; the address of the page then has what was typed."""
    context = _worked_out(request, worksheet)
    context["missing"] = context["form"].leave_blanks()
    response = render(request, "web/worksheets/fragment.html", context)
    typed = urlencode([(name, value) for name, value in request.GET.items() if value])
    return replace_url(response, f"{reverse(worksheet.page)}?{typed}")


def _worked_out(request: HttpRequest, worksheet: Worksheet) -> dict[str, Any]:
    """The form with what was typed, and the sheet if that can be worked out."""
    form = worksheet.form(request.GET or None)
    context: dict[str, Any] = {"worksheet": worksheet, "form": form, "now": timezone.now()}
    if form.is_valid():
        try:
            context["sheet"] = worksheet.work(form.cleaned_data)
        except EngineeringError as error:
            form.refuse(error)
    return context
