"""What is asked of a routing: the hose with its ends, how it lies, and then a length or a radius."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms

from shop.catalogue.models import Fitting
from shop.engineering.routing import Layout
from shop.engineering.routing_shapes import FixedEnd, Hose
from shop.web.counter.named import FITTINGS, HOSES, NamedField
from shop.web.fields import LengthField
from shop.web.worksheets.fields import NumberField
from shop.web.worksheets.forms import WorksheetForm

STRAIGHT, BEND, U, OFFSET = (layout.value for layout in Layout)
_HOSE = ("hose", "outside", "minimum", "fitting_a", "metal_a", "fitting_b", "metal_b")
_OF_THE_HOSE: Mapping[str, tuple[str, ...]] = {
    "outside diameter": ("outside",),
    "minimum bend radius": ("minimum",),
    "metal of end A": ("metal_a",),
    "metal of end B": ("metal_b",),
    "overall length": ("overall",),
    "distance": ("distance",),
    "angle of the bend": ("angle",),
    "travel": ("travel",),
    "offset": ("offset",),
}


class RoutedForm(WorksheetForm):
    """A hose with its ends, in one of four layouts."""

    SWITCH = "layout"

    layout = forms.ChoiceField(
        label="It lies",
        choices=[
            (STRAIGHT, "straight: the ports face each other"),
            (BEND, "round one bend"),
            (U, "in a U: the ports point the same way"),
            (OFFSET, "offset: the ports are on parallel lines"),
        ],
    )
    hose = NamedField(HOSES, label="Hose", required=False, help_text="Of the catalogue, or its figures:")
    outside = LengthField(label="Outside diameter", required=False)
    minimum = LengthField(
        label="Least bend radius",
        required=False,
        help_text="To the inside of the bend, as the maker prints it.",
    )
    fitting_a = NamedField(FITTINGS, label="Fitting A", required=False, help_text="Of the catalogue, or:")
    metal_a = LengthField(
        label="Stiff at end A", required=False, help_text="From its datum to the end of its ferrule."
    )
    fitting_b = NamedField(FITTINGS, label="Fitting B", required=False, help_text="Of the catalogue, or:")
    metal_b = LengthField(
        label="Stiff at end B", required=False, help_text="From its datum to the end of its ferrule."
    )
    distance = LengthField(label="Distance between the datums", required=False, help_text="Along the ports.")
    angle = NumberField(
        label="Angle of the bend",
        unit="°",
        required=False,
        help_text="The change of direction; 90 is a corner.",
    )
    offset = LengthField(label="Offset", required=False, help_text="From one port's line to the other's.")
    travel = LengthField(label="Travel", required=False, help_text="Of the moving port; empty: none.")
    fixed_end = forms.ChoiceField(
        label="The fixed end is level with the",
        required=False,
        initial=FixedEnd.MIDDLE,
        choices=[(fixed.value, fixed.value) for fixed in FixedEnd],
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("hose") is not None:
            self._take("outside", cleaned["hose"].outside_diameter)
            self._take("minimum", cleaned["hose"].bend_radius)
        elif "hose" not in self.errors:
            self.require("outside", "minimum")
        for end in ("a", "b"):
            fitting: Fitting | None = cleaned.get(f"fitting_{end}")
            if fitting is not None:
                self._take(f"metal_{end}", fitting.cut_off + fitting.insertion_depth)
        return cleaned

    def _take(self, name: str, value: Decimal) -> None:
        """From the catalogue what was not typed."""
        if self.cleaned_data.get(name) is None and name not in self.errors:
            self.cleaned_data[name] = value


class RoutingForm(RoutedForm):
    """Asks which length a layout needs."""

    GROUPS = {
        "How it lies": (
            "layout",
            "distance",
            "angle",
            "offset",
            "radius",
            "run_a",
            "run_b",
            "travel",
            "fixed_end",
        ),
        "Hose and ends": _HOSE,
        "Slack": ("slack",),
    }
    ONLY = {
        "distance": (STRAIGHT, OFFSET),
        "angle": (BEND,),
        "offset": (OFFSET,),
        "radius": (BEND, U, OFFSET),
        "run_a": (BEND,),
        "run_b": (BEND,),
        "travel": (U,),
        "fixed_end": (U,),
    }
    NEEDED = {STRAIGHT: ("distance",), BEND: ("angle",), OFFSET: ("offset",)}
    ARGUMENTS = {
        **_OF_THE_HOSE,
        "inside bend radius": ("radius",),
        "straight run at end A": ("run_a",),
        "straight run at end B": ("run_b",),
        "slack": ("slack",),
    }

    radius = LengthField(
        label="Bend radius wanted",
        required=False,
        help_text="To the inside; empty: the least that the hose bends.",
    )
    run_a = LengthField(label="Straight run at end A", required=False, help_text="Empty: 1.5 diameters.")
    run_b = LengthField(label="Straight run at end B", required=False, help_text="Empty: 1.5 diameters.")
    slack = NumberField(
        label="Slack",
        unit="%",
        required=False,
        help_text="Empty: 5 % if straight, else none: a bend gives way.",
    )


class FitForm(RoutedForm):
    """Asks what results when a length lies in a layout."""

    GROUPS = {
        "The hose": ("overall", *_HOSE),
        "How it lies": (
            "layout",
            "distance",
            "angle",
            "corner_a",
            "corner_b",
            "span",
            "travel",
            "fixed_end",
            "offset",
        ),
    }
    ONLY = {
        "distance": (STRAIGHT, OFFSET),
        "angle": (BEND,),
        "corner_a": (BEND,),
        "corner_b": (BEND,),
        "span": (U,),
        "travel": (U,),
        "fixed_end": (U,),
        "offset": (OFFSET,),
    }
    NEEDED = {
        STRAIGHT: ("distance",),
        BEND: ("angle", "corner_a", "corner_b"),
        U: ("span",),
        OFFSET: ("distance", "offset"),
    }
    ARGUMENTS = {
        **_OF_THE_HOSE,
        "distance from end A to the corner": ("corner_a",),
        "distance from end B to the corner": ("corner_b",),
        "span": ("span",),
    }

    overall = LengthField(label="Overall length")
    corner_a = LengthField(
        label="From end A to the corner", required=False, help_text="Where the lines of both ports meet."
    )
    corner_b = LengthField(label="From end B to the corner", required=False)
    span = LengthField(label="Span", required=False, help_text="Between the ports, centre to centre.")


def hose_of(answers: Mapping[str, Any]) -> Hose:
    """The hose with its ends, for the calculation; an end of which nothing is known has no metal."""
    return Hose(
        answers["outside"],
        answers["minimum"],
        answers["metal_a"] or Decimal(0),
        answers["metal_b"] or Decimal(0),
    )
