"""Gauges of either kind that were wrong: what rests on them, what stands all the same, what is recalled."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import Model, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import URLPattern, path, reverse
from django.views.decorators.http import require_GET, require_POST

from shop.assemblies.models import Assembly
from shop.people.permissions import Permission
from shop.tooling.models import Gauge, PressureGauge
from shop.trace.in_question import answer
from shop.trace.made_with import (
    Span,
    faults_of,
    measured_with,
    pressure_faults_of,
    span_before_fault,
    span_before_pressure_fault,
    tested_with,
)
from shop.trace.recalling import recall_doubtful
from shop.trace.weighing import Weighed, weigh, weigh_tests
from shop.web.access import StaffRequest, needs
from shop.web.quality.recalls.asking import Asked
from shop.web.quality.recalls.forms import RecallForm
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page
from shop.web.tools.tables import MadeTable, made_rows


@dataclass(frozen=True)
class Kind:
    """Gauges of one register, and how they are asked about. `rests` says what their readings tell."""

    slug: str
    title: str
    rests: str
    nothing: str
    model: type[Model]
    faults: Callable[[Any], list[tuple[Any, str]]]
    span: Callable[[Any, Any], Span]
    resting: Callable[[Any, Span], QuerySet[Assembly]]
    weigh: Callable[[Any, Any], Weighed]

    @property
    def name(self) -> str:
        """What the names of its addresses begin with."""
        return self.slug.replace("-", "_")

    def measured_url(self, gauge: Model) -> str:
        """Where it stands what rests on that gauge."""
        return reverse(f"web:{self.name}_measured", args=[gauge.pk])


GAUGES = Kind(
    slug="gauges",
    title="Gauges",
    rests="crimps measured with it, crimps of a run covered by such ones, finished lengths",
    nothing="Nothing was judged by its readings in that time.",
    model=Gauge,
    faults=faults_of,
    span=span_before_fault,
    resting=measured_with,
    weigh=weigh,
)
PRESSURE_GAUGES = Kind(
    slug="pressure-gauges",
    title="Pressure gauges",
    rests="proof tests that it told",
    nothing="No proof test was told by it in that time.",
    model=PressureGauge,
    faults=pressure_faults_of,
    span=span_before_pressure_fault,
    resting=tested_with,
    weigh=weigh_tests,
)


@dataclass(frozen=True)
class Question:
    """A time at which the gauge was wrong, and how many assemblies rest on it from the time before."""

    url: str
    says: str
    because: str
    count: int


def found_wrong_urls() -> list[URLPattern]:
    """For each kind `<name>_measured` and `<name>_recall`."""
    return [
        page
        for kind in (GAUGES, PRESSURE_GAUGES)
        for page in (
            path(f"{kind.slug}/<int:pk>/measured/", measured, {"kind": kind}, name=f"{kind.name}_measured"),
            path(
                f"{kind.slug}/<int:pk>/measured/<int:fault>/recall/",
                recall_measured,
                {"kind": kind},
                name=f"{kind.name}_recall",
            ),
        )
    ]


def what_rests_on(kind: Kind, gauge: Any) -> Mapping[str, Any]:
    """What the page of a gauge says of what rests on it: now, and from before each time it was wrong."""
    span, address = kind.span(None, gauge), kind.measured_url(gauge)
    return {
        "questions": [
            Question(f"{address}?fault={fault.pk}", says, before.because, kind.resting(gauge, before).count())
            for fault, says in kind.faults(gauge)
            for before in (kind.span(fault, gauge),)
        ],
        "measured_url": address,
        "measured_count": kind.resting(gauge, span).count(),
        "measured_because": span.because,
    }


@require_GET
@needs(Permission.READ)
def measured(request: StaffRequest, pk: int, kind: Kind) -> HttpResponse:
    """What rests on the gauge since it was last known to be right, or, with `?fault=`, before that fault."""
    asked = request.GET.get("fault", "")
    gauge = get_object_or_404(kind.model, pk=pk)
    return _measured_page(
        request, kind, gauge, _fault(kind, gauge, int(asked)) if asked.isdecimal() else None
    )


@require_POST
@needs(Permission.RECALL)
def recall_measured(request: StaffRequest, pk: int, fault: int, kind: Kind) -> HttpResponse:
    """Recall what rests on the gauge before that fault and isn't proven with its error allowed for."""
    gauge: Any = get_object_or_404(kind.model, pk=pk)
    found, form = _fault(kind, gauge, fault), RecallForm(request.POST)
    if form.is_valid():
        recall = attempt(
            form,
            lambda: recall_doubtful(
                actor=request.user,
                gauge=gauge,
                span=kind.span(found, gauge),
                weighed=kind.weigh(gauge, found),
                reason=form.cleaned_data["reason"],
            ),
        )
        if recall is not None:
            messages.success(request, f"{str(recall).capitalize()} is open. Write to the customers.")
            return redirect("web:recall", number=recall.number)
    return _measured_page(request, kind, gauge, found, form)


def _measured_page(
    request: StaffRequest, kind: Kind, gauge: Any, fault: Any, form: RecallForm | None = None
) -> HttpResponse:
    span = kind.span(fault, gauge)
    rows = made_rows(kind.resting(gauge, span))
    weighed = None if fault is None else kind.weigh(gauge, fault)
    question = answer(
        rows if weighed is None else weighed.doubtful(),
        f"rest on its readings {span.because}" if weighed is None else "are in question",
    )
    context = {
        "kind": kind,
        "list_url": reverse(f"web:{kind.name}"),
        "item_url": reverse(f"web:{kind.name}_item", args=[gauge.pk]),
        "gauge": gauge,
        "because": span.because,
        "count": rows.count(),
        "weighed": weighed,
        "recall_url": fault and reverse(f"web:{kind.name}_recall", args=[gauge.pk, fault.pk]),
        "proven": len(weighed.proven) if weighed else 0,
        "question": question,
        "asked": [Asked(question)],
        "form": form or RecallForm(),
        "may_recall": request.user.may(Permission.RECALL),
    }
    name = f"measured-with-{kind.slug}-{gauge.pk}"
    return list_page(request, MadeTable(rows), "web/tools/measured.html", name, context)


def _fault(kind: Kind, gauge: Any, entry: int) -> Any:
    """The calibration or check that found it wrong. Raises `Http404` for one that didn't."""
    for fault, _ in kind.faults(gauge):
        if fault.pk == entry:
            return fault
    raise Http404("It was not found wrong then.")
