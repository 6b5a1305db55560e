"""What the counter types at the head of an order."""

from typing import Any

from django import forms
from django.db.models import IntegerField, Max
from django.db.models.functions import Cast

from shop.engineering.orientation import AngleConvention
from shop.orders.models import Customer, Order
from shop.web.counter.named import CUSTOMERS, NamedField
from shop.web.fields import DayField


class OrderForm(forms.Form):
    """The head of an order."""

    customer = NamedField(CUSTOMERS, required=False, help_text="Part of the name or the number will do.")
    reference = forms.CharField(label="Customer's reference", max_length=60, required=False)
    due_on = DayField(label="Due", required=False)
    angle_convention = forms.ChoiceField(
        label="The customer measures angles",
        choices=[(convention.value, convention.words) for convention in AngleConvention],
        initial=AngleConvention.NEAR_SIX_CCW.value,
        required=False,
        help_text="Looking along the hose from end A, the near end. It stays once a line has an angle.",
    )

    COLUMNS = ("customer", "reference", "due_on", "angle_convention")

    @classmethod
    def of(cls, order: Order, data: Any = None) -> "OrderForm":
        """The form for changing the head of that order."""
        form = cls(data, initial={name: getattr(order, name) for name in cls.COLUMNS})
        form.fields["customer"].required = True
        return form

    def apply_to(self, order: Order) -> Order:
        """Write what was typed onto the order, unsaved; the customer too, if one was named."""
        order.reference, order.due_on = self.cleaned_data["reference"], self.cleaned_data["due_on"]
        order.angle_convention = self.cleaned_data["angle_convention"] or order.angle_convention
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


def next_customer_number() -> str:
    """The number after the largest of those that are plain numbers."""
    numbers = Customer.objects.filter(number__regex=r"^[0-9]{1,9}$")
    largest = numbers.annotate(figure=Cast("number", IntegerField())).aggregate(most=Max("figure"))["most"]
    return str((largest or 0) + 1)
