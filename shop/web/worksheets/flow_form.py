"""What is asked of a line: its flow and duty, and for its loss the way and the fluid."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypedDict

from django import forms

from shop.engineering.flow import DEFAULT_LIMITS, Duty
from shop.engineering.pressure_loss import Bend, Passage
from shop.engineering.quantities import Kind, Unit
from shop.engineering.viscosity import Fluid, ViscosityPoint
from shop.policy.services import policy_in_force
from shop.web.counter.named import HOSES, NamedField
from shop.web.fields import LengthField
from shop.web.worksheets.fields import NumberField, QuantityField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.tables import velocity_limits

ASKS_LOSS = "loss"
_WAY = ("length", "bends", "bend_angle", "bend_radius", "inlet_bore", "outlet_bore", "end_length")
_FLUID = ("temperature", "density", "cold_c", "cold_mm2_s", "warm_c", "warm_mm2_s")


class FlowForm(WorksheetForm):
    SWITCH = "ask"
    GROUPS = {
        "The line": ("ask", "flow", "duty", "limits", "hose", "bore"),
        "Its way": _WAY,
        "The fluid, from its data sheet": _FLUID,
    }
    ONLY = dict.fromkeys((*_WAY, *_FLUID), (ASKS_LOSS,))
    NEEDED = {ASKS_LOSS: ("length", *_FLUID)}
    ARGUMENTS = {
        "flow": ("flow",),
        "bore": ("bore", "inlet_bore", "outlet_bore"),
        "velocity": ("flow",),
        "length": ("length", "end_length"),
        "angle of the bend": ("bend_angle",),
        "radius of the bend": ("bend_radius",),
        "temperature": ("temperature",),
        "density": ("density",),
        "temperature of the viscosity": ("cold_c", "warm_c"),
        "viscosity": ("cold_mm2_s", "warm_mm2_s"),
    }

    ask = forms.ChoiceField(
        label="Work out", choices=[("bore", "bore and velocity"), (ASKS_LOSS, "also what the line loses")]
    )
    flow = QuantityField(
        kind=Kind.FLOW, default_unit=Unit.L_MIN, label="Flow", help_text="60 l/min, 3.6 m³/h or 16 gpm."
    )
    duty = forms.ChoiceField(label="Duty", choices=[(duty.value, f"{duty} line") for duty in Duty])
    limits = forms.ChoiceField(
        label="Limits of velocity",
        initial=lambda: policy_in_force().velocity_limits or DEFAULT_LIMITS,
        choices=lambda: [(name, name) for name in velocity_limits()],
        help_text="The sources disagree; all of them are compared below.",
    )
    hose = NamedField(HOSES, label="Hose", required=False, help_text="Of the catalogue, or its bore:")
    bore = LengthField(label="Bore", required=False, help_text="Empty: that of the size that is worked out.")
    length = LengthField(label="Length of the hose", required=False)
    bends = forms.IntegerField(label="Bends", required=False, min_value=0, max_value=20)
    bend_angle = NumberField(label="Each of", unit="°", required=False)
    bend_radius = LengthField(
        label="Radius of a bend",
        required=False,
        help_text="Of the centreline: inside plus half the diameter.",
    )
    inlet_bore = LengthField(label="Bore of the inlet end", required=False, help_text="Empty: as the hose.")
    outlet_bore = LengthField(label="Bore of the outlet end", required=False, help_text="Empty: as the hose.")
    end_length = LengthField(label="Length of an end's bore", required=False)
    temperature = QuantityField(
        kind=Kind.TEMPERATURE, default_unit=Unit.CELSIUS, label="Temperature in the line", required=False
    )
    density = NumberField(label="Density", unit="kg/m³", required=False)
    cold_c = NumberField(label="Temperature, colder", unit="°C", initial="40", required=False)
    cold_mm2_s = NumberField(label="Viscosity, colder", unit="mm²/s", required=False)
    warm_c = NumberField(label="Temperature, warmer", unit="°C", initial="100", required=False)
    warm_mm2_s = NumberField(label="Viscosity, warmer", unit="mm²/s", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("bore") is None and cleaned.get("hose") is not None:
            cleaned["bore"] = cleaned["hose"].bore
        if cleaned.get("bends"):
            self.require("bend_angle", "bend_radius")
        if cleaned.get("inlet_bore") is not None or cleaned.get("outlet_bore") is not None:
            self.require("end_length")
        return cleaned


class Line(TypedDict):
    """A line as the calculation of its loss takes it."""

    hose: Passage
    fluid: Fluid
    temperature_c: Decimal
    inlet: Passage | None
    outlet: Passage | None


def line_of(answers: Mapping[str, Any], bore_mm: Decimal) -> Line:
    """The line that was typed, its hose of that bore. Raises `EngineeringError` for one that can't be."""
    bends: tuple[Bend, ...] = ()
    if answers["bends"]:
        bends = (Bend(answers["bend_angle"], answers["bend_radius"]),) * answers["bends"]
    return Line(
        hose=Passage(bore_mm, answers["length"], bends),
        fluid=Fluid(
            "The fluid",
            answers["density"],
            ViscosityPoint(answers["cold_c"], answers["cold_mm2_s"]),
            ViscosityPoint(answers["warm_c"], answers["warm_mm2_s"]),
        ),
        temperature_c=answers["temperature"].in_unit(Unit.CELSIUS),
        inlet=_end(answers, "inlet_bore"),
        outlet=_end(answers, "outlet_bore"),
    )


def _end(answers: Mapping[str, Any], name: str) -> Passage | None:
    bore: Decimal | None = answers[name]
    return None if bore is None else Passage(bore, answers["end_length"])
