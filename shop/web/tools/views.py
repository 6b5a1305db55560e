"""The tool cabinet's first page, and calibrations of gauges."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.wear import due_for_a_check
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling.models import Calibration
from shop.web.access import StaffRequest, needs
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.places import Open, shelves
from shop.web.registers.register import Register
from shop.web.tools.calibrations import due_soon, gauges, over, pressure_gauges
from shop.web.tools.filters import DUE, OVER, SOON
from shop.web.tools.forms import CalibrationForm, due_again
from shop.web.tools.pressure_gauges import PRESSURE_GAUGES
from shop.web.tools.registers import GAUGES, REGISTERS, WORN

CALIBRATED = {GAUGES.slug: gauges, PRESSURE_GAUGES.slug: pressure_gauges}


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """The cabinet: how many of each there are, which gauges are due, what is blocked."""
    shelf_list = shelves(REGISTERS, _waiting)
    context = {
        "title": "Tools",
        "lead": "What stands and lies in the workshop, by number. A gauge out of calibration can't judge; "
        "what is blocked can't be picked at the bench.",
        "shelves": shelf_list,
        "next": next((found for shelf in shelf_list for found in shelf.open), None),
        "empty": next((shelf for shelf in shelf_list if not shelf.count), None),
    }
    return render(request, "web/tools/index.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.CALIBRATE)
def calibrate(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what a gauge read against a standard."""
    gauge = get_object_or_404(GAUGES.all_rows(), pk=pk)
    day, sure = today(), answered_doubts(request.POST)
    first = {"done_on": day, "due_on": due_again(day, gauge.interval_months), "passed": True}
    form = CalibrationForm(request.POST or None, instance=Calibration(gauge=gauge), initial=first)
    if request.method == "POST" and form.is_valid():
        done = attempt(form, lambda: form.take(actor=request.user, sure=sure))
        if done is not None:
            messages.success(request, f"The calibration of {gauge} is recorded; it is the one that counts.")
            return redirect(GAUGES.url("item", pk))
    context = {"register": GAUGES, "gauge": gauge, "form": form, "sure": sure}
    return render(request, "web/tools/calibrate.html", context)


def _waiting(register: Register) -> Sequence[Open]:
    if not register.label:
        return ()
    rows, address = register.all_rows(), register.list_url
    blocked = Open(rows.exclude(blocked_because="").count(), "blocked", f"{address}?usable=no")
    if register in WORN:
        due = Open(due_for_a_check(rows).count(), "due to be looked at", f"{address}?check={DUE}")
        return (due, blocked)
    if register.slug not in CALIBRATED:
        return (blocked,)
    usable = CALIBRATED[register.slug]().filter(blocked_because="")
    return (
        Open(over(usable, today()).count(), "that can't judge today", f"{address}?calibration={OVER}"),
        Open(due_soon(usable, today()).count(), "due soon", f"{address}?calibration={SOON}"),
        blocked,
    )
