"""The one scan box, and a photo instead of it."""

from urllib.parse import urlencode, urlsplit, urlunsplit

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.people.models import User
from shop.people.permissions import Permission
from shop.trace.lookup import find_labelled
from shop.web.access import StaffRequest, needs
from shop.web.refusing import attempt
from shop.web.scan.destinations import page_of
from shop.web.scan.forms import CodeForm, PhotoForm
from shop.web.scan.photo import code_on_photo


@require_GET
@needs(Permission.READ)
def scan(request: StaffRequest) -> HttpResponse:
    """Go to whatever the code is on; a wrong one stays in the box, with what is wrong."""
    if "code" not in request.GET:
        return render(request, "web/scan/scan.html", {"form": CodeForm(), "photo_form": PhotoForm()})
    form = CodeForm(request.GET)
    if form.is_valid():
        found = attempt(form, lambda: find_labelled(form.cleaned_data["code"]))
        if isinstance(found, User) and found != request.user:
            return redirect(_to_the_tablet(request, found))
        if found is not None:
            return redirect(page_of(found))
    return render(request, "web/scan/scan.html", {"form": form, "photo_form": PhotoForm()}, status=404)


def _to_the_tablet(request: StaffRequest, person: User) -> str:
    """Somebody else's badge says that he or she is at the tablet now; the PIN is asked next."""
    before = urlsplit(request.headers.get("Referer", ""))
    onward = urlunsplit(("", "", before.path, before.query, ""))
    return f"{reverse('web:change_person')}?{urlencode({'badge': person.code, 'next': onward})}"


@require_http_methods(["GET", "POST"])
@needs(Permission.READ)
def scan_photo(request: StaffRequest) -> HttpResponse:
    """Read the code on a photo and go to whatever it is on. The photo is not kept."""
    photo_form = PhotoForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and photo_form.is_valid():
        photo = photo_form.cleaned_data["photo"]
        found = attempt(photo_form, lambda: find_labelled(code_on_photo(photo.file, photo.size)))
        if found is not None:
            return redirect(page_of(found))
    return render(request, "web/scan/photo.html", {"photo_form": photo_form})
