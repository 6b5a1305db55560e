"""Refusal of numbers outside the range in which a calculation means anything."""

from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_number


def require_within(value: Decimal, argument: str, unit: str, low: Decimal, high: Decimal) -> Decimal:
    """The value, if it is finite and from `low` to `high`, both included.

    Raises `NotANumber`, or `OutOfRange` with both ends in `allowed`.
    """
    if not low <= require_number(value, argument, unit) <= high:
        allowed = f"{plain(low)} to {plain(high)} {unit}"
        raise OutOfRange(
            f"The {argument} must be {allowed}; {plain(value)} {unit} is not. Check the number and its unit.",
            argument=argument,
            unit=unit,
            allowed=allowed,
            got=value,
        )
    return value
