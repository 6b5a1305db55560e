"""Erasing what one report says of who reported: what goes, what stays and why are on one page."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.people.permissions import Permission
from shop.trace.erasing import erase_from_report, erasures_of
from shop.trace.failures import MOST_CHARACTERS
from shop.trace.failures.photos import also_named_by
from shop.trace.models import FailureReport, OfReporter
from shop.web.access import StaffRequest, needs
from shop.web.refusing import attempt


class EraseForm(forms.Form):
    """What of a report is to go, and why."""

    what = forms.MultipleChoiceField(label="To be erased", widget=forms.CheckboxSelectMultiple)
    reason = forms.CharField(
        label="Why",
        max_length=MOST_CHARACTERS,
        help_text="Who reported asked for it, or the time to keep it is over. It stays: name nobody here.",
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, there: Iterable[OfReporter]) -> None:
        super().__init__(*args)
        self.fields["what"].choices = [  # type: ignore[attr-defined]
            (one.value, one.label.capitalize()) for one in there
        ]


@require_http_methods(["GET", "POST"])
@needs(Permission.ERASE)
def erase(request: StaffRequest, code: str) -> HttpResponse:
    """Erase whom to ask, what was seen or the photos of a report."""
    reports = FailureReport.objects.select_related("entry").prefetch_related("entry__private_texts")
    report = get_object_or_404(reports, code=code)
    form = EraseForm(request.POST if request.method == "POST" else None, there=report.of_reporter)
    shared = _shared(report)
    if form.is_valid():
        what = [OfReporter(name) for name in form.cleaned_data["what"]]
        reason = form.cleaned_data["reason"]
        done = attempt(
            form,
            lambda: erase_from_report(actor=request.user, report=report, what=what, reason=reason),
        )
        if done is not None:
            messages.success(request, _said(what, shared))
            return redirect("web:failure", code=code)
    context = {
        "report": report,
        "texts": [(one.label, report.private(one)) for one in report.of_reporter if one != OfReporter.PHOTOS],
        "photos": range(1, len(report.photo_hashes) + 1),
        "shared": shared,
        "findings": report.findings.count(),
        "erasures": erasures_of(report),
        "form": form,
    }
    status = 422 if form.is_bound else 200
    return render(request, "web/quality/failures/erase.html", context, status=status)


def _shared(report: FailureReport) -> list[str]:
    """A sentence for each photo whose file stays, since something else is recorded with it."""
    return [
        f"Photo {number}: its file stays, as it is also kept with {also[0]}."
        for number, sha256 in enumerate(report.photo_hashes, start=1)
        if (also := also_named_by(sha256, report))
    ]


def _said(what: Iterable[OfReporter], shared: Iterable[str]) -> str:
    erased = f"Erased for ever: {', '.join(one.label for one in what)}. The report itself stays."
    return " ".join([erased, *shared]) if OfReporter.PHOTOS in what else erased
