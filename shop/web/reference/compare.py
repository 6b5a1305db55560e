"""Two hoses side by side."""

from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.catalogue.models import Hose
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.reference.compare_facts import side_by_side


class CompareForm(forms.Form):
    """Which two hoses."""

    one = forms.ModelChoiceField(Hose.objects.all(), label="The first", empty_label="choose a hose")
    other = forms.ModelChoiceField(Hose.objects.all(), label="The second", empty_label="choose a hose")

    def clean(self) -> dict[str, Any]:
        chosen = self.cleaned_data
        if chosen.get("one") is not None and chosen.get("one") == chosen.get("other"):
            self.add_error("other", "That is the first one again. Choose another hose.")
        return chosen


@require_GET
@needs(Permission.READ)
def compare_hoses(request: StaffRequest) -> HttpResponse:
    """Every figure of two hoses, with what differs; or the choice of the two."""
    is_asked = "other" in request.GET
    form = CompareForm(request.GET if is_asked else None, initial={"one": request.GET.get("one")})
    pair = None
    if form.is_valid():
        pair = side_by_side(form.cleaned_data["one"].pk, form.cleaned_data["other"].pk)
    return render(request, "web/reference/compare.html", {"form": form, "pair": pair})
