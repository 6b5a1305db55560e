"""The order line that something is worked out for: how it is named, and what it answers by itself."""

import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from shop.orders.models import OrderLine

LINE = "line"  # in addresses; no worksheet has a question by that name
_ORDER_AND_LINE = re.compile(r"([0-9]{1,9})(?:\s*[-/., ]\s*([0-9]{1,4}))?")

# The questions of a worksheet that the line answers, by names of `_answers`.
ANSWERED: Mapping[str, tuple[str, ...]] = {
    "length": ("known", "overall", "size", "fitting_a", "fitting_b"),
    "routing": ("hose", "fitting_a", "fitting_b"),
    "routing_fit": ("overall", "hose", "fitting_a", "fitting_b"),
    "flow": ("hose", "length"),
    "duty": ("working", "surge", "vacuum", "hose"),
}


class OrderLineField(forms.CharField):
    """An order's number and its line, like 12/1: cleans to `OrderLine`. An only line may be left out."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs |= {"autocomplete": "off", "size": 8}

    def clean(self, value: Any) -> OrderLine | None:
        text = super().clean(value)
        if not text:
            return None
        named = _ORDER_AND_LINE.fullmatch(text)
        if named is None:
            raise ValidationError(f"“{text}” is not an order and its line. Type their numbers like 12/1.")
        number, position = named.groups()
        lines = OrderLine.objects.select_related("order__customer", "hose", "fitting_a", "fitting_b")
        of_order = list(lines.filter(order__number=number))
        found = [line for line in of_order if position is None or line.position == int(position)]
        if len(found) == 1:
            return found[0]
        if not of_order:
            raise ValidationError(f"There is no order {number} with a line. Look for it at the counter.")
        known = ", ".join(f"{number}/{line.position}" for line in of_order)
        raise ValidationError(f"Say which line of order {number} it is: {known}.")


class ForLineForm(forms.Form):
    """Which order line it is for."""

    line = OrderLineField(label="Order and line", help_text="Their numbers, like 12/1.")

    @property
    def found(self) -> OrderLine | None:
        """The line that was named; None if none was, or the form says what is wrong with it."""
        found: OrderLine | None = self.cleaned_data.get("line") if self.is_valid() else None
        return found

    @property
    def query(self) -> str:
        """The line as it goes on in addresses; empty if there is none."""
        return "" if self.found is None else urlencode({LINE: number_of(self.found)})


def asked_for(sent: QueryDict) -> ForLineForm:
    """The line that an address names, if it names one."""
    return ForLineForm(sent if sent.get(LINE) else None)


def number_of(line: OrderLine) -> str:
    """The order's number and the line's, as people type them: 12/1."""
    return f"{line.order.number}/{line.position}"


def answers_of(line: OrderLine | None, worksheet: str) -> Mapping[str, object]:
    """What the line answers of the worksheet's questions: its parts, its length, what is asked of it."""
    if line is None or worksheet not in ANSWERED:
        return {}
    answers = _answers(line)
    return {name: answers[name] for name in ANSWERED[worksheet]}


def _answers(line: OrderLine) -> Mapping[str, object]:
    unit = line.pressure_unit
    return {
        "known": "overall",
        "overall": line.overall_length,
        "length": line.overall_length,
        "size": f"-{line.hose.dash}",
        "hose": line.hose,
        "fitting_a": line.fitting_a,
        "fitting_b": line.fitting_b,
        "working": f"{line.pressure_typed} {unit}",
        "surge": f"{line.surge_typed} {unit}" if line.surge_typed else "",
        "vacuum": f"{line.vacuum_typed} {line.vacuum_unit}" if line.vacuum_typed else "",
    }
