"""Calibrations in and out by CSV, for each register of gauges that are calibrated."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Model
from django.http import HttpResponse
from django.urls import URLPattern, path, reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.people.permissions import Permission
from shop.tooling.models import Calibration, PressureCalibration
from shop.web.access import StaffRequest, needs
from shop.web.registers.csv_page import csv_page
from shop.web.registers.export import export
from shop.web.registers.forms import RegisterForm
from shop.web.registers.register import Register
from shop.web.registers.sheet import Sheet
from shop.web.tools.forms import CalibrationLineForm
from shop.web.tools.pressure_gauges import PRESSURE_GAUGES, PressureCalibrationLineForm
from shop.web.tools.registers import GAUGES


@dataclass(frozen=True)
class Calibrations:
    """The calibrations of a register's gauges; `name` is that of their pages."""

    register: Register
    name: str
    record: type[Model]
    form: type[RegisterForm]

    @property
    def sheet(self) -> Sheet:
        """Every calibration, gauge by gauge."""
        rows = self.record._default_manager.select_related("gauge").order_by("gauge__number", "done_on")
        # A line that doesn't say whether the gauge is fit for use says that it isn't.
        return Sheet(self.form, lambda: self.record(passed=False), rows, may_change=False)


OF_GAUGES = Calibrations(GAUGES, "calibrations", Calibration, CalibrationLineForm)
OF_PRESSURE_GAUGES = Calibrations(
    PRESSURE_GAUGES, "pressure_calibrations", PressureCalibration, PressureCalibrationLineForm
)


@require_http_methods(["GET", "POST"])
@needs(Permission.CALIBRATE)
def take_in(request: StaffRequest, of: Calibrations) -> HttpResponse:
    """Take calibrations in from a CSV, after a dry run."""
    register = of.register
    frame: Mapping[str, Any] = {
        "title": f"Take calibrations of {register.title.lower()} in from a CSV",
        "trail": [(register.place_url, "Tools"), (register.list_url, register.title)],
        "template_url": reverse(f"web:{of.name}_template"),
    }
    return csv_page(request, of.sheet, done_url=register.list_url, frame=frame)


@require_GET
@needs(Permission.CALIBRATE)
def template(request: StaffRequest, of: Calibrations) -> HttpResponse:
    """A file with the headers only."""
    return export(of.sheet, (), name=f"{_file(of)}-template", file_format="csv")


@require_GET
@needs(Permission.READ)
def everything(request: StaffRequest, of: Calibrations) -> HttpResponse:
    """Every calibration, as a file."""
    sheet = of.sheet
    return export(sheet, sheet.rows, name=_file(of), file_format="csv")


def _file(of: Calibrations) -> str:
    return of.name.replace("_", "-")


def calibration_urls() -> list[URLPattern]:
    """For each of them `<name>_csv`, `<name>_template` and `<name>_export`."""
    return [
        path(f"{of.register.slug}/calibrations/{below}", view, {"of": of}, name=f"{of.name}_{page}")
        for of in (OF_GAUGES, OF_PRESSURE_GAUGES)
        for page, below, view in (
            ("csv", "", take_in),
            ("template", "template/", template),
            ("export", "export/", everything),
        )
    ]
