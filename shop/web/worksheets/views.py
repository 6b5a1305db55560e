"""The worksheets' pages. They look and work out, and what is typed stands in the address; see `keeping`."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET
from django_htmx.http import replace_url

from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.for_line import LINE, ForLineForm, answers_of, asked_for
from shop.web.worksheets.sheet import Worksheet


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Everything that can be worked out here; with `line`, for an order line."""
    context = {"worksheets": WORKSHEETS, "for_line": asked_for(request.GET)}
    return render(request, "web/worksheets/index.html", context)


@require_GET
@needs(Permission.READ)
def page(request: StaffRequest, worksheet: Worksheet) -> HttpResponse:
    """A worksheet: its questions, and the answer if they are answered in the address."""
    context = worked_out(request, worksheet, request.GET, asked_for(request.GET))
    return render(request, "web/worksheets/worksheet.html", context)


@require_GET
@needs(Permission.READ)
def answer(request: StaffRequest, worksheet: Worksheet) -> HttpResponse:
    """The answer alone, while a person types; the address of the page then has what was typed."""
    context = worked_out(request, worksheet, request.GET, asked_for(request.GET))
    context["missing"] = context["form"].leave_blanks()
    response = render(request, "web/worksheets/fragment.html", context)
    typed = urlencode([(name, value) for name, value in request.GET.items() if value])
    return replace_url(response, f"{reverse(worksheet.page)}?{typed}")


def worked_out(
    request: StaffRequest, worksheet: Worksheet, sent: QueryDict, for_line: ForLineForm
) -> dict[str, Any]:
    """The form with what was sent, the sheet if that can be worked out, and the line that it is for.

    As long as nothing was typed, the line answers what it can.
    """
    typed = sent if sent.keys() - {LINE} else None
    form, sheet = worksheet.work_out(typed, answers_of(for_line.found, worksheet.slug))
    return {
        "worksheet": worksheet,
        "form": form,
        "sheet": sheet,
        "for_line": for_line,
        "may_attach": request.user.may(Permission.WRITE_ORDERS),
        "now": timezone.now(),
    }
