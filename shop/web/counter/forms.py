"""What the counter types: an order, and its lines in the order in which a person speaks them."""

from typing import Any

from django import forms
from django.db.models import IntegerField, Max
from django.db.models.functions import Cast

from shop.catalogue.models import Fluid
from shop.engineering.numbers import plain
from shop.engineering.orientation import FULL_TURN
from shop.orders.models import Customer, Duty, Order, OrderLine
from shop.web.counter.named import CUSTOMERS, FITTINGS, HOSES, NamedField
from shop.web.fields import DayField, PressureField, TypedLengthField


def _label(column: str) -> str:
    words = str(OrderLine._meta.get_field(column).verbose_name)  # type: ignore[union-attr]  # a column
    return words[0].upper() + words[1:]


class OrderForm(forms.Form):
    """The head of an order."""

    customer = NamedField(CUSTOMERS, required=False, help_text="Part of the name or the number will do.")
    reference = forms.CharField(label="Customer's reference", max_length=60, required=False)
    due_on = DayField(label="Due", required=False)

    @classmethod
    def of(cls, order: Order, data: Any = None) -> "OrderForm":
        """The form for changing the head of that order."""
        columns = {"customer": order.customer, "reference": order.reference, "due_on": order.due_on}
        form = cls(data, initial=columns)
        form.fields["customer"].required = True
        return form

    def apply_to(self, order: Order) -> Order:
        """Write what was typed onto the order, unsaved; the customer too, if one was named."""
        order.reference, order.due_on = self.cleaned_data["reference"], self.cleaned_data["due_on"]
        if self.cleaned_data["customer"] is not None:
            order.customer = self.cleaned_data["customer"]
        return order


class NewOrderForm(OrderForm):
    """The head of a new order, for a customer on the list or for one who is written there with it."""

    new_name = forms.CharField(label="Name", max_length=120, required=False)
    new_number = forms.CharField(label="Number", max_length=20, required=False)
    new_contact = forms.CharField(
        label="Contact", max_length=200, required=False, help_text="Who to ring, and where."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["new_number"].initial = next_customer_number()

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        named, new = cleaned.get("customer"), cleaned.get("new_name")
        if "customer" not in self.errors and bool(named) == bool(new):
            self.add_error(
                "customer",
                "Either a customer on the list or a new one, not both. Empty one of the two."
                if named
                else "Say who orders: choose a customer, or write a new one below.",
            )
        return cleaned

    def customer_for_order(self) -> Customer:
        """The customer on the list, or the new one, unsaved."""
        chosen: Customer | None = self.cleaned_data["customer"]
        return chosen or Customer(
            number=self.cleaned_data["new_number"] or next_customer_number(),
            name=self.cleaned_data["new_name"],
            contact=self.cleaned_data["new_contact"],
        )

    @property
    def head(self) -> list[forms.BoundField]:
        """The fields of the order itself."""
        return [self[name] for name in OrderForm.base_fields]

    @property
    def newcomer(self) -> list[forms.BoundField]:
        """The fields of a customer who isn't on the list yet."""
        return [self[name] for name in self.fields if name.startswith("new_")]


class LineForm(forms.Form):
    """One line, spoken: this hose, this end, that end, so long, so many, for this pressure."""

    hose = NamedField(HOSES, help_text="Maker, name and size.")
    fitting_a = NamedField(FITTINGS, label="End A")
    fitting_b = NamedField(FITTINGS, label="End B")
    overall_typed = TypedLengthField(
        label=_label("overall_typed"), help_text="As measured: 930, 0,93 m, 36 1/2 in"
    )
    angle_deg = forms.IntegerField(
        label="Angle between the ends",
        required=False,
        min_value=0,
        max_value=int(FULL_TURN),
        help_text="Near end at six o'clock, counter-clockwise to the far end. Empty: it doesn't matter.",
        widget=forms.NumberInput(attrs={"data-unit": "°"}),
    )
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1)
    pressure_typed = PressureField(
        label=_label("pressure_typed"), help_text="With its unit: 250 bar, 3600 psi"
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
    )

    @classmethod
    def of(cls, line: OrderLine, data: Any = None) -> "LineForm":
        """The form with what stands on that line."""
        columns = {name: getattr(line, name) for name in cls.AS_CLEANED}
        return cls(
            data,
            initial=columns
            | {"overall_typed": line.overall_typed, "pressure_typed": str(line.highest_pressure)},
        )

    def clean_angle_deg(self) -> int | None:
        """A full turn is none: 360° and 0° put the far end in the same place."""
        angle: int | None = self.cleaned_data["angle_deg"]
        return None if angle is None else angle % int(FULL_TURN)

    def apply_to(self, line: OrderLine) -> OrderLine:
        """Write what was typed onto the line, unsaved, with length and pressure as they were typed."""
        for name in self.AS_CLEANED:
            setattr(line, name, self.cleaned_data[name])
        length, pressure = self.cleaned_data["overall_typed"], self.cleaned_data["pressure_typed"]
        line.overall_length, line.overall_typed = length.mm, length.text
        line.pressure_typed, line.pressure_unit = plain(pressure.value), pressure.unit.value
        return line

    def sketch(self) -> OrderLine:
        """As much of the line as its drawing needs, of a form that has hose, ends and length right."""
        data = self.cleaned_data
        parts = {name: data[name] for name in ("hose", "fitting_a", "fitting_b")}
        return OrderLine(overall_length=data["overall_typed"].mm, angle_deg=data.get("angle_deg"), **parts)


def next_customer_number() -> str:
    """The number after the largest of those that are plain numbers."""
    numbers = Customer.objects.filter(number__regex=r"^[0-9]{1,9}$")
    largest = numbers.annotate(figure=Cast("number", IntegerField())).aggregate(most=Max("figure"))["most"]
    return str((largest or 0) + 1)
