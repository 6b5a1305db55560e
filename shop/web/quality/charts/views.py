"""One chart: its lines are typed, somebody else checks them, then it is issued, and perhaps withdrawn."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from shop.catalogue.models import ChartIssue, ChartLine, CrimpChart
from shop.catalogue.services import check_chart, issue_chart, remove_chart_line, withdraw_issue
from shop.core.refusals import Refusal
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.access import StaffRequest, needs
from shop.web.quality.charts.changes import touching_lines
from shop.web.quality.charts.forms import ChartLineForm, CheckForm, IssueForm, WithdrawForm
from shop.web.quality.charts.page import chart_page
from shop.web.quality.recalls.asking import asked_of
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.csv_page import csv_page
from shop.web.registers.export import export
from shop.web.registers.sheet import Sheet


@require_http_methods(["GET", "POST"])
@needs(Permission.TYPE_CHARTS)
def new_line(request: StaffRequest, pk: int) -> HttpResponse:
    """Type a line; `?like=` begins with the columns of another one."""
    chart = get_object_or_404(CrimpChart, pk=pk)
    line = ChartLine(chart=chart)
    if like := request.GET.get("like", ""):
        model = get_object_or_404(chart.lines, pk=int(like) if like.isdigit() else 0)
        for column in ChartLine.COLUMNS:
            setattr(line, column, getattr(model, column))
    return _type_line(request, line, "Type a line")


@require_http_methods(["GET", "POST"])
@needs(Permission.TYPE_CHARTS)
def change_line(request: StaffRequest, pk: int) -> HttpResponse:
    """Type a line again."""
    return _type_line(
        request, get_object_or_404(ChartLine.objects.select_related("chart"), pk=pk), "Change a line"
    )


def _type_line(request: StaffRequest, line: ChartLine, heading: str) -> HttpResponse:
    form = ChartLineForm(request.POST or None, instance=line)
    sure = answered_doubts(request.POST)
    if request.method == "POST" and form.is_valid():
        typed = attempt(form, lambda: form.take(actor=request.user, sure=sure))
        if typed is not None:
            messages.success(request, f"The line for {line.hose} is typed. The chart has to be checked.")
            return redirect("web:charts_item", line.chart_id)
    page = chart_page(line.chart, request.user)
    context = {"form": form, "chart": line.chart, "heading": heading, "sure": sure, "page": page}
    return render(request, "web/quality/charts/line.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.TYPE_CHARTS)
def remove_line(request: StaffRequest, pk: int) -> HttpResponse:
    """Ask, then take a typed line off the chart."""
    line = get_object_or_404(ChartLine.objects.select_related("chart", "hose", "series"), pk=pk)
    context = {"line": line, "chart": line.chart}
    if request.method == "POST":
        words = f"{line.hose} with {line.series}"
        try:
            remove_chart_line(actor=request.user, line=line)
        except Refusal as refusal:
            return render(request, "web/quality/charts/remove_line.html", context | {"refusal": refusal})
        messages.success(request, f"The line for {words} is off the chart. The chart has to be checked.")
        return redirect("web:charts_item", line.chart_id)
    return render(request, "web/quality/charts/remove_line.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.ISSUE_CHARTS)
def check(request: StaffRequest, pk: int) -> HttpResponse:
    """The second person compares every line with the document, and says so."""
    chart = get_object_or_404(CrimpChart.objects.select_related("typed_by"), pk=pk)
    form = CheckForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        checked = attempt(form, lambda: check_chart(actor=request.user, chart=chart))
        if checked is not None:
            messages.success(request, f"Chart {chart} is checked. Issue it to put it in force.")
            return redirect("web:charts_item", chart.pk)
    context = {"form": form, "chart": chart, "page": chart_page(chart, request.user)}
    return render(request, "web/quality/charts/check.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.ISSUE_CHARTS)
def issue(request: StaffRequest, pk: int) -> HttpResponse:
    """Put the checked lines in force as an issue."""
    chart = get_object_or_404(CrimpChart, pk=pk)
    form = IssueForm(request.POST or None, initial={"effective_from": today()})
    if request.method == "POST" and form.is_valid():
        issued = attempt(form, lambda: issue_chart(actor=request.user, chart=chart, **form.cleaned_data))
        if issued is not None:
            messages.success(request, f"{issued} is in force from {issued.effective_from}.")
            return redirect("web:charts_item", chart.pk)
    context = {"form": form, "chart": chart, "page": chart_page(chart, request.user)}
    return render(request, "web/quality/charts/issue.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.ISSUE_CHARTS)
def withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Take an issue out of force at once."""
    chart_issue = get_object_or_404(ChartIssue.objects.select_related("chart"), pk=pk)
    form = WithdrawForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        withdrawn = attempt(
            form, lambda: withdraw_issue(actor=request.user, chart_issue=chart_issue, reason=reason)
        )
        if withdrawn is not None:
            messages.success(request, f"{chart_issue} is withdrawn. Below is what was crimped to it.")
            return redirect("web:issued_chart", chart_issue.pk)
    context = {
        "form": form,
        "issue": chart_issue,
        "chart": chart_issue.chart,
        "touching": touching_lines(chart_issue),
        "asked": asked_of(chart_issue),
    }
    return render(request, "web/quality/charts/withdraw.html", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.TYPE_CHARTS)
def take_lines(request: StaffRequest, pk: int) -> HttpResponse:
    """Take lines in from a CSV, after a dry run."""
    chart = get_object_or_404(CrimpChart, pk=pk)
    page = reverse("web:charts_item", args=[pk])
    frame = {
        "title": f"Take lines of chart {chart} in from a CSV",
        "trail": [
            (reverse("web:quality"), "Quality"),
            (reverse("web:charts"), "Crimp charts"),
            (page, str(chart)),
        ],
        "template_url": f"{reverse('web:chart_lines_export', args=[pk])}?empty=yes",
    }
    return csv_page(request, _sheet_of(chart), done_url=page, frame=frame)


@require_GET
@needs(Permission.READ)
def export_lines(request: StaffRequest, pk: int) -> HttpResponse:
    """The lines as typed, as a file that can be corrected and taken in again; `?empty=` gives the headers."""
    chart = get_object_or_404(CrimpChart, pk=pk)
    sheet = _sheet_of(chart)
    rows = () if "empty" in request.GET else sheet.rows
    return export(sheet, rows, name=f"chart-{slugify(chart.number)}", file_format="csv")


def _sheet_of(chart: CrimpChart) -> Sheet:
    return Sheet(
        ChartLineForm, lambda: ChartLine(chart=chart), chart.lines.select_related("chart", "hose", "series")
    )
