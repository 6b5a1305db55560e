"""“It failed”: whoever holds a hose says so, and is told first what to do if somebody is hurt."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.models import Assembly
from shop.core.refusals import Refusal
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.trace.cautions import AFTER_A_FAILURE, IF_SOMEBODY_IS_HURT
from shop.trace.failures import report_failure
from shop.trace.models import FailureReport, Hurt
from shop.web.access import open_to_all
from shop.web.public.forms import StrangersForm
from shop.web.public.throttle import count_report, require_few_reports
from shop.web.public.views import unlisted
from shop.web.refusing import add_refusal, attempt


@require_http_methods(["GET", "POST"])
@open_to_all
@cache_control(no_store=True)
def failed(request: HttpRequest, code: str) -> HttpResponse:
    """Ask whether somebody is hurt, then what happened, and take it down."""
    assembly = get_object_or_404(Assembly, code=_plain(code))
    form, status = None, 200
    if request.method == "POST":
        form = StrangersForm(request.POST, request.FILES)
        report = _taken(request, assembly, form)
        if report is not None:
            return redirect("web:failed_receipt", reference=report.code)
        status = 422
    elif request.GET.get("hurt") in Hurt.values:
        form = StrangersForm(initial={"hurt": request.GET["hurt"]})
    context = {
        "assembly": assembly,
        "form": form,
        "hurt": None if form is None else form["hurt"].value(),
        "answers": Hurt.choices,
        "first_aid": IF_SOMEBODY_IS_HURT,
        "cautions": AFTER_A_FAILURE,
    }
    return unlisted(render(request, "web/public/failed.html", context, status=status))


@require_GET
@open_to_all
@cache_control(no_store=True)
def receipt(request: HttpRequest, reference: str) -> HttpResponse:
    """The reference, and what happens next; nothing of what was told."""
    report = get_object_or_404(FailureReport.objects.select_related("assembly"), code=_plain(reference))
    context = {
        "report": report,
        "first_aid": () if report.hurt == Hurt.NO else IF_SOMEBODY_IS_HURT,
        "cautions": AFTER_A_FAILURE,
    }
    return unlisted(render(request, "web/public/failed_receipt.html", context))


def _taken(request: HttpRequest, assembly: Assembly, form: StrangersForm) -> FailureReport | None:
    """The report, if it could be taken; else the form says why not."""
    address = request.META["REMOTE_ADDR"]
    try:
        require_few_reports(address)
    except Refusal as refusal:
        add_refusal(form, refusal)
        return None
    if not form.is_valid():
        return None
    report = attempt(
        form, lambda: report_failure(actor=None, assembly=assembly, told=form.told, code=form.code)
    )
    if report is not None:
        count_report(address)
    return report


def _plain(code: str) -> str:
    """The code as it is kept; what is none is found nowhere."""
    try:
        return read_code(code).text
    except NotUnderstood:
        return ""
