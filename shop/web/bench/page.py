"""The page of one assembly at the bench: where it stands, and the one question that comes next."""

from collections.abc import Collection
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse

from shop.assemblies.models import Assembly, End, Measurement, State
from shop.assemblies.planning import chart_has_moved
from shop.assemblies.steps import NextStep, Step
from shop.authority.refusals import NotAuthorised
from shop.documents.services import papers_of
from shop.drawings.assembly import draw_assembly
from shop.drawings.judgement import draw_judgement
from shop.engineering.lengths import LengthUnit
from shop.orders.drawing import drawing_of_resolution
from shop.people.models import User
from shop.trace.judged import judgement_drawing
from shop.web.access import StaffRequest
from shop.web.bench.facts import facts_for
from shop.web.bench.forms import DecideForm, GatheringForm, MeasureForm, ProveForm, StepForm
from shop.web.bench.permits import PERMITS, why_not_authorised
from shop.web.bench.setting_up import sheet_address, shown_set_up, why_no_crimp_yet
from shop.web.workshop import workshop_or_default

ROAD = (
    (State.CUT, "Cut"),
    (State.CRIMPED_A, "Crimp end A"),
    (State.CRIMPED_B, "Crimp end B"),
    (State.INSPECTED, "Inspect"),
    (State.TESTED, "Proof test"),
    (State.TAGGED, "Mark and tag"),
    (State.RELEASED, "Release"),
)
ORDER = list(State)
ON_A_CARD = frozenset({Step.CUT, Step.SET_UP, Step.CRIMP, Step.INSPECT})
# Steps that may be taken instead of the next one, as the page offers them.
INSTEAD = {
    Step.MEASURE: "Measure more",
    Step.INSPECT: "Inspect again",
    Step.SET_UP: "Set up once more",
}


def bench_page(
    request: StaffRequest,
    assembly: Assembly,
    step: NextStep,
    form: StepForm | None,
    waits_for: Collection[str] = (),
) -> HttpResponse:
    """Draw the page; 422 if something that was sent could not be taken.

    `waits_for` are the roles that may take the step, if whoever looks may not; there is no form then.
    """
    refused = form is not None and form.is_bound and (bool(form.errors) or hasattr(form, "refusal"))
    unit = LengthUnit(workshop_or_default().length_unit)
    context = step_context(request.user, assembly, step, form) | {
        "resolution": assembly.resolution,
        "steps": _steps(assembly),
        "drawing": draw_assembly(drawing_of_resolution(assembly.resolution, unit)),
        "waits_for": waits_for,
        "on_paper": step.step in ON_A_CARD,
        "action": reverse(f"web:bench_{form.step}", args=[assembly.code]) if form else "",
        "instead": [
            (other.value, INSTEAD[other])
            for other in step.also
            if other in INSTEAD and request.user.may(PERMITS[other])
        ],
    }
    return render(request, "web/bench/assembly.html", context, status=422 if refused else 200)


def step_context(person: User, assembly: Assembly, step: NextStep, form: StepForm | None) -> dict[str, Any]:
    """What the templates of the steps show, be it for one assembly or for the first piece of several."""
    gathering = form.gathering if isinstance(form, GatheringForm) else None
    if isinstance(form, DecideForm):
        form.offer(person)
    return {
        "assembly": assembly,
        "step": step,
        "form": form,
        "moved_on": _moved_on(assembly),
        "unauthorised": _unauthorised(person, assembly, form),
        "no_crimp_yet": why_no_crimp_yet(assembly, form, person),
        "setup": shown_set_up(assembly, step.end, form),
        "sheet_url": sheet_address(assembly, step.end) if gathering else "",
        "judgement": _judgement(assembly, step),
        "facts": facts_for(assembly, form.step, step.end) if gathering and form else [],
        "specification": assembly.specification(step.end) if step.end else None,
        "gathering": gathering,
        "picks": gathering.picks() if gathering else [],
        "step_template": f"web/bench/{template_of(form)}" if form else "",
        "papers": papers_of(assembly).count() if step.step == Step.RELEASE else 0,
    }


def _unauthorised(person: User, assembly: Assembly, form: StepForm | None) -> NotAuthorised | None:
    """Said in place of the form; one that was sent says it itself, and keeps what was typed."""
    if form is None or form.is_bound:
        return None
    return why_not_authorised(person, assembly, form.step, form.end)


def template_of(form: StepForm) -> str:
    """The template that shows the form of such a step."""
    if isinstance(form, ProveForm):
        return "_test.html"
    if isinstance(form, DecideForm):
        return "_decide.html"
    if isinstance(form, GatheringForm):
        return "_gathering.html"
    return "_measure.html" if isinstance(form, MeasureForm) else "_plain.html"


def _steps(assembly: Assembly) -> list[dict[str, str]]:
    done = ORDER.index(State(assembly.state))
    steps: list[dict[str, str]] = []
    for state, label in ROAD:
        if state == State.TESTED and not assembly.resolution.proof_test:
            continue
        if ORDER.index(state) <= done:
            standing = "done"
        else:
            standing = "next" if any(s["state"] == "now" for s in steps) else "now"
        steps.append({"label": label, "state": standing})
    return steps


def _moved_on(assembly: Assembly) -> Any:
    """The chart's refusal, if it has moved on since the line was confirmed (rule 1)."""
    if assembly.state not in (State.PLANNED, State.CUT, State.CRIMPED_A):
        return None
    return chart_has_moved(assembly, End.A) or chart_has_moved(assembly, End.B)


def _judgement(assembly: Assembly, step: NextStep) -> dict[str, str]:
    """The newest readings on a scale, while they still decide what comes next; and which they are."""
    if step.step not in (Step.DECIDE, Step.SET_UP, Step.CRIMP, Step.INSPECT):
        return {}
    measured = Measurement.objects.filter(crimp__assembly=assembly).select_related("crimp__specification")
    measurement = measured.order_by("-entry").first()
    if measurement is None:
        return {}
    svg = draw_judgement(judgement_drawing(measurement, list(measurement.crimp.measurements.all())))
    return {"svg": svg, "of": f"Readings {measurement.number} at {measurement.crimp.get_end_display()}"}
