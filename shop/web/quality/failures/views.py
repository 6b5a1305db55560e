"""Failures in the field: the list, one with its photos and findings, and taking one down."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.assemblies.models import Assembly, State
from shop.people.permissions import Permission
from shop.tooling.photos import kept_photo
from shop.tooling.refusals import PhotoDamaged
from shop.trace.cautions import IF_SOMEBODY_IS_HURT
from shop.trace.dossier import record_of
from shop.trace.erasing import erasures_of
from shop.trace.failures import judge_report, report_failure
from shop.trace.models import FailureReport, Hurt, Verdict
from shop.web.access import StaffRequest, needs
from shop.web.public.forms import FailureForm
from shop.web.quality.failures.forms import JudgeForm
from shop.web.quality.failures.tables import FailureFilter, FailureTable
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Every report, the newest first."""
    rows = FailureReport.objects.select_related(
        "entry", "assembly__run__line__order__customer"
    ).prefetch_related("findings")
    narrowed = FailureFilter(request.GET, queryset=rows)
    context = {"filter": narrowed, "any": FailureReport.objects.exists()}
    return list_page(
        request, FailureTable(narrowed.qs), "web/quality/failures/index.html", "failures", context
    )


@require_GET
@needs(Permission.READ)
def item(request: StaffRequest, code: str) -> HttpResponse:
    """What was reported, and what was found out."""
    return _page(request, _find(code), JudgeForm())


@require_POST
@needs(Permission.INSPECT)
def found(request: StaffRequest, code: str) -> HttpResponse:
    """Record what was found out."""
    report, form = _find(code), JudgeForm(request.POST)
    if form.is_valid():
        asked = form.cleaned_data
        verdict = Verdict(asked["verdict"])
        done = attempt(
            form,
            lambda: judge_report(
                actor=request.user, report=report, verdict=verdict, mode=asked["mode"], words=asked["words"]
            ),
        )
        if done is not None:
            messages.success(request, f"{done.says.capitalize()}. {_what_it_does(verdict)}")
            return redirect("web:failure", code=code)
    return _page(request, report, form)


@require_GET
@needs(Permission.READ)
def photo(request: StaffRequest, code: str, number: int) -> HttpResponse:
    """One of its photos, counted from 1."""
    hashes = _find(code).photo_hashes
    if not 1 <= number <= len(hashes):
        raise Http404("The report has no such photo.")
    try:
        return HttpResponse(kept_photo(hashes[number - 1]), content_type="image/jpeg")
    except PhotoDamaged as refusal:
        raise Http404(str(refusal)) from refusal


@require_http_methods(["GET", "POST"])
@needs(Permission.TAKE_REPORTS)
def take(request: StaffRequest, code: str) -> HttpResponse:
    """Take down what somebody tells the workshop about an assembly."""
    assembly = get_object_or_404(Assembly, code=code)
    form = FailureForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        report = attempt(
            form,
            lambda: report_failure(actor=request.user, assembly=assembly, told=form.told, code=form.code),
        )
        if report is not None:
            messages.success(request, f"It is taken down. Its reference is {report.printed_code}.")
            return redirect("web:failure", code=report.code)
    context = {"assembly": assembly, "form": form, "first_aid": IF_SOMEBODY_IS_HURT}
    status = 422 if form.is_bound else 200
    return render(request, "web/quality/failures/take.html", context, status=status)


def _find(code: str) -> FailureReport:
    reports = FailureReport.objects.select_related("entry", "assembly")
    return get_object_or_404(reports.prefetch_related("entry__private_texts"), code=code)


def _what_it_does(verdict: Verdict) -> str:
    if verdict == Verdict.FAILED:
        return "Whoever scans its tag reads DO NOT USE."
    return "By this report alone nothing keeps it from being used."


def _page(request: StaffRequest, report: FailureReport, form: JudgeForm) -> HttpResponse:
    record = record_of(report.assembly)
    context = {
        "report": report,
        "reported": next(one for one in record.failures if one.written.record.pk == report.pk),
        "others": [one for one in record.failures if one.written.record.pk != report.pk],
        "assembly": record.assembly,
        "photos": range(1, len(report.photo_hashes) + 1),
        "erasures": erasures_of(report),
        "is_hurt": report.hurt == Hurt.YES,
        "in_service": record.assembly.state == State.SHIPPED,
        "form": form,
        "may_judge": request.user.may(Permission.INSPECT),
        "may_erase": request.user.may(Permission.ERASE) and bool(report.of_reporter),
    }
    status = 422 if form.is_bound else 200
    return render(request, "web/quality/failures/item.html", context, status=status)
