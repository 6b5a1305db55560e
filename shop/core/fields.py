"""Quantities in the database.

SQLite keeps decimals as binary floats, in which 0.3 - 0.1 - 0.1 - 0.1 is below zero. So a length is
stored as a whole number of nanometres (1/64 in is 396 875 nm exactly) and a pressure as whole
pascals. Python sees `Decimal` millimetres and bar.
"""

from decimal import Decimal
from typing import Any

from django.core import exceptions
from django.db import models
from django.db.models.expressions import Combinable

from shop.engineering.numbers import trim


class _ScaledField(models.BigIntegerField):  # type: ignore[type-arg]  # no subscript at run time
    """A decimal quantity stored as a whole number of `1 / scale`."""

    scale: int
    unit: str
    # What a model's attribute takes and gives, for the type checker.
    _pyi_private_set_type: Decimal | int | str | Combinable  # type: ignore[assignment]  # as below
    _pyi_private_get_type: Decimal  # type: ignore[assignment]  # not the integer of the column

    def from_db_value(self, value: int | None, *_: Any) -> Decimal | None:
        return None if value is None else trim(Decimal(value) / self.scale)

    def to_python(self, value: Any) -> Decimal | None:
        if value is None or value == "":
            return None
        try:
            return trim(Decimal(str(value)))
        except ArithmeticError as error:
            raise exceptions.ValidationError(f"{value!r} is not a number of {self.unit}.") from error

    def get_prep_value(self, value: Any) -> int | None:
        quantity = self.to_python(value)
        if quantity is None:
            return None
        scaled = quantity * self.scale
        if scaled != scaled.to_integral_value():
            raise exceptions.ValidationError(
                f"{quantity} {self.unit} is finer than 1/{self.scale} {self.unit}."
            )
        return int(scaled)

    @property
    def validators(self) -> list[Any]:
        # The range of the database's integer is one of stored units, not of `unit`.
        return []


class LengthField(_ScaledField):
    """A length: `Decimal` millimetres in Python, whole nanometres in the database."""

    description = "A length in millimetres"
    scale = 1_000_000
    unit = "mm"


class PressureField(_ScaledField):
    """A pressure: `Decimal` bar in Python, whole pascals in the database."""

    description = "A pressure in bar"
    scale = 100_000
    unit = "bar"
