"""One gauge: where it stands, which tolerances it is fit for, and what rests on it when it was wrong."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.engineering.decision import DecisionRule, finest_tolerance_mm
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.services import policy_in_force, today
from shop.tooling.models import Calibration, CheckPiece, Gauge, GaugeCheck
from shop.tooling.services import check_gauge
from shop.trace.made_with import measured_with, span_before_fault
from shop.trace.recalling import recall_doubtful
from shop.trace.weighing import weigh
from shop.web.access import StaffRequest, needs
from shop.web.quality.recalls.forms import RecallForm
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.listing import list_page
from shop.web.tools.calibrations import standing
from shop.web.tools.forms import GaugeCheckForm
from shop.web.tools.tables import MadeTable


@dataclass(frozen=True)
class Fitness:
    """The finest tolerance (mm) that a gauge may judge under a decision rule, and whether that is ours."""

    rule: str
    finest: Decimal
    is_ours: bool


@dataclass(frozen=True)
class Question:
    """A time at which the gauge was wrong, and how many assemblies rest on it from the time before."""

    fault: int
    says: str
    because: str
    count: int


def more_of_gauge(request: StaffRequest, gauge: Any) -> Mapping[str, Any]:
    """Its calibrations and checks, newest first, with who recorded each, its fitness, what is in question."""
    calibrations = list(gauge.calibrations.select_related("entry", "gauge").order_by("-done_on", "-entry"))
    checks = list(gauge.checks.select_related("entry", "piece").order_by("-entry"))
    names = names_of(record.actor_number for record in (*calibrations, *checks))
    span = span_before_fault(None, gauge)
    return {
        "standing": standing(gauge, today()),
        "calibrations": [(found, names[found.actor_number]) for found in calibrations],
        "checks": [(found, names[found.actor_number]) for found in checks],
        "fitness": _fitness(gauge.calibration_on(today())),
        "questions": list(_questions(gauge, calibrations, checks)),
        "measured_count": measured_with(gauge, span).count(),
        "measured_because": span.because,
        "may_calibrate": request.user.may(Permission.CALIBRATE),
        "may_try": request.user.may(Permission.KEEP_TOOLS),
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


def _questions(gauge: Gauge, calibrations: list[Calibration], checks: list[GaugeCheck]) -> Iterator[Question]:
    for calibration in calibrations:
        if not calibration.found_right or not calibration.passed:
            says = f"The calibration of {calibration.done_on} found it wrong."
            yield _question(gauge, calibration, says)
    for check in checks:
        if not check.passed:
            yield _question(gauge, check, f"It was wrong on {check.piece}.")


def _question(gauge: Gauge, fault: Calibration | GaugeCheck, says: str) -> Question:
    span = span_before_fault(fault, gauge)
    return Question(fault.pk, says, span.because, measured_with(gauge, span).count())


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
    response: HttpResponse = redirect("web:gauges_measured", done.gauge_id)
    response.headers["Location"] += f"?fault={done.pk}"
    return response


@require_GET
@needs(Permission.READ)
def measured(request: StaffRequest, pk: int) -> HttpResponse:
    """What rests on the gauge since it was last known to be right, or, with `?fault=`, before that fault."""
    asked = request.GET.get("fault", "")
    gauge = get_object_or_404(Gauge, pk=pk)
    return _measured_page(request, gauge, _fault(gauge, int(asked)) if asked.isdecimal() else None)


@require_POST
@needs(Permission.RECALL)
def recall_measured(request: StaffRequest, pk: int, fault: int) -> HttpResponse:
    """Recall what rests on the gauge before that fault and isn't proven with its error allowed for."""
    gauge = get_object_or_404(Gauge, pk=pk)
    found, form = _fault(gauge, fault), RecallForm(request.POST)
    if form.is_valid():
        recall = attempt(
            form,
            lambda: recall_doubtful(
                actor=request.user,
                gauge=gauge,
                span=span_before_fault(found, gauge),
                weighed=weigh(gauge, found),
                reason=form.cleaned_data["reason"],
            ),
        )
        if recall is not None:
            messages.success(request, f"{str(recall).capitalize()} is open. Write to the customers.")
            return redirect("web:recall", number=recall.number)
    return _measured_page(request, gauge, found, form)


def _measured_page(
    request: StaffRequest,
    gauge: Gauge,
    fault: Calibration | GaugeCheck | None,
    form: RecallForm | None = None,
) -> HttpResponse:
    span = span_before_fault(fault, gauge)
    rows = measured_with(gauge, span).select_related("run__line__order__customer", "run__line__hose")
    weighed = None if fault is None else weigh(gauge, fault)
    context = {
        "gauge": gauge,
        "because": span.because,
        "count": rows.count(),
        "fault": fault,
        "weighed": weighed,
        "proven": len(weighed.proven) if weighed else 0,
        "in_question": len(weighed.in_question) if weighed else 0,
        "form": form or RecallForm(),
        "may_recall": request.user.may(Permission.RECALL),
    }
    return list_page(
        request, MadeTable(rows), "web/tools/measured.html", f"measured-with-{gauge.pk}", context
    )


def _fault(gauge: Gauge, entry: int) -> Calibration | GaugeCheck:
    check: GaugeCheck | None = gauge.checks.filter(pk=entry).first()
    return check or get_object_or_404(gauge.calibrations, pk=entry)
