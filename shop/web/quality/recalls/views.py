"""Recalls: the list, and one with its members, customers, findings and end."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Count
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.assemblies.models import Assembly, FindingKind, Recall
from shop.assemblies.models.recall import is_made_safe
from shop.assemblies.recalls import answer_recall, close_recall, progress_of, record_finding
from shop.core.refusals import Refusal
from shop.documents.recall_letter import recall_letter, render_recall_letter
from shop.documents.refusals import PdfNotInstalled
from shop.orders.models import Customer
from shop.people.permissions import Permission
from shop.trace.recalling import customers_of, found_since, recall_found_since
from shop.web.access import StaffRequest, needs
from shop.web.evidence import evidence_page
from shop.web.files import shown_pdf
from shop.web.quality.recalls.forms import AnswerForm, CloseForm, FindingForm
from shop.web.quality.recalls.tables import MemberTable, RecallTable
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Every recall, the newest first."""
    safe = Count("memberships", filter=is_made_safe("memberships__"))
    rows = Recall.objects.select_related("closing", "entry").annotate(count=Count("memberships"), safe=safe)
    return list_page(request, RecallTable(rows), "web/quality/recalls/index.html", "recalls", {})


@require_GET
@needs(Permission.READ)
def item(request: StaffRequest, number: int) -> HttpResponse:
    """One recall: how far it has come, its customers, and its members."""
    return _page(request, _find(number))


@require_POST
@needs(Permission.FOLLOW_RECALLS)
def found(request: StaffRequest, number: int) -> HttpResponse:
    """Record what was found out about the members that are ticked."""
    recall, form = _find(number), FindingForm(request.POST)
    keys = [key for key in request.POST.getlist("member") if key.isdecimal()]
    chosen = list(Assembly.objects.filter(pk__in=keys))
    if form.is_valid():
        kind, words = FindingKind(form.cleaned_data["kind"]), form.cleaned_data["words"]
        done = attempt(
            form,
            lambda: record_finding(
                actor=request.user, recall=recall, assemblies=chosen, kind=kind, words=words
            ),
        )
        if done is not None:
            messages.success(request, f"{len(done)} {kind.label}.")
            return redirect("web:recall", number=number)
    return _page(request, recall, asked=form)


@require_POST
@needs(Permission.RECALL)
def more(request: StaffRequest, number: int) -> HttpResponse:
    """Take in what has come to share the suspicion since."""
    recall, form = _find(number), forms.Form(request.POST)
    try:
        recall_found_since(actor=request.user, recall=recall)
    except Refusal as refusal:
        form.refusal = refusal  # type: ignore[attr-defined]  # read by web/parts/form_summary.html
        return _page(request, recall, asked=form)
    messages.success(request, "They are members too now. Write to their customers.")
    return redirect("web:recall", number=number)


@require_POST
@needs(Permission.FOLLOW_RECALLS)
def answer(request: StaffRequest, number: int, customer: int) -> HttpResponse:
    """Record what a customer answered."""
    recall, form = _find(number), AnswerForm(request.POST)
    who = get_object_or_404(Customer, pk=customer)
    if form.is_valid():
        said = form.cleaned_data["answer"]
        done = attempt(
            form, lambda: answer_recall(actor=request.user, recall=recall, customer=who, answer=said)
        )
        if done is not None:
            messages.success(request, f"The answer of {who} is kept.")
            return redirect("web:recall", number=number)
    return _page(request, recall, asked=form)


@require_POST
@needs(Permission.CLOSE_RECALLS)
def close(request: StaffRequest, number: int) -> HttpResponse:
    """Close it with a reason."""
    recall, form = _find(number), CloseForm(request.POST)
    if form.is_valid():
        why = form.cleaned_data["reason"]
        if attempt(form, lambda: close_recall(actor=request.user, recall=recall, reason=why)) is not None:
            messages.success(request, "It is closed. What was not found right still says DO NOT USE.")
            return redirect("web:recall", number=number)
    return _page(request, recall, asked=form)


@require_GET
@needs(Permission.READ)
def letter(request: StaffRequest, number: int, customer: int) -> HttpResponse:
    """The letter to one customer, to print."""
    recall, who = _find(number), get_object_or_404(Customer, pk=customer)
    try:
        content = render_recall_letter(recall_letter(recall=recall, customer=who))
    except PdfNotInstalled as refusal:
        return _page(request, recall, refusal=refusal)
    return shown_pdf(content, f"recall-{number}-{who.number}.pdf")


@require_http_methods(["GET", "POST"])
@needs(Permission.AUDIT)
def evidence(request: StaffRequest, number: int) -> HttpResponseBase:
    """All that is known of it and its members, to be checked by whoever is handed it."""
    return evidence_page(request, _find(number), reverse("web:recall", kwargs={"number": number}))


def _find(number: int) -> Recall:
    return get_object_or_404(Recall.objects.select_related("closing__entry", "entry"), number=number)


def _page(
    request: StaffRequest,
    recall: Recall,
    *,
    asked: forms.Form | None = None,
    refusal: Refusal | None = None,
) -> HttpResponse:
    """Draw the page; `asked` is a form that was sent and refused, which stays with what was typed."""
    user = request.user
    members = Assembly.objects.filter(recalls__recall=recall)
    answers = recall.answers.select_related("customer", "entry").prefetch_related("entry__private_texts")
    context: dict[str, Any] = {
        "recall": recall,
        "progress": progress_of(recall),
        "customers": customers_of(members),
        "answers": answers,
        "spared": len(recall.spared),
        "since": found_since(recall).count(),
        "asked": asked,
        "refusal": refusal,
        "finding_form": asked if isinstance(asked, FindingForm) else FindingForm(),
        "answer_form": asked if isinstance(asked, AnswerForm) else AnswerForm(),
        "close_form": asked if isinstance(asked, CloseForm) else CloseForm(),
        "may": {
            "follow": user.may(Permission.FOLLOW_RECALLS),
            "add": user.may(Permission.RECALL) and not recall.is_closed,
            "close": user.may(Permission.CLOSE_RECALLS) and not recall.is_closed,
            "evidence": user.may(Permission.AUDIT),
        },
    }
    rows = recall.memberships.select_related("assembly__run__line__order__customer")
    table = MemberTable(rows)
    return list_page(request, table, "web/quality/recalls/recall.html", f"recall-{recall.number}", context)
