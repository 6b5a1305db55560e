"""Form fields that read quantities as people write them and hand over domain values."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError

from shop.engineering.errors import EngineeringError
from shop.engineering.lengths import LengthUnit, TypedLength, parse_length, show_length
from shop.engineering.pressures import Pressure, PressureUnit, parse_pressure
from shop.web.workshop import workshop_or_default

T = TypeVar("T")


def _understood(parse: Callable[[], T]) -> T:
    try:
        return parse()
    except EngineeringError as error:
        raise ValidationError(str(error)) from error


class TypedLengthField(forms.CharField):
    """A length as typed: cleans to `TypedLength`, which keeps the text beside the millimetres."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 30)
        super().__init__(**kwargs)
        self.widget.attrs |= {"inputmode": "text", "autocomplete": "off", "size": 12}

    def clean(self, value: Any) -> TypedLength | None:
        text = super().clean(value)
        unit = LengthUnit(workshop_or_default().length_unit)
        return _understood(lambda: parse_length(text, unit)) if text else None


class LengthField(TypedLengthField):
    """A length: cleans to `Decimal` millimetres, shows in the workshop's unit."""

    def __init__(self, *, signed: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.signed = signed  # errors of gauges may be negative or nought

    def clean(self, value: Any) -> Decimal | None:  # type: ignore[override]
        text = str(value or "").strip()
        if self.signed and "0" in text and not text.strip("-−+0.,mi n"):
            return Decimal(0)
        sign = -1 if self.signed and text[:1] in "-−" else 1
        typed = super().clean(text.lstrip("-−+") if self.signed else value)
        return None if typed is None else sign * typed.mm

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal):
            unit = LengthUnit(workshop_or_default().length_unit)
            return show_length(value, unit) if value > 0 else f"{value} mm"
        return value


class PressureField(forms.CharField):
    """A pressure as typed, unit included: cleans to `Pressure` in the unit that was typed.

    A bare number is in `unit`, or else in the workshop's.
    """

    def __init__(self, *, unit: PressureUnit | None = None, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 20)
        super().__init__(**kwargs)
        self.unit = unit
        self.widget.attrs |= {"inputmode": "text", "autocomplete": "off", "size": 12}

    def clean(self, value: Any) -> Pressure | None:
        text = super().clean(value)
        unit = self.unit or PressureUnit(workshop_or_default().pressure_unit)
        return _understood(lambda: parse_pressure(text, unit)) if text else None

    def prepare_value(self, value: Any) -> Any:
        return str(value) if isinstance(value, Pressure) else value


class DayField(forms.DateField):
    """A day, picked or typed; 2026-11-25 in every browser."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}))
        super().__init__(**kwargs)
