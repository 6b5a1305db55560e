"""What was in force on a past day, beside today: of the workshop, and of one thing on its own page."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Model
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.people.permissions import Permission
from shop.trace.in_force import workshop_as_of
from shop.trace.thing_as_of import thing_as_of
from shop.web.access import StaffRequest, needs
from shop.web.record.forms import AsOfForm


@require_GET
@needs(Permission.READ)
def as_of_a_day(request: StaffRequest) -> HttpResponse:
    """With `?as_of=`, what of policy, charts, gauges, authorities and tools stood otherwise then."""
    form = AsOfForm(request.GET or None)
    kinds = [] if form.day is None else workshop_as_of(form.day)
    context = {"form": form, "day": form.day, "kinds": kinds}
    return render(request, "web/quality/as_of.html", context)


def asked_as_of(request: StaffRequest, thing: Model) -> Mapping[str, Any]:
    """What `web/parts/as_of.html` shows on the page of a thing: the day that is asked for, then and now."""
    form = AsOfForm(request.GET if "as_of" in request.GET else None)
    compared = () if form.day is None else thing_as_of(thing, form.day)
    return {"as_of_form": form, "as_of_day": form.day, "as_of_compared": compared}
