"""The binder: every chart with its issue in force."""

from collections.abc import Mapping
from typing import Any

import django_filters
import django_tables2 as tables
from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.catalogue import verbs
from shop.catalogue.models import ChartIssue, ChartLine, CrimpChart, CrimpSpecification
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.access import StaffRequest
from shop.web.quality.as_of import asked_as_of
from shop.web.quality.charts.forms import ChartForm
from shop.web.quality.charts.page import chart_page
from shop.web.registers.filters import RegisterFilter, with_every_word
from shop.web.registers.history import tell
from shop.web.registers.register import Register
from shop.web.registers.tables import FigureColumn, ItemColumn

UNCHECKED = Q(checked_by=None, lines__isnull=False)


def charts_with_issue() -> QuerySet[CrimpChart]:
    """Every chart with the newest issue begun by today, whether that is withdrawn, and its lines counted."""
    newest = ChartIssue.objects.filter(chart=OuterRef("pk"), effective_from__lte=today()).order_by(
        "-effective_from", "-entry"
    )
    return CrimpChart.objects.select_related("typed_by", "checked_by").annotate(
        issue_name=Subquery(newest.values("issue")[:1]),
        withdrawal=Subquery(newest.values("withdrawal")[:1]),
        line_count=Count("lines"),
    )


def unchecked_charts() -> QuerySet[CrimpChart]:
    """Charts whose lines wait for a second person."""
    return CrimpChart.objects.filter(UNCHECKED).distinct()


class ChartTable(tables.Table):
    """The binder's list."""

    number = ItemColumn("charts", verbose_name="Chart")
    origin = tables.Column()
    issue_name = tables.Column(verbose_name="Issue in force", empty_values=())
    checked = tables.Column(verbose_name="Typed lines", accessor="checked_by", empty_values=())
    line_count = FigureColumn(verbose_name="Lines")

    class Meta:
        model = CrimpChart
        fields = ("number", "origin", "issue_name", "checked", "line_count")
        order_by = "number"

    def render_issue_name(self, record: Any) -> SafeString:
        return render_to_string("web/quality/charts/_in_force.html", {"chart": record})

    def render_checked(self, record: Any) -> SafeString:
        return render_to_string("web/quality/charts/_checked.html", {"chart": record})


class ChartFilter(RegisterFilter):
    """Charts can be narrowed to those that wait for a second person."""

    SEARCH = ("number", "origin")
    # What a line says, as typed or as issued: a chart is found by the hose that it names.
    LINE_SEARCH = (
        "hose__maker",
        "hose__designation",
        "series__maker",
        "series__name",
        "ferrule__designation",
        "die_type__designation",
    )

    checked = django_filters.ChoiceFilter(
        method="by_check",
        label="Typed lines",
        empty_label="any",
        choices=[("no", "wait for a check"), ("yes", "checked")],
    )

    def search(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """Every word in the chart's head, or every word in one of its lines."""
        found = Q(pk__in=with_every_word(CrimpChart.objects.all(), self.SEARCH, value).values("pk"))
        for lines, chart in (
            (ChartLine.objects.all(), "chart"),
            (CrimpSpecification.objects.all(), "chart_issue__chart"),
        ):
            matching = with_every_word(lines, (*self.LINE_SEARCH, f"{chart}__number"), value, "hose__dash")
            found |= Q(pk__in=matching.values(chart))
        return rows.filter(found)

    def by_check(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        if value == "yes":
            return rows.exclude(checked_by=None)
        return rows.filter(pk__in=unchecked_charts().values("pk"))


def _more(request: StaffRequest, chart: CrimpChart) -> Mapping[str, Any]:
    return {
        "page": chart_page(chart, request.user),
        "history": tell(chart, without={verbs.LINE_ISSUED.name}),  # an issue's lines would bury the rest
        "may_issue": request.user.may(Permission.ISSUE_CHARTS),
        **asked_as_of(request, chart),
    }


CHARTS = Register(
    slug="charts",
    place="quality",
    title="Crimp charts",
    noun="crimp chart",
    about="Each fitting maker's chart that you crimp by, typed line by line, checked by a second person and "
    "issued. Without a chart in force nothing is crimped. Start with the chart's number and the title, issue "
    "and date of the maker's document.",
    model=CrimpChart,
    form=ChartForm,
    table=ChartTable,
    filterset=ChartFilter,
    write=Permission.TYPE_CHARTS,
    rows=charts_with_issue,
    item_template="web/quality/charts/item.html",
    more_of_row=_more,
)
