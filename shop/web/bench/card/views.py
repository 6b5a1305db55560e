"""A job card of a run: printed before the work, written down after it."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.models import Assembly, Run
from shop.assemblies.runs import RunStanding, standing_of_run
from shop.assemblies.submissions import was_sent
from shop.core.refusals import Refusal
from shop.documents.job_card import job_card, render_job_card
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.bench.answers import somebody_elses, taken, too_late
from shop.web.bench.card.form import PARTS, CardForm
from shop.web.bench.forms.base import ALREADY
from shop.web.bench.page import ON_A_CARD
from shop.web.files import shown_pdf
from shop.web.refusing import answered_doubts

NOTHING_LEFT = "Nothing of this run can be written down from a card now. Look at what comes next."


@require_GET
@needs(Permission.READ)
def printed(request: StaffRequest, pk: int) -> HttpResponse:
    """The card to print."""
    run = _find(pk)
    try:
        content = render_job_card(job_card(run=run))
    except Refusal as refusal:
        messages.error(request, str(refusal))
        return redirect("web:bench_run", pk=pk)
    return shown_pdf(content, f"job-card-{run.pk}.pdf")


@require_http_methods(["GET", "POST"])
@needs(Permission.MAKE)
def entered(request: StaffRequest, pk: int) -> HttpResponse:
    """What stands on the card, written down afterwards."""
    if (answer := somebody_elses(request)) is not None:
        return answer
    run = _find(pk)
    pieces = _pieces(standing_of_run(run))
    if request.method == "POST" and was_sent(nonce=request.POST.get("nonce", ""), person=request.user):
        return taken(request, ALREADY, "web:bench_run", pk=pk)
    if not pieces:
        return too_late(request, NOTHING_LEFT, "web:bench_run", pk=pk)
    form = CardForm(request.POST or None, pieces=pieces, actor=request.user)
    said = form.send(request.user, answered_doubts(request.POST)) if form.is_bound else None
    if said is not None:
        return taken(request, said, "web:bench_run", pk=pk)
    context = {
        "run": run,
        "form": form,
        "action": reverse("web:job_card", args=[pk]),
        "answered": sorted(answered_doubts(request.POST)),
    }
    return render(request, "web/bench/job_card.html", context, status=422 if form.is_refused else 200)


def _find(pk: int) -> Run:
    return get_object_or_404(Run.objects.select_related("line__order__customer", "resolution__hose"), pk=pk)


def _pieces(standing: RunStanding) -> list[Assembly]:
    """The pieces that stand where the first one stands whose next steps are on a card."""
    ready = (waiting.pieces for waiting in standing.waiting if waiting.step in ON_A_CARD)
    pieces = next((found for found in ready if found[0].state in PARTS and not found[0].trouble), ())
    return list(Assembly.objects.filter(pk__in=[piece.pk for piece in pieces]).order_by("serial"))
