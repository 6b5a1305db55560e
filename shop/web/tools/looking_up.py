"""Looking up backwards: which lines of charts in force prescribe this die and stop, and what do they make."""

from typing import Any

import django_tables2 as tables
from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET
from django_tables2 import RequestConfig

from shop.catalogue.models import CrimpSpecification, DieType, StopType
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.trace.prescribed import touched_by
from shop.web.access import StaffRequest, needs
from shop.web.registers.views import PER_PAGE
from shop.web.templatetags.quantities import diameter


class ToolingForm(forms.Form):
    """A die type, a stop type, or both."""

    die_type = forms.ModelChoiceField(
        DieType.objects.all(), required=False, label="Die", empty_label="any die"
    )
    stop_type = forms.ModelChoiceField(
        StopType.objects.all(), required=False, label="Stop", empty_label="any stop"
    )


class PrescribedTable(tables.Table):
    """Lines of charts, by what they put into the press."""

    hose = tables.Column()
    series = tables.Column()
    ferrule = tables.Column(accessor="ferrule__designation", verbose_name="Ferrule", default="one-piece")
    die_type = tables.Column(verbose_name="Die")
    stop = tables.Column(accessor="stop_words", verbose_name="Stop", orderable=False)
    target = tables.Column(verbose_name="Crimp diameter")
    chart_issue = tables.Column(verbose_name="By", linkify=("web:issued_chart", [tables.A("chart_issue_id")]))
    makes = tables.Column(accessor="pk", verbose_name="What it makes", orderable=False)

    class Meta:
        model = CrimpSpecification
        fields = ("hose", "series", "makes", "target", "die_type", "stop", "ferrule", "chart_issue")
        caption = "Lines of charts in force"

    def before_render(self, request: StaffRequest) -> None:
        self.touched = touched_by(row.record for row in self.page or self.rows)

    def render_target(self, record: Any) -> str:
        return f"{diameter(record.target)} ({diameter(record.lower)} to {diameter(record.upper)})"

    def render_makes(self, value: int) -> SafeString:
        touched = self.touched[value]
        lines = "line" if touched.open_lines == 1 else "lines"
        address = reverse("web:issued_line", args=[value])
        return format_html(
            '<a href="{}">{} open order {}, {} made</a>', address, touched.open_lines, lines, touched.made
        )


@require_GET
@needs(Permission.READ)
def look_up(request: StaffRequest) -> HttpResponse:
    """The lines of charts in force for a die and a stop."""
    form = ToolingForm(request.GET)
    rows = CrimpSpecification.objects.in_force(today())
    if form.is_valid():
        rows = rows.filter(**{name: found for name, found in form.cleaned_data.items() if found is not None})
    parts = ("hose", "series", "ferrule", "die_type", "stop_type", "chart_issue__chart")
    table = PrescribedTable(rows.select_related(*parts))
    RequestConfig(request, paginate={"per_page": PER_PAGE}).configure(table)
    context = {"form": form, "table": table, "is_empty": not table.data}
    return render(request, "web/tools/look_up.html", context)
