"""The door: the first page, signing in and out, and where the day begins."""

from django.contrib import messages
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.people.permissions import Permission
from shop.policy.models import Workshop
from shop.policy.services import start_workshop
from shop.web.access import StaffRequest, needs, open_to_all
from shop.web.door.forms import FirstOwnerForm, SignInForm, WorkshopForm
from shop.web.refusing import attempt


@require_GET
@needs(Permission.READ)
def home(request: StaffRequest) -> HttpResponse:
    """Where the person's work is."""
    for permission, place in (
        (Permission.WRITE_ORDERS, "web:counter"),
        (Permission.MAKE, "web:bench"),
    ):
        if request.user.may(permission):
            return redirect(place)
    return redirect("web:quality")


@require_http_methods(["GET", "POST"])
@open_to_all
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for name and password; an installation without a workshop is begun first."""
    if not Workshop.objects.exists():
        return redirect("web:first_page")
    form = SignInForm(request.POST or None, address=request.META["REMOTE_ADDR"])
    if request.method == "POST" and form.is_valid():
        login(request, form.user)
        onward = request.POST.get("next", "")
        if url_has_allowed_host_and_scheme(onward, allowed_hosts={request.get_host()}):
            return redirect(onward)
        return redirect("web:home")
    return render(request, "web/door/sign_in.html", {"form": form, "next": request.GET.get("next", "")})


@require_POST
@open_to_all
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave; on a shared tablet the next person signs in."""
    logout(request)
    return redirect("web:sign_in")


@require_http_methods(["GET", "POST"])
@open_to_all
def first_page(request: HttpRequest) -> HttpResponse:
    """Begin an empty workshop with its first owner. Once there is one, this page is closed."""
    if Workshop.objects.exists():
        return redirect("web:sign_in")
    workshop_form = WorkshopForm(request.POST or None)
    owner_form = FirstOwnerForm(request.POST or None, initial={"number": 1}, prefix="owner")
    if request.method == "POST" and workshop_form.is_valid() and owner_form.is_valid():
        workshop = attempt(
            workshop_form,
            lambda: start_workshop(
                workshop=workshop_form.save(commit=False),
                owner=owner_form.save(commit=False),
                password=owner_form.cleaned_data["password"],
            ),
        )
        if workshop is not None:
            messages.success(request, f"{workshop.name} has its book. Sign in to begin.")
            return redirect("web:sign_in")
    return render(
        request, "web/door/first_page.html", {"workshop_form": workshop_form, "owner_form": owner_form}
    )
