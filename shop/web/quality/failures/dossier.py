"""The dossier about a failure: as a page, as one PDF, and as one folder."""

from django.http import FileResponse, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shop.core.refusals import Refusal
from shop.documents.failure_dossier import failure_dossier, pack_failure_folder, render_failure_dossier
from shop.people.permissions import Permission
from shop.trace.failures import Investigation, investigate
from shop.trace.models import FailureReport
from shop.web.access import StaffRequest, needs
from shop.web.files import shown_pdf
from shop.web.quality.recalls.address import address_of


@require_GET
@needs(Permission.READ)
def page(request: StaffRequest, code: str) -> HttpResponse:
    """What is known and what isn't, tools, readings, and what shares its making."""
    return _page(request, _find(code))


@require_GET
@needs(Permission.READ)
def pdf(request: StaffRequest, code: str) -> HttpResponse:
    """The dossier to print; with `?names=yes` it names people and customers."""
    found = _find(code)
    try:
        content = render_failure_dossier(found, names=_with_names(request))
    except Refusal as refusal:
        return _page(request, found, refusal)
    return shown_pdf(content, f"failure-{found.report.printed_code}.pdf")


@require_GET
@needs(Permission.READ)
def folder(request: StaffRequest, code: str) -> HttpResponseBase:
    """The dossier with its lists and, if names are asked for, the photos."""
    found = _find(code)
    try:
        file = pack_failure_folder(found, names=_with_names(request))
    except Refusal as refusal:
        return _page(request, found, refusal)
    name = f"failure-{found.report.printed_code}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")


def _find(code: str) -> Investigation:
    return investigate(get_object_or_404(FailureReport.objects.select_related("assembly"), code=code))


def _with_names(request: StaffRequest) -> bool:
    return request.GET.get("names") == "yes"


def _page(request: StaffRequest, found: Investigation, refusal: Refusal | None = None) -> HttpResponse:
    dossier = failure_dossier(found, names=True)
    context = {
        "found": found,
        "report": found.report,
        "dossier": dossier,
        "siblings": [
            (row, address_of(one.suspicion))
            for row, one in zip(dossier.siblings, found.siblings, strict=True)
        ],
        "refusal": refusal,
    }
    return render(
        request, "web/quality/failures/dossier.html", context, status=200 if refusal is None else 503
    )
