"""Forms of the tool cabinet.

The ranges outside which a value is asked about are common practice, no source.
"""

import calendar
import datetime
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.db import models

from shop.people.models import User
from shop.tooling.models import (
    Arrangement,
    ArrangementPart,
    Calibration,
    CheckPiece,
    Crimper,
    DieSet,
    Gauge,
    PartTool,
    StopPart,
    Tool,
)
from shop.tooling.services import (
    record_calibration,
    save_arrangement,
    save_check_piece,
    save_crimper,
    save_die_set,
    save_gauge,
    save_stop_part,
)
from shop.web.fields import LengthField
from shop.web.registers.forms import RegisterForm
from shop.web.templatetags.quantities import length

TOOL_FIELDS = ["mark", "place", "blocked_because"]
LONGEST_INTERVAL_DAYS = 5 * 366
BUDGET = ("certificate_uncertainty", "temperature_effect", "repeatability")
TEMPERATURE_HELP = (
    "The most by which a reading may be off because workshop, gauge or part are not at 20 °C: steel of 25 mm "
    "grows by 0.003 mm in 10 °C."
)


class CrimperForm(RegisterForm):
    """A crimper."""

    class Meta(RegisterForm.Meta):
        model = Crimper
        fields = ["number", "stop_kind", "offset", "check_every_uses", *TOOL_FIELDS]

    def write(self, *, actor: User, sure: frozenset[str]) -> Crimper:
        return save_crimper(actor=actor, crimper=self.instance)


class DieSetForm(RegisterForm):
    """A set of dies."""

    class Meta(RegisterForm.Meta):
        model = DieSet
        fields = ["number", "die_type", "condition", "check_every_uses", *TOOL_FIELDS]

    def write(self, *, actor: User, sure: frozenset[str]) -> DieSet:
        return save_die_set(actor=actor, die_set=self.instance)


class StopPartForm(RegisterForm):
    """A stop part."""

    USUAL_MM = {"thickness": (Decimal("0.5"), 200)}

    class Meta(RegisterForm.Meta):
        model = StopPart
        fields = ["number", "stop_type", "thickness", "check_every_uses", *TOOL_FIELDS]

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        measured, nominal = self.cleaned_data["thickness"], self.cleaned_data["stop_type"].thickness
        if measured is not None and nominal is not None and abs(measured - nominal) > nominal / 10:
            yield f"Measured thickness {length(measured)} (its type has {length(nominal)})"

    def write(self, *, actor: User, sure: frozenset[str]) -> StopPart:
        return save_stop_part(actor=actor, stop_part=self.instance)


class GaugeForm(RegisterForm):
    """A gauge."""

    USUAL_MM = {
        "resolution": (Decimal("0.001"), 1),
        "permitted_error": (Decimal("0.001"), 5),
    }

    class Meta(RegisterForm.Meta):
        model = Gauge
        fields = ["number", "kind", "resolution", "permitted_error", "interval_months", *TOOL_FIELDS]

    def write(self, *, actor: User, sure: frozenset[str]) -> Gauge:
        return save_gauge(actor=actor, gauge=self.instance)


class CalibrationForm(RegisterForm):
    """A calibration of a gauge that the page knows. Errors may be negative."""

    USUAL_MM = {
        "error_as_found": (-1, 1),
        "error_as_left": (-1, 1),
        "expanded_uncertainty": (Decimal("0.001"), 2),
        "certificate_uncertainty": (Decimal("0.0005"), 1),
        "temperature_effect": (0, Decimal("0.5")),
        "repeatability": (0, Decimal("0.5")),
    }

    error_as_found = LengthField(
        signed=True, help_text="Largest error before any adjustment. The sign may be typed."
    )
    error_as_left = LengthField(signed=True, help_text="Largest error when it went back into use.")
    # A temperature or a spread may be nought.
    temperature_effect = LengthField(
        signed=True, required=False, label="What temperature may do, ±", help_text=TEMPERATURE_HELP
    )
    repeatability = LengthField(
        signed=True,
        required=False,
        label="Spread between readings",
        help_text=Calibration._meta.get_field("repeatability").help_text,
    )

    expanded_uncertainty = LengthField(
        required=False,
        label="Expanded uncertainty U of one reading (k = 2)",
        help_text="In use, from your own budget. Or leave it empty and type below what it comes from.",
    )

    class Meta(RegisterForm.Meta):
        model = Calibration
        fields = [
            "done_on",
            "due_on",
            "error_as_found",
            "error_as_left",
            "passed",
            "certificate",
            "expanded_uncertainty",
            *BUDGET,
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        typed = [name for name in BUDGET if cleaned.get(name) is not None]
        if cleaned.get("expanded_uncertainty") is not None and typed:
            self.add_error("expanded_uncertainty", "Type this, or what it comes from, not both.")
        elif cleaned.get("expanded_uncertainty") is None and not typed:
            self.add_error("expanded_uncertainty", "Type this, or all three things that it comes from.")
        elif typed:
            for name in BUDGET:
                if name not in self.errors and name not in typed:
                    self.add_error(name, "A budget has all three. What does nothing is 0.")
        return cleaned

    @property
    def gauge(self) -> Gauge:
        """The gauge that it is about."""
        calibration: Calibration = self.instance
        return calibration.gauge

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        cleaned, permitted = self.cleaned_data, self.gauge.permitted_error
        if permitted is not None and cleaned["passed"] and abs(cleaned["error_as_left"]) > permitted:
            error = length(cleaned["error_as_left"])
            yield f"Fit for use with an error of {error} (the gauge is permitted {length(permitted)})"
        if (cleaned["due_on"] - cleaned["done_on"]).days > LONGEST_INTERVAL_DAYS:
            yield f"Due again only on {cleaned['due_on']} (more than five years later)"

    def write(self, *, actor: User, sure: frozenset[str]) -> Calibration:
        return record_calibration(actor=actor, calibration=self.instance)


class CalibrationLineForm(CalibrationForm):
    """A calibration as a line of a CSV, which names its gauge."""

    KEY = ("gauge", "done_on", "certificate")

    class Meta(CalibrationForm.Meta):
        fields = ["gauge", *CalibrationForm.Meta.fields]


class ToolCheckForm(forms.Form):
    """What was seen at a tool, and whether it may be used."""

    FIT, UNFIT = "fit", "unfit"

    verdict = forms.ChoiceField(
        label="It is",
        choices=[(FIT, "fit for use"), (UNFIT, "not fit: out of use from now on")],
        widget=forms.RadioSelect,
    )
    condition = forms.CharField(
        max_length=300,
        label="What you saw",
        widget=forms.Textarea,
        help_text="Such as: faces clean and smooth, edges whole, all eight of one set, springs even.",
    )
    photo = forms.FileField(
        required=False,
        help_text="If you like, or if it isn't fit.",
        widget=forms.ClearableFileInput(attrs={"accept": "image/*", "capture": "environment"}),
    )

    @property
    def cleaned_values(self) -> dict[str, Any]:
        """What the service takes."""
        file = self.cleaned_data["photo"]
        return {
            "passed": self.cleaned_data["verdict"] == self.FIT,
            "condition": self.cleaned_data["condition"],
            "photo": None if file is None else file.read(),
        }


class DamageForm(forms.Form):
    """What is damaged at a tool."""

    what = forms.CharField(
        max_length=Tool._meta.get_field("blocked_because").max_length,
        label="What is damaged",
        help_text="Such as: die 3 chipped at its edge.",
    )


class CheckPieceForm(RegisterForm):
    """A check piece."""

    USUAL_MM = {"nominal": (1, 500), "uncertainty": (Decimal("0.0001"), Decimal("0.05"))}

    class Meta(RegisterForm.Meta):
        model = CheckPiece
        fields = ["number", "nominal", "uncertainty", *TOOL_FIELDS]

    def write(self, *, actor: User, sure: frozenset[str]) -> CheckPiece:
        return save_check_piece(actor=actor, piece=self.instance)


class GaugeCheckForm(forms.Form):
    """What a gauge reads on a check piece."""

    piece = forms.ModelChoiceField(
        CheckPiece.objects.filter(blocked_because=""), label="Check piece", empty_label=None
    )
    reading = LengthField(label="It reads")


class PartForm(forms.Form):
    """One part of an arrangement."""

    role = forms.CharField(max_length=60, help_text="What it does there: pusher, stop, die …")
    mark = forms.CharField(max_length=80, required=False)
    attitude = forms.CharField(
        max_length=80,
        required=False,
        label="Which way it faces",
        help_text="Such as “chamfer to the ram”, “flat side to the hose”.",
    )
    thickness = LengthField(required=False, help_text="Along the hose's axis.")
    outside_diameter = LengthField(required=False, help_text="Where it is largest.")
    bore = LengthField(required=False, label="Opening in the middle")
    tool = forms.ChoiceField(
        label="Scanned as",
        required=False,
        choices=[("", "no label"), *PartTool.choices],
        help_text="It lights up at the press when that tool is scanned.",
    )


class ArrangementForm(RegisterForm):
    """What must be in a crimper together, part by part from the ram to the hose."""

    ROW_FORM = PartForm
    ROWS_TITLE = "Parts in order, from the ram to the hose"
    KEY: ClassVar[tuple[str, ...]] = ("crimper", "die_type", "stop_type")

    class Meta(RegisterForm.Meta):
        model = Arrangement
        fields = ["crimper", "die_type", "stop_type", "take_out"]

    @classmethod
    def rows_of(cls, row: models.Model) -> list[dict[str, Any]]:
        assert isinstance(row, Arrangement)
        return [{name: getattr(part, name) for name in PartForm.base_fields} for part in row.parts.all()]

    def write(self, *, actor: User, sure: frozenset[str]) -> Arrangement:
        parts = [ArrangementPart(**part) for part in self.filled_rows]
        return save_arrangement(actor=actor, arrangement=self.instance, parts=parts)


def due_again(done_on: datetime.date, months: int) -> datetime.date:
    """The same day so many months later, or that month's last day."""
    year, month = divmod(done_on.month - 1 + months, 12)
    year, month = done_on.year + year, month + 1
    return datetime.date(year, month, min(done_on.day, calendar.monthrange(year, month)[1]))
