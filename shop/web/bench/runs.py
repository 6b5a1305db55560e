"""A run at the bench: its pieces, what waits for whom, and the one question that comes next."""

from collections.abc import Callable
from dataclasses import replace

from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from shop.assemblies.models import Run
from shop.assemblies.runs import RunStanding, Waiting, standing_of_run
from shop.assemblies.steps import Step, next_step
from shop.assemblies.submissions import was_sent
from shop.people.permissions import ALLOWED, Permission
from shop.web.access import StaffRequest, needs
from shop.web.bench.answers import somebody_elses, taken, too_late
from shop.web.bench.forms import GatheringForm
from shop.web.bench.forms.base import ALREADY
from shop.web.bench.forms.runs import RUN_FORMS, OfARun
from shop.web.bench.forms.testing import sent_with_curve
from shop.web.bench.page import step_context
from shop.web.bench.permits import PERMITS
from shop.web.refusing import answered_doubts, attempt

NOTHING_WAITS = "Nothing of this run waits for that now. Look at what comes next."


@require_GET
@needs(Permission.READ)
def run(request: StaffRequest, pk: int) -> HttpResponse:
    """The run with the step that comes first, or another that some of its pieces wait for."""
    standing = standing_of_run(_find(pk))
    waiting = _chosen(standing, request.GET.get("step"), request.GET.get("end")) or standing.first
    if waiting is None or waiting.step not in RUN_FORMS:
        return _page(request, standing, waiting, None)
    permission = PERMITS.get(waiting.step, Permission.READ)
    if not request.user.may(permission):
        return _page(request, standing, waiting, None, waits_for=sorted(ALLOWED[permission]))
    return _page(request, standing, waiting, RUN_FORMS[waiting.step](waiting=waiting))


def _find(pk: int) -> Run:
    return get_object_or_404(Run.objects.select_related("line__order__customer", "resolution__hose"), pk=pk)


def _chosen(
    standing: RunStanding, step: str | None, end: str | None, piece: str | None = None
) -> Waiting | None:
    """What waits for that step, at that end if one is named; only that piece, if one was in hand."""
    waits = (one for one in standing.waiting if one.step == step and (not end or one.end == end))
    found = next(waits, None)
    if found is None or piece is None:
        return found
    in_hand = tuple(one for one in found.pieces if one.code == piece)
    return replace(found, pieces=in_hand) if in_hand else None


def _page(
    request: StaffRequest,
    standing: RunStanding,
    waiting: Waiting | None,
    form: OfARun | None,
    waits_for: list[str] | None = None,
) -> HttpResponse:
    refused = form is not None and form.is_bound and (bool(form.errors) or hasattr(form, "refusal"))
    context = {
        "run": standing.run,
        "standing": standing,
        "waiting": waiting,
        "others": [one for one in standing.waiting if one is not waiting],
        "waits_for": waits_for,
        "action": reverse(f"web:bench_run_{form.step}", args=[standing.run.pk]) if form else "",
    }
    if waiting is not None:
        first = waiting.pieces[0]
        context |= step_context(request.user, first, next_step(first), form)
    return render(request, "web/bench/run.html", context, status=422 if refused else 200)


def _taking(step: Step) -> Callable[..., HttpResponseBase]:
    """The view that takes a step on pieces of a run, once."""

    @require_POST
    @needs(PERMITS[step])
    def take(request: StaffRequest, pk: int) -> HttpResponse:
        if (answer := somebody_elses(request)) is not None:
            return answer
        standing = standing_of_run(_find(pk))
        waiting = _chosen(
            standing, step.value, request.POST.get("end_shown"), request.POST.get("piece_shown")
        )
        if waiting is None:
            if was_sent(nonce=request.POST.get("nonce", ""), person=request.user):
                return taken(request, ALREADY, "web:bench_run", pk=pk)
            return too_late(request, NOTHING_WAITS, "web:bench_run", pk=pk)
        form = RUN_FORMS[step](sent_with_curve(request), waiting=waiting)
        if isinstance(form, GatheringForm) and "take" not in request.POST:
            form.is_valid()  # takes in what was scanned; there is nothing to record yet
            return _page(request, standing, waiting, form)
        said = attempt(form, lambda: form.send(request.user, answered_doubts(request.POST)))
        if said is None:
            return _page(request, standing, waiting, form)
        return taken(request, said, "web:bench_run", pk=pk)

    return take


STEPS = {step: _taking(step) for step in RUN_FORMS}
