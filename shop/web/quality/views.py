"""What is open in quality, and what is held or failed."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.quality.open_questions import held_or_failed, open_questions
from shop.web.quality.tables import HeldTable
from shop.web.registers.listing import list_page


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """What is open, the most urgent first."""
    questions = [question for question in open_questions() if question.count]
    return render(request, "web/quality/index.html", {"questions": questions})


@require_GET
@needs(Permission.READ)
def held(request: StaffRequest) -> HttpResponse:
    """Assemblies that wait for more readings or a decision."""
    return list_page(request, HeldTable(held_or_failed()), "web/quality/held.html", "held-or-failed", {})
