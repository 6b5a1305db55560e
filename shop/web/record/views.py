"""One assembly: its whole record, its tag, and what happens to it after the bench."""

import json

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.assemblies.models import Assembly
from shop.assemblies.planning import leave_unreplaced, plan_replacement
from shop.assemblies.release import retire, ship
from shop.core.refusals import Refusal
from shop.documents.keeping import kept_bytes
from shop.documents.refusals import NoTagYet, PaperDamaged, PdfNotInstalled
from shop.documents.services import newest_tag_paper, print_tag
from shop.people.permissions import Permission
from shop.trace.epcis import epcis_document
from shop.web.access import StaffRequest, needs
from shop.web.evidence import evidence_page
from shop.web.files import download, shown_pdf
from shop.web.record.forms import LeaveForm, PlainForm, PrintForm, RetireForm
from shop.web.record.page import record_page
from shop.web.refusing import add_refusal, attempt


@require_GET
@needs(Permission.READ)
def assembly(request: StaffRequest, code: str) -> HttpResponse:
    """Everything that is known of it; with `?as_of=`, beside what was known at the end of that day."""
    return record_page(request, _find(code))


@require_GET
@needs(Permission.READ)
def tag_pdf(request: StaffRequest, code: str) -> HttpResponse:
    """The newest tag as it was printed: the very bytes that were kept."""
    found = _find(code)
    try:
        paper = newest_tag_paper(found)
        content = kept_bytes(paper)
    except NoTagYet as refusal:
        return _no_paper(request, found, refusal, status=404)
    except PaperDamaged as refusal:
        return _no_paper(request, found, refusal, status=500)
    return shown_pdf(content, f"tag-{found.serial}-{paper.tag.number if paper.tag else 0}.pdf")


@require_POST
@needs(Permission.RELEASE)
def tag_make(request: StaffRequest, code: str) -> HttpResponse:
    """Make the tag, or print it once more for a reason."""
    found, form = _find(code), PrintForm(request.POST)
    if not form.is_valid():
        return record_page(request, found, asked=form)
    try:
        paper = print_tag(
            actor=request.user,
            assembly=found,
            prints_seen=form.cleaned_data["prints_seen"],
            reason=form.cleaned_data["reason"],
        )
    except PdfNotInstalled as refusal:
        return _no_paper(request, found, refusal, status=503)
    except Refusal as refusal:
        add_refusal(form, refusal)
        return record_page(request, found, asked=form)
    messages.success(
        request, f"{str(paper.tag).capitalize()} is ready to print. Put it on the hose, then scan it there."
    )
    return redirect("web:bench_assembly" if form.cleaned_data["at_bench"] else "web:assembly", code=code)


@require_POST
@needs(Permission.SHIP)
def assembly_ship(request: StaffRequest, code: str) -> HttpResponse:
    """It left the workshop for its customer."""
    found, form = _find(code), PlainForm(request.POST)
    if attempt(form, lambda: ship(actor=request.user, assembly=found)) is None:
        return record_page(request, found, asked=form)
    messages.success(request, f"Assembly {found.serial} is shipped. It counts as in service from now on.")
    return redirect("web:assembly", code=code)


@require_POST
@needs(Permission.SHIP)
def assembly_retire(request: StaffRequest, code: str) -> HttpResponse:
    """It is out of service, for a reason."""
    found, form = _find(code), RetireForm(request.POST)
    if not form.is_valid() or not attempt(
        form, lambda: retire(actor=request.user, assembly=found, reason=form.cleaned_data["reason"])
    ):
        return record_page(request, found, asked=form)
    messages.success(
        request, f"Assembly {found.serial} is out of service. Whoever scans its tag reads DO NOT USE."
    )
    return redirect("web:assembly", code=code)


@require_POST
@needs(Permission.MAKE)
def assembly_replace(request: StaffRequest, code: str) -> HttpResponse:
    """Plan another one for what was scrapped."""
    found, form = _find(code), PlainForm(request.POST)
    planned = attempt(form, lambda: plan_replacement(actor=request.user, assembly=found))
    if planned is None:
        return record_page(request, found, asked=form)
    messages.success(
        request, f"Assembly {planned.serial} is planned for {found.serial}. It waits at the bench."
    )
    return redirect("web:assembly", code=planned.code)


@require_POST
@needs(Permission.CONFIRM_ORDERS)
def assembly_leave(request: StaffRequest, code: str) -> HttpResponse:
    """The customer does without it."""
    found, form = _find(code), LeaveForm(request.POST)
    if not form.is_valid() or not attempt(
        form, lambda: leave_unreplaced(actor=request.user, assembly=found, **form.cleaned_data)
    ):
        return record_page(request, found, asked=form)
    messages.success(request, f"Assembly {found.serial} is not replaced. The order owes nothing for it.")
    return redirect("web:assembly", code=code)


@require_GET
@needs(Permission.READ)
def events(request: StaffRequest, code: str) -> HttpResponse:
    """What happened to it, as an EPCIS document. No customer and no person is in it."""
    found, form = _find(code), PlainForm()
    document = attempt(form, lambda: epcis_document(found))
    if document is None:
        return record_page(request, found, asked=form)
    name = f"events-{found.serial}.json"
    return download(json.dumps(document, indent=1), name, "application/ld+json")


@require_http_methods(["GET", "POST"])
@needs(Permission.AUDIT)
def evidence(request: StaffRequest, code: str) -> HttpResponseBase:
    """All that is known of it, to be checked by whoever is handed it."""
    return evidence_page(request, _find(code), reverse("web:assembly", kwargs={"code": code}))


def _find(code: str) -> Assembly:
    return get_object_or_404(Assembly, code=code)


def _no_paper(request: StaffRequest, found: Assembly, refusal: Refusal, *, status: int) -> HttpResponse:
    context = {"assembly": found, "refusal": refusal}
    return render(request, "web/record/no_paper.html", context, status=status)
