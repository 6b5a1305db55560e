"""Taking an evidence package out: what goes in, two ticks, and the file. Of an assembly and of a recall."""

from django import forms
from django.http import FileResponse, HttpResponseBase
from django.shortcuts import render

from shop.assemblies.models import Assembly, Recall
from shop.documents.evidence import take_evidence
from shop.web.access import StaffRequest
from shop.web.refusing import attempt


class EvidenceForm(forms.Form):
    """Who is named in it."""

    people = forms.BooleanField(
        label="Name the people",
        required=False,
        help_text="Otherwise they stand in it by staff number.",
    )
    customers = forms.BooleanField(
        label="Name the customers",
        required=False,
        help_text="With their contacts and answers. Otherwise they are withheld.",
    )


def evidence_page(request: StaffRequest, about: Assembly | Recall, back: str) -> HttpResponseBase:
    """The page on GET, the package on POST; what keeps it from being made is said on the page."""
    form = EvidenceForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        taken = attempt(form, lambda: take_evidence(actor=request.user, about=about, **form.cleaned_data))
        if taken is not None:
            return FileResponse(
                taken.file, as_attachment=True, filename=taken.name, content_type="application/zip"
            )
    context = {"form": form, "about": about, "back": back, "is_recall": isinstance(about, Recall)}
    return render(request, "web/evidence.html", context, status=422 if form.is_bound else 200)
