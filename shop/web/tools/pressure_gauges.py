"""Pressure gauges: their list, their calibrations, and the page on which one is recorded."""

import datetime
from collections.abc import Iterator, Mapping
from typing import Any

import django_filters
import django_tables2 as tables
from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods

from shop.people.models import User
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.standards.models import PRESSURE_UNITS
from shop.tooling.models import PressureCalibration, PressureGauge
from shop.tooling.pressure_gauges import record_pressure_calibration, save_pressure_gauge
from shop.web.access import StaffRequest, needs
from shop.web.quality.as_of import asked_as_of
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.filters import ToolFilter
from shop.web.registers.forms import RegisterForm
from shop.web.registers.register import Register
from shop.web.registers.tables import ItemColumn, UsableColumn
from shop.web.tools import found_wrong
from shop.web.tools.calibrations import by_due_date, due_soon, over, pressure_gauges, standing
from shop.web.tools.filters import CALIBRATION_CHOICES, OVER
from shop.web.tools.forms import LONGEST_INTERVAL_DAYS, TOOL_FIELDS, due_again


class PressureGaugeForm(RegisterForm):
    """A pressure gauge; figures as they stand on its dial."""

    class Meta(RegisterForm.Meta):
        model = PressureGauge
        fields = ["number", "unit", "scale_to", "division", "interval_months", *TOOL_FIELDS]

    def write(self, *, actor: User, sure: frozenset[str]) -> PressureGauge:
        return save_pressure_gauge(actor=actor, gauge=self.instance)


class PressureCalibrationForm(RegisterForm):
    """A calibration of a pressure gauge that the page knows; figures in the unit of its scale."""

    class Meta(RegisterForm.Meta):
        model = PressureCalibration
        fields = [
            "done_on",
            "due_on",
            "error_as_found",
            "error_as_left",
            "expanded_uncertainty",
            "passed",
            "certificate",
        ]

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        cleaned = self.cleaned_data
        if (cleaned["due_on"] - cleaned["done_on"]).days > LONGEST_INTERVAL_DAYS:
            yield f"Due again only on {cleaned['due_on']} (more than five years later)"

    def write(self, *, actor: User, sure: frozenset[str]) -> PressureCalibration:
        return record_pressure_calibration(actor=actor, calibration=self.instance)


class PressureCalibrationLineForm(PressureCalibrationForm):
    """A calibration as a line of a CSV, which names its gauge and the unit that its figures are in."""

    KEY = ("gauge", "done_on", "certificate")

    unit = forms.ChoiceField(
        choices=PRESSURE_UNITS,
        label="Unit of its scale",
        help_text="That of every figure of the line: it has to be the one on the gauge's dial.",
    )

    class Meta(PressureCalibrationForm.Meta):
        fields = ["gauge", *PressureCalibrationForm.Meta.fields]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        gauge, unit = cleaned.get("gauge"), cleaned.get("unit")
        if gauge is not None and unit and unit != gauge.unit:
            self.add_error("unit", f"The scale of {gauge} is in {gauge.unit}. Write every figure so.")
        return cleaned


class PressureGaugeTable(tables.Table):
    number = ItemColumn("pressure_gauges")
    scale_to = tables.Column(verbose_name="Scale")
    calibration = tables.Column(verbose_name="Calibration", accessor="pk")
    usable = UsableColumn()

    class Meta:
        model = PressureGauge
        fields = ("number", "mark", "scale_to", "calibration", "place", "usable")

    def __init__(self, data: QuerySet[Any], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.day: datetime.date = today()

    def render_scale_to(self, record: Any) -> str:
        return f"0 to {record.end_of_scale}"

    def render_calibration(self, record: Any) -> SafeString:
        return render_to_string("web/tools/standing.html", {"standing": standing(record, self.day)})

    def order_calibration(self, rows: QuerySet[Any], is_descending: bool) -> tuple[QuerySet[Any], bool]:
        return by_due_date(rows, is_descending), True


class PressureGaugeFilter(ToolFilter):
    calibration = django_filters.ChoiceFilter(
        method="by_calibration", label="Calibration", empty_label="any", choices=CALIBRATION_CHOICES
    )

    class Meta:
        model = PressureGauge
        fields = ("unit",)

    def by_calibration(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return over(rows, today()) if value == OVER else due_soon(rows, today())


def _more(request: StaffRequest, gauge: Any) -> Mapping[str, Any]:
    """Its calibrations, newest first, with who recorded each, and what rests on it."""
    calibrations = list(gauge.calibrations.select_related("entry").order_by("-done_on", "-entry"))
    names = names_of(calibration.actor_number for calibration in calibrations)
    return {
        "standing": standing(gauge, today()),
        "calibrations": [(found, names[found.actor_number]) for found in calibrations],
        "may_calibrate": request.user.may(Permission.CALIBRATE),
        "calibrate_url": reverse("web:pressure_gauges_calibrate", args=[gauge.pk]),
        **found_wrong.what_rests_on(found_wrong.PRESSURE_GAUGES, gauge),
        **asked_as_of(request, gauge),
    }


PRESSURE_GAUGES = Register(
    slug="pressure-gauges",
    place="tools",
    title="Pressure gauges",
    noun="pressure gauge",
    about="What tells a proof test. One without a calibration in force, or too coarse, can't. Add the first.",
    model=PressureGauge,
    form=PressureGaugeForm,
    table=PressureGaugeTable,
    filterset=PressureGaugeFilter,
    write=Permission.KEEP_TOOLS,
    label=True,
    label_lines=lambda gauge: (gauge.number, gauge.mark),
    rows=pressure_gauges,
    item_template="web/tools/pressure_gauge.html",
    more_of_row=_more,
)


@require_http_methods(["GET", "POST"])
@needs(Permission.CALIBRATE)
def calibrate(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what a pressure gauge read against a standard."""
    gauge = get_object_or_404(PRESSURE_GAUGES.all_rows(), pk=pk)
    day, sure = today(), answered_doubts(request.POST)
    first = {"done_on": day, "due_on": due_again(day, gauge.interval_months), "passed": True}
    blank = PressureCalibration(gauge=gauge, unit=gauge.unit)
    form = PressureCalibrationForm(request.POST or None, instance=blank, initial=first)
    if request.method == "POST" and form.is_valid():
        done = attempt(form, lambda: form.take(actor=request.user, sure=sure))
        if done is not None:
            messages.success(request, f"The calibration of {gauge} is recorded; it is the one that counts.")
            return redirect(PRESSURE_GAUGES.url("item", pk))
    context = {"register": PRESSURE_GAUGES, "gauge": gauge, "form": form, "sure": sure}
    return render(request, "web/tools/calibrate_pressure.html", context)
