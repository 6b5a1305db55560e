"""The one scan box."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs


@require_GET
@needs(Permission.READ)
def scan(request: StaffRequest) -> HttpResponse:
    """Go to whatever the code is on."""
    return render(request, "web/place.html", {"title": "Scan"})
