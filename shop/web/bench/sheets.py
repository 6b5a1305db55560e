"""The set-up sheet of an end, on the screen and as PDF."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET

from shop.assemblies.models import Assembly, End
from shop.core.refusals import Refusal
from shop.documents.set_up_sheet import SetUpSheet, render_set_up_sheet, set_up_sheet
from shop.people.permissions import Permission
from shop.tooling.models import Crimper
from shop.web.access import StaffRequest, needs
from shop.web.files import shown_pdf


@require_GET
@needs(Permission.READ)
def sheet(request: StaffRequest, code: str, end: str) -> HttpResponse:
    """The sheet on the screen, for the crimper that is asked for or the first that serves."""
    found = _find(code)
    try:
        laid_out = _lay_out(request, found, end)
    except Refusal as refusal:
        return _not_now(request, found, refusal)
    others = [one for one in laid_out.crimpers if one != laid_out.arrangement.crimper]
    context = {"assembly": found, "sheet": laid_out, "others": others}
    return render(request, "web/bench/set_up_sheet.html", context)


@require_GET
@needs(Permission.READ)
def sheet_pdf(request: StaffRequest, code: str, end: str) -> HttpResponse:
    """The same to print."""
    found = _find(code)
    try:
        content = render_set_up_sheet(_lay_out(request, found, end))
    except Refusal as refusal:
        return _not_now(request, found, refusal)
    return shown_pdf(content, f"set-up-{found.serial}-{end}.pdf")


def _find(code: str) -> Assembly:
    return get_object_or_404(Assembly.objects.select_related("run__resolution"), code=code)


def _lay_out(request: StaffRequest, assembly: Assembly, end: str) -> SetUpSheet:
    if end not in End.values:
        raise Http404("An assembly has an end A and an end B.")
    asked = request.GET.get("crimper")
    crimper = get_object_or_404(Crimper, code=asked) if asked else None
    return set_up_sheet(assembly=assembly, end=End(end), crimper=crimper)


def _not_now(request: StaffRequest, assembly: Assembly, refusal: Refusal) -> HttpResponse:
    messages.error(request, str(refusal))
    return redirect("web:bench_assembly", code=assembly.code)
