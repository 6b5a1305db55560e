"""The one box, and what a look-up is narrowed by."""

from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any

from django import forms

from shop.assemblies.models import State
from shop.policy.services import get_workshop
from shop.trace.links import LINKS, Link
from shop.trace.reaching import Way
from shop.trace.recalling import Concerned
from shop.trace.suspicion import Window


class FindForm(forms.Form):
    """Anything that a person may have in hand."""

    which = forms.CharField(
        label="What",
        max_length=200,
        help_text="Scan a code, or type a serial, a batch, the number of a tool, chart, order or customer, "
        "a customer's reference, a name.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )


class LookupFilterForm(forms.Form):
    """Which of the assemblies that a thing touched."""

    way = forms.ChoiceField(label="How", required=False)
    state = forms.ChoiceField(label="Stands", required=False, choices=[("", "any"), *State.choices])
    customer = forms.ChoiceField(label="Customer", required=False)
    since = forms.DateField(
        label="From", required=False, widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    )
    until = forms.DateField(
        label="To",
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )

    def __init__(self, data: Any, *, ways: Iterable[Way], customers: Iterable[Concerned]) -> None:
        super().__init__(data)
        known = [(way.link.name, way.link.words) for way in ways]
        self.fields["way"].choices = [("", "any"), *known]  # type: ignore[attr-defined]
        whose = [(str(one.customer.pk), f"{one.customer.number} {one.customer}") for one in customers]
        self.fields["customer"].choices = [("", "any"), *whose]  # type: ignore[attr-defined]

    @property
    def link(self) -> Link | None:
        """The one way that is asked for."""
        return LINKS.get(self.cleaned_data.get("way", ""))

    @property
    def customer_key(self) -> int | None:
        """The one customer that is asked for."""
        return int(self.cleaned_data["customer"]) if self.cleaned_data.get("customer") else None

    @property
    def window(self) -> Window:
        """From the morning of the first day to the last moment of the last."""
        return Window(
            _moment(self.cleaned_data.get("since"), time.min),
            _moment(self.cleaned_data.get("until"), time.max),
        )


def _moment(day: date | None, clock: time) -> datetime | None:
    return None if day is None else datetime.combine(day, clock, tzinfo=get_workshop().zone_info)
