"""Which of a hose's two ratings governs: shown on its page, chosen by an owner."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.catalogue.models import Governs, Hose, RatingChoice
from shop.catalogue.services import choose_rating
from shop.engineering.pressures import exceeds
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.standards.models import Rated
from shop.web.access import StaffRequest, needs
from shop.web.reference.compare_differences import pressures_apart
from shop.web.refusing import attempt


class GovernsForm(forms.Form):
    """What an owner chooses, and why."""

    governs = forms.ChoiceField(
        label="What governs from now on", choices=Governs.choices, widget=forms.RadioSelect
    )
    reason = forms.CharField(
        label="Why",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What it rests on: the maker's letter or data sheet, its date, and who looked at it.",
    )


@dataclass(frozen=True)
class OneOfTwo:
    """One of the two ratings of a hose."""

    label: str
    part: Rated
    governs: bool


def two_ratings(hose: Hose) -> list[OneOfTwo]:
    """The maker's rating and the published one, and whether each governs; none for hose built to no type."""
    standard = hose.standard
    if standard is None:
        return []
    maker, published = hose.rating, standard.rating
    by_choice = hose.rating_choice is not None and hose.rating_choice.governs == Governs.MAKER
    maker_governs = (
        maker is not None and published is not None and (by_choice or not exceeds(maker, published))
    )
    return [
        OneOfTwo("Its maker's", hose, maker_governs),
        OneOfTwo(f"Published, {standard}", standard, published is not None and not maker_governs),
    ]


def which_governs(hose: Hose) -> str:
    """Which rating of the hose governs, by how much the two differ, and who chose it if somebody did."""
    maker = hose.rating
    published = None if hose.standard is None else hose.standard.rating
    if maker is None and published is None:
        return "No rating is known: it may be quoted, never confirmed."
    if hose.standard is None:
        return "Its maker's rating counts alone: it is built to no published type."
    if published is None:
        return "Its published type has no rating: that stops every order line with it."
    if maker is None:
        return "The published rating counts alone: its maker's is not known."
    apart = pressures_apart(maker, published)
    choice = hose.rating_choice
    if choice is not None and choice.governs == Governs.MAKER:
        return f"Its maker's rating governs, {apart} above the published one, because an owner chose it."
    if exceeds(maker, published):
        return f"The published rating governs: its maker's is {apart} higher."
    if exceeds(published, maker):
        return f"Its maker's rating governs: the published one is {apart} higher."
    return "Its maker's rating and the published one are the same."


def governing_of(request: StaffRequest, hose: Hose) -> Mapping[str, Any]:
    """What the page of a hose shows of it; the form is for an owner, once both ratings are confirmed."""
    ratings, choice = two_ratings(hose), hose.rating_choice
    both_confirmed = bool(ratings) and all(one.part.is_confirmed for one in ratings)
    may_choose = request.user.may(Permission.CHOOSE_RATING)
    asked = {"governs": choice.governs if choice else Governs.LOWER}
    return {
        "ratings": ratings,
        "which_governs": which_governs(hose),
        "choice": choice,
        "chosen_by": names_of([choice.actor_number])[choice.actor_number] if choice else "",
        "reason": choice.private("reason") if choice else None,
        "both_confirmed": both_confirmed,
        "may_choose": may_choose,
        "governs_form": GovernsForm(initial=asked) if may_choose and both_confirmed else None,
    }


@require_http_methods(["GET", "POST"])
@needs(Permission.CHOOSE_RATING)
def choose_governing(request: StaffRequest, pk: int) -> HttpResponse:
    """Say which rating of a hose governs."""
    hose = get_object_or_404(Hose.objects.select_related("standard"), pk=pk)
    context = {"hose": hose, "row": hose, **governing_of(request, hose)}
    if request.method == "POST":
        form = context["governs_form"] = GovernsForm(request.POST)
        if form.is_valid() and attempt(form, lambda: _choose(request, hose, form.cleaned_data)) is not None:
            messages.success(
                request,
                f"{which_governs(hose)} Order lines that were confirmed before keep their rating; "
                "look through those that are still open.",
            )
            return redirect("web:hoses_item", hose.pk)
    return render(request, "web/reference/choose_governing.html", context)


def _choose(request: StaffRequest, hose: Hose, said: Mapping[str, str]) -> RatingChoice:
    return choose_rating(
        actor=request.user, hose=hose, governs=Governs(said["governs"]), reason=said["reason"]
    )
