"""The reference's first page, and loading the published tables."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from shop.people.permissions import Permission
from shop.standards import loading
from shop.standards.models import Connection, HoseRating
from shop.web.access import StaffRequest, needs
from shop.web.reference.open import waiting
from shop.web.reference.registers import REGISTERS
from shop.web.registers.places import shelves


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Tables, hoses and fittings: how many there are, and which ratings nobody has confirmed."""
    shelf_list = shelves(REGISTERS, waiting)
    context = {
        "title": "Reference",
        "lead": "What standards and makers print, and what you stock. A rating counts once a named person "
        "has found it in its document.",
        "shelves": shelf_list,
        "next": next((found for shelf in shelf_list for found in shelf.open), None),
        "empty": next((shelf for shelf in shelf_list if not shelf.count), None),
        "may_load": request.user.may(Permission.KEEP_CATALOGUE),
        "is_loaded": HoseRating.objects.exists() or Connection.objects.exists(),
    }
    return render(request, "web/reference/index.html", context)


@require_POST
@needs(Permission.KEEP_CATALOGUE)
def load_standards(request: StaffRequest) -> HttpResponse:
    """Load the tables that come with the program; rows that people wrote stay as they are."""
    loaded = loading.load_standards(actor=request.user)
    if loaded.changed_something:
        words = (
            f"{loaded.added} rows added, {loaded.renewed} renewed, {loaded.kept} kept as people wrote them"
        )
        messages.success(request, f"The tables are loaded: {words}. Confirm the ratings that you use.")
    else:
        messages.info(
            request, f"The tables are loaded already; {loaded.kept} rows differ as people wrote them."
        )
    return redirect("web:reference")
