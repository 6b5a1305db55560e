"""The counter's pages."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Where this place begins."""
    return render(request, "web/place.html", {"title": "Counter"})
