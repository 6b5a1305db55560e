"""The door: the first page, signing in and out, and where the day begins."""

from django.contrib import messages
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.pins import set_pin
from shop.policy.models import Workshop
from shop.policy.services import start_workshop
from shop.web.access import StaffRequest, needs, open_to_all
from shop.web.door.forms import FirstOwnerForm, OwnPinForm, SignInForm, WorkshopForm
from shop.web.door.idle import note_seen
from shop.web.door.tablet import TabletForm, come_to_the_tablet
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


@require_http_methods(["GET", "POST"])
@open_to_all
def change_person(request: HttpRequest) -> HttpResponse:
    """Badge and PIN: somebody else is at the tablet, or the same one again, on the page that it shows."""
    before = request.user if isinstance(request.user, User) else None
    address, badge = request.META["REMOTE_ADDR"], request.GET.get("badge", "")
    form = TabletForm(request.POST or None, before=before, address=address, initial={"badge": badge})
    onward = request.POST.get("next", request.GET.get("next", ""))
    if not url_has_allowed_host_and_scheme(onward, allowed_hosts={request.get_host()}):
        onward = reverse("web:home")
    if not form.is_valid():
        return _who_is_there(request, form, onward)
    if (changes := come_to_the_tablet(request, form)) and form.person is not None:
        messages.info(request, f"{form.person} is at the tablet now.")
    answer: HttpResponse = redirect(onward)
    if wants_json(request):
        answer = JsonResponse({"changes": changes, "to": onward})
    note_seen(request, answer)
    return answer


def wants_json(request: HttpRequest) -> bool:
    """Whether a script asks, which stays on its page."""
    return request.headers.get("Accept") == "application/json"


def _who_is_there(request: HttpRequest, form: TabletForm, onward: str) -> HttpResponse:
    status = 422 if form.is_bound else 200
    if wants_json(request):
        says = list(dict.fromkeys(sentence for found in form.errors.values() for sentence in found))
        refusal = getattr(form, "refusal", None)
        says = [str(refusal)] if refusal is not None else says
        return JsonResponse({"says": says, "asks": form["pin"].label}, status=status)
    return render(request, "web/door/change_person.html", {"form": form, "next": onward}, status=status)


@require_http_methods(["GET", "POST"])
@needs(Permission.READ)
def own_pin(request: StaffRequest) -> HttpResponse:
    """A person sets the own PIN, and shows by the password that it is the own one."""
    form = OwnPinForm(request.POST or None, person=request.user, address=request.META["REMOTE_ADDR"])
    if request.method == "POST" and form.is_valid():
        pin = form.cleaned_data["pin"]
        if attempt(form, lambda: set_pin(actor=request.user, person=request.user, pin=pin)) is not None:
            messages.success(request, "Your PIN is set. Scan your badge and type it to be at a tablet.")
            return redirect("web:home")
    return render(request, "web/door/own_pin.html", {"form": form})


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
