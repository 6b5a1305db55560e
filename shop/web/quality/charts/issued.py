"""Pages of what was issued: an issue beside the one before, and what was made to one of its lines."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shop.catalogue.models import ChartIssue, ChartWithdrawal, CrimpChart, CrimpSpecification
from shop.people.permissions import Permission
from shop.trace.prescribed import made_to, open_lines_on
from shop.web.access import StaffRequest, needs
from shop.web.quality.as_of import asked_as_of
from shop.web.quality.charts.changes import PARTS, ChangedLine, changed_lines, filled_columns, lines_of
from shop.web.quality.recalls.asking import asked_of
from shop.web.registers.listing import list_page
from shop.web.tools.tables import MadeTable, made_rows


@dataclass(frozen=True)
class IssuePage:
    """An issue with its lines, and how they differ from those of the issue before."""

    chart: CrimpChart
    issue: ChartIssue
    before: ChartIssue | None
    lines: Sequence[CrimpSpecification]
    changes: Sequence[ChangedLine]

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns of the table that at least one line fills."""
        return filled_columns(self.lines)

    @property
    def compared(self) -> tuple[str, str]:
        """What the two sides of the comparison are called."""
        return f"Issue {self.before.issue if self.before else ''}", f"Issue {self.issue.issue}"

    @property
    def compared_title(self) -> str:
        """What the comparison shows."""
        return f"What it changed in {self.before}"


@require_GET
@needs(Permission.READ)
def issued_chart(request: StaffRequest, pk: int) -> HttpResponse:
    """One issue of a chart, compared with the one before."""
    issue = get_object_or_404(ChartIssue.objects.select_related("chart"), pk=pk)
    older = issue.chart.issues.filter(entry__lt=issue.pk).order_by("-effective_from", "-entry")
    before, lines = older.first(), lines_of(issue)
    changes = [] if before is None else changed_lines(lines_of(before), lines)
    page = IssuePage(chart=issue.chart, issue=issue, before=before, lines=lines, changes=changes)
    withdrawn = ChartWithdrawal.objects.filter(chart_issue=issue).select_related("entry").first()
    context = {
        "page": page,
        "withdrawn": withdrawn,
        "why": withdrawn and withdrawn.private("reason"),
        "asked": asked_of(issue) if withdrawn else [],
        **asked_as_of(request, issue),
    }
    return render(request, "web/quality/charts/issued.html", context)


@require_GET
@needs(Permission.READ)
def issued_line(request: StaffRequest, pk: int) -> HttpResponse:
    """What one line of an issue touches: open order lines, and assemblies that were made to it."""
    rows = CrimpSpecification.objects.select_related("chart_issue__chart", *PARTS)
    line = get_object_or_404(rows, pk=pk)
    made = made_rows(made_to(line))
    waiting = open_lines_on([line.pk]).select_related("order__customer", "hose").order_by("order", "position")
    context = {"line": line, "waiting": waiting, "made": made.count(), "asked": asked_of(line)}
    return list_page(request, MadeTable(made), "web/quality/charts/issued_line.html", f"line-{pk}", context)
