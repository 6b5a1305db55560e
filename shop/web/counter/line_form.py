"""What the counter types of a line, in the order in which a person speaks it."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.safestring import SafeString, mark_safe

from shop.catalogue.models import Fluid
from shop.drawings.clock import draw_convention
from shop.engineering.errors import EngineeringError
from shop.engineering.lengths import LengthUnit, TypedLength
from shop.engineering.numbers import plain
from shop.engineering.orientation import FULL_TURN, AngleConvention
from shop.engineering.pressures import Pressure, parse_pressure
from shop.orders.duties import Duty
from shop.orders.extras import EXTRAS
from shop.orders.models import Measured, Order, OrderLine
from shop.web.counter.named import FITTINGS, HOSES, NamedField
from shop.web.fields import PressureField, TypedLengthField
from shop.web.worksheets.fields import CleanlinessCodeField


def _column(name: str) -> Any:
    return OrderLine._meta.get_field(name)


def _label(column: str) -> str:
    words = str(_column(column).verbose_name)
    return words[0].upper() + words[1:]


def _typed(column: str) -> forms.CharField:
    """A question that its column answers: label, help and length are the column's."""
    asked = _column(column)
    return forms.CharField(
        label=_label(column), max_length=asked.max_length, required=False, help_text=asked.help_text
    )


class LineForm(forms.Form):
    """One line, spoken: this hose, this end, that end, so long, so many, for this pressure."""

    hose = NamedField(HOSES, help_text="Maker, name and size.")
    fitting_a = NamedField(FITTINGS, label="End A")
    fitting_b = NamedField(FITTINGS, label="End B")
    overall_typed = TypedLengthField(
        label=_label("overall_typed"),
        max_length=26,  # with its unit it still goes into the column
        help_text="As measured: 930, 0,93 m, 36 1/2 in",
    )
    measured = forms.ChoiceField(
        label="Measured",
        choices=[
            (Measured.DATUMS, "to the fittings' datums"),
            (Measured.TIPS, "tip to tip, over all metal"),
        ],
        initial=Measured.DATUMS,
        required=False,
    )
    angle_deg = forms.IntegerField(
        label="Angle between the ends",
        required=False,
        min_value=0,
        max_value=int(FULL_TURN),
        widget=forms.NumberInput(attrs={"data-unit": "°"}),
    )
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1)
    pressure_typed = PressureField(
        label=_label("pressure_typed"), help_text="Surges included, with its unit: 250 bar, 3600 psi"
    )
    temperature_c = forms.IntegerField(
        label="Highest temperature of the fluid",
        min_value=-100,
        max_value=500,
        widget=forms.NumberInput(attrs={"data-unit": "°C"}),
    )
    fluid = forms.ModelChoiceField(Fluid.objects.all(), empty_label="Choose …")
    duty = forms.ChoiceField(label=_label("duty"), choices=Duty.choices, initial=Duty.GENERAL)
    engineer = forms.CharField(
        label=_label("engineer"),
        max_length=120,
        required=False,
        help_text="Name and document, where the duty needs it.",
    )
    surge_typed = forms.CharField(
        label=_label("surge_typed"),
        max_length=20,
        required=False,
        help_text="Empty: the highest pressure has the surges in it.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "size": 12}),
    )
    vacuum_typed = PressureField(
        label=_label("vacuum_typed"),
        required=False,
        help_text="How far below atmosphere, for suction lines: 0.3 bar. Empty: never below.",
    )
    proof_test_wanted = forms.BooleanField(
        label=_label("proof_test_wanted"),
        required=False,
        help_text="As the policy stands, a line may ask for it, or all are tested, or none.",
    )
    sleeve = _typed("sleeve")
    guard = _typed("guard")
    caps = forms.BooleanField(label=_label("caps"), required=False, help_text=_column("caps").help_text)
    marking = _typed("marking")
    cleanliness = CleanlinessCodeField(
        label=_label("cleanliness"), required=False, help_text=_column("cleanliness").help_text
    )
    # The way of counting that the person saw: it decides what the angle means.
    counted = forms.CharField(required=False, widget=forms.HiddenInput)

    AS_CLEANED = (
        "hose",
        "fitting_a",
        "fitting_b",
        "angle_deg",
        "quantity",
        "temperature_c",
        "fluid",
        "duty",
        "engineer",
        "proof_test_wanted",
        "sleeve",
        "guard",
        "caps",
        "marking",
    )
    MORE = ("surge_typed", "vacuum_typed", "proof_test_wanted")

    def __init__(self, order: Order, data: Any = None, initial: dict[str, Any] | None = None) -> None:
        super().__init__(data, initial={"counted": order.angle_convention} | (initial or {}))
        self.order = order
        self.convention = AngleConvention(order.angle_convention)
        words = self.convention.words
        self.fields["angle_deg"].help_text = f"{words[0].upper()}{words[1:]}. Empty: it doesn't matter."

    @classmethod
    def of(cls, line: OrderLine, data: Any = None) -> "LineForm":
        """The form with what stands on that line."""
        demand = line.demand
        return cls(
            line.order,
            data,
            {name: getattr(line, name) for name in cls.AS_CLEANED}
            | {
                "overall_typed": line.overall_typed,
                "measured": line.measured,
                "pressure_typed": str(demand.highest),
                "surge_typed": "" if demand.surge is None else str(demand.surge),
                "vacuum_typed": "" if demand.vacuum is None else str(demand.vacuum),
                "cleanliness": line.cleanliness,
            },
        )

    @property
    def asked(self) -> list[forms.BoundField]:
        """The questions of every line."""
        return [field for field in self.visible_fields() if field.name not in (*self.MORE, *EXTRAS)]

    @property
    def extras(self) -> list[forms.BoundField]:
        """What may be ordered beside hose and ends."""
        return [self[name] for name in EXTRAS]

    @property
    def extras_are_open(self) -> bool:
        """Whether an extra is ordered, or something is wrong with one."""
        return any(field.value() or field.errors for field in self.extras)

    @property
    def more(self) -> list[forms.BoundField]:
        """The questions of few lines."""
        return [self[name] for name in self.MORE]

    @property
    def more_is_open(self) -> bool:
        """Whether one of those is answered or was answered wrong."""
        return any(field.value() or field.errors for field in self.more)

    @property
    def convention_drawing(self) -> SafeString:
        """The order's way of counting angles, as markup: it has no text but ours."""
        return mark_safe(draw_convention(self.convention))  # noqa: S308  # drawn from nothing typed

    def clean_angle_deg(self) -> int | None:
        """A full turn is none: 360° and 0° put the far end in the same place."""
        angle: int | None = self.cleaned_data["angle_deg"]
        return None if angle is None else angle % int(FULL_TURN)

    def clean_surge_typed(self) -> Pressure | None:
        """A bare number is in the unit of the highest pressure, and so must any other be."""
        text, highest = self.cleaned_data["surge_typed"].strip(), self.cleaned_data.get("pressure_typed")
        if not text or highest is None:
            return None
        try:
            surge = parse_pressure(text, highest.unit)
        except EngineeringError as error:
            raise ValidationError(str(error)) from error
        if surge.unit is not highest.unit:
            raise ValidationError(f"Type the surges in {highest.unit}, as the highest pressure is.")
        return surge

    def clean_counted(self) -> str:
        """The order may have been changed to another way of counting while the line was written."""
        seen: str = self.cleaned_data["counted"]
        if seen and seen != self.convention and self.cleaned_data.get("angle_deg") is not None:
            raise ValidationError(
                f"Meanwhile the order counts angles another way: {self.convention.words}. Open the line anew "
                "and type the angle again."
            )
        return seen

    def apply_to(self, line: OrderLine) -> OrderLine:
        """Write what was typed onto the line, unsaved, with length and pressures as they were typed."""
        data = self.cleaned_data
        for name in self.AS_CLEANED:
            setattr(line, name, data[name])
        self._measure(line)
        pressure, surge, vacuum = data["pressure_typed"], data["surge_typed"], data["vacuum_typed"]
        line.pressure_typed, line.pressure_unit = plain(pressure.value), pressure.unit.value
        line.surge_typed = "" if surge is None else plain(surge.value)
        line.vacuum_typed = "" if vacuum is None else plain(vacuum.value)
        line.vacuum_unit = "" if vacuum is None else vacuum.unit.value
        line.cleanliness = str(data["cleanliness"] or "")
        return line

    def sketch(self) -> OrderLine:
        """As much of the line as its drawing needs, of a form that has hose, ends and length right."""
        data = self.cleaned_data
        parts = {name: data[name] for name in ("hose", "fitting_a", "fitting_b")}
        line = OrderLine(order=self.order, angle_deg=data.get("angle_deg"), **parts)
        self._measure(line)
        return line

    def _measure(self, line: OrderLine) -> None:
        length: TypedLength = self.cleaned_data["overall_typed"]
        line.measured = self.cleaned_data.get("measured") or Measured.DATUMS
        line.overall_length, line.overall_typed = length.mm, length.text
        if line.measured == Measured.TIPS and _is_bare(length):
            line.overall_typed = f"{length.text} {length.unit}"


def _is_bare(length: TypedLength) -> bool:
    """Whether a length was typed without a unit; 3 ft 4 1/2 has one, though it ends in a figure."""
    return length.text[-1].isnumeric() and length.unit is not LengthUnit.FT
