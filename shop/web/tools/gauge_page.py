"""One gauge: where it stands, which tolerances it is fit for, and how it reads on a check piece."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.engineering.decision import DecisionRule, finest_tolerance_mm
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.services import policy_in_force, today
from shop.tooling.models import Calibration, CheckPiece, Gauge, GaugeCheck
from shop.tooling.services import check_gauge
from shop.web.access import StaffRequest, needs
from shop.web.quality.as_of import asked_as_of
from shop.web.refusing import answered_doubts, attempt
from shop.web.tools.calibrations import standing
from shop.web.tools.forms import GaugeCheckForm
from shop.web.tools.found_wrong import GAUGES, what_rests_on


@dataclass(frozen=True)
class Fitness:
    """The finest tolerance (mm) that a gauge may judge under a decision rule, and whether that is ours."""

    rule: str
    finest: Decimal
    is_ours: bool


def more_of_gauge(request: StaffRequest, gauge: Any) -> Mapping[str, Any]:
    """Its calibrations and checks, newest first, with who recorded each, its fitness, what is in question."""
    calibrations = list(gauge.calibrations.select_related("entry", "gauge").order_by("-done_on", "-entry"))
    checks = list(gauge.checks.select_related("entry", "piece").order_by("-entry"))
    names = names_of(record.actor_number for record in (*calibrations, *checks))
    return {
        "standing": standing(gauge, today()),
        "calibrations": [(found, names[found.actor_number]) for found in calibrations],
        "checks": [(found, names[found.actor_number]) for found in checks],
        "fitness": _fitness(gauge.calibration_on(today())),
        **what_rests_on(GAUGES, gauge),
        "may_calibrate": request.user.may(Permission.CALIBRATE),
        "may_try": request.user.may(Permission.KEEP_TOOLS),
        **asked_as_of(request, gauge),
    }


def _fitness(calibration: Calibration | None) -> list[Fitness]:
    if calibration is None:
        return []
    policy = policy_in_force()
    return [
        Fitness(
            rule=words,
            finest=finest_tolerance_mm(calibration.uncertainty, DecisionRule(rule), policy.gauge_share),
            is_ours=rule == policy.decision_rule,
        )
        for rule, words in policy._meta.get_field("decision_rule").flatchoices
    ]


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_TOOLS)
def try_gauge(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what a gauge reads on a check piece."""
    gauge = get_object_or_404(Gauge, pk=pk)
    form, sure = GaugeCheckForm(request.POST or None), answered_doubts(request.POST)
    if request.method == "POST" and form.is_valid():
        done = attempt(
            form, lambda: check_gauge(actor=request.user, gauge=gauge, sure=sure, **form.cleaned_data)
        )
        if done is not None:
            return _after_try(request, done)
    context = {"gauge": gauge, "form": form, "pieces": CheckPiece.objects.filter(blocked_because="").exists()}
    return render(request, "web/tools/try.html", context)


def _after_try(request: StaffRequest, done: GaugeCheck) -> HttpResponse:
    if done.passed:
        messages.success(request, f"{done.gauge} is right on {done.piece}.")
        return redirect("web:gauges_item", done.gauge_id)
    messages.warning(request, f"{done.gauge} is out of use from now on. Below is what rests on it.")
    return redirect(f"{GAUGES.measured_url(done.gauge)}?fault={done.pk}")
