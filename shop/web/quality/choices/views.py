"""The workshop's choices: its policy as sentences, earlier versions, and its own entry."""

from copy import copy

from django.contrib import messages
from django.forms import model_to_dict
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.points import At, points_at
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.policy.services import get_workshop, policy_in_force, save_workshop, set_policy, today
from shop.web.access import StaffRequest, needs
from shop.web.door.forms import WorkshopForm
from shop.web.quality.choices.forms import CHOICES, PolicyForm
from shop.web.quality.choices.words import policy_sentences
from shop.web.refusing import attempt


@require_GET
@needs(Permission.READ)
def policy(request: StaffRequest) -> HttpResponse:
    """The policy in force as sentences, and every version with its days and who set it."""
    in_force = policy_in_force()
    versions = list(Policy.objects.select_related("entry").order_by("-effective_from", "-number"))
    names = names_of(version.actor_number for version in versions)
    rows = [
        {
            "policy": version,
            "set_by": names[version.actor_number],
            "in_force": version == in_force,
            "sentences": policy_sentences(version),
            "coming": version.effective_from > today(),
        }
        for version in versions
    ]
    context = {
        "policy": in_force,
        "sentences": policy_sentences(in_force),
        "versions": rows,
        "points": [(at.words, points_at(at)) for at in At],
        "may_set": request.user.may(Permission.SET_POLICY),
    }
    return render(request, "web/quality/choices/policy.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.SET_POLICY)
def new_policy(request: StaffRequest) -> HttpResponse:
    """Set a new version; it begins with what is in force."""
    now = policy_in_force()
    initial = model_to_dict(now, CHOICES) | {"effective_from": today()}
    form = PolicyForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        new = attempt(form, lambda: set_policy(actor=request.user, policy=form.save(commit=False)))
        if new is not None:
            messages.success(request, f"Policy {new.number} is in force from {new.effective_from}.")
            return redirect("web:policy")
    return render(request, "web/quality/choices/new_policy.html", {"form": form, "policy": now})


@require_http_methods(["GET", "POST"])
@needs(Permission.SET_POLICY)
def workshop(request: StaffRequest) -> HttpResponse:
    """The workshop's name, units, zone and address for tags."""
    form = WorkshopForm(request.POST or None, instance=copy(get_workshop()))
    if request.method == "POST" and form.is_valid():
        entry = form.save(commit=False)
        saved = attempt(form, lambda: save_workshop(actor=request.user, workshop=entry))
        if saved is not None:
            messages.success(request, f"The entry of {saved} is written.")
            return redirect("web:quality")
    return render(request, "web/quality/choices/workshop.html", {"form": form})
