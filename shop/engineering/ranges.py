"""Refusal of numbers outside the range in which a calculation means anything."""

from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_number

COLDEST_C, HOTTEST_C = Decimal("-273.15"), Decimal(1000)  # absolute zero; above any hose


def require_temperature(value_c: int, argument: str) -> int:
    """Whole degrees Celsius, if something can be as cold and a hose as hot. Raises `OutOfRange`."""
    require_within(Decimal(value_c), argument, "°C", COLDEST_C, HOTTEST_C)
    return value_c


def require_within(value: Decimal, argument: str, unit: str, low: Decimal, high: Decimal) -> Decimal:
    """The value, if it is finite and from `low` to `high`, both included.

    Raises `NotANumber`, or `OutOfRange` with both ends in `allowed`.
    """
    allowed = f"{plain(low)} to {plain(high)} {unit}".rstrip()
    if not low <= require_number(value, argument, unit, allowed) <= high:
        raise OutOfRange(
            f"The {argument} must be {allowed}; {plain(value)} {unit} is not. Check the number and its unit.",
            argument=argument,
            unit=unit,
            allowed=allowed,
            got=value,
        )
    return value
