"""Figures for people: with their unit, in the workshop's unit and zone. Nothing is empty text."""

import datetime
from decimal import Decimal
from fractions import Fraction

from django import template

from shop.engineering.lengths import MM_PER_UNIT, LengthUnit, show_length
from shop.engineering.pressures import Pressure, PressureUnit, show_rating
from shop.web.workshop import workshop_or_default

register = template.Library()


@register.filter
def length(value: Decimal | None) -> str:
    """Millimetres in the workshop's unit, exactly: `930 mm`, `36 1/2 in`, `−0.01 mm`."""
    if value is None:
        return ""
    shown = show_length(abs(value), LengthUnit(workshop_or_default().length_unit))
    return f"−{shown}" if value < 0 else shown


@register.filter
def stretch(value: Decimal | None) -> str:
    """A length of stock for looking over a list, in metres, or feet where lengths are in inches: `42.56 m`.

    Two decimals, never rounded up: a piece must not look longer than it is.
    """
    if value is None:
        return ""
    metric = LengthUnit(workshop_or_default().length_unit) is not LengthUnit.IN
    unit = LengthUnit.M if metric else LengthUnit.FT
    hundredths = int(Fraction(value) * 100 // MM_PER_UNIT[unit])
    return f"{Decimal(hundredths) / 100:.2f} {unit}"


@register.filter
def diameter(value: Decimal | None) -> str:
    """A crimp diameter or reading in millimetres, with at least two decimals as charts print it."""
    if value is None:
        return ""
    places = max(2, -int(value.as_tuple().exponent))
    return f"{value:.{places}f} mm"


@register.filter
def pressure(value: Pressure | Decimal | None) -> str:
    """A pressure in its printed unit with bar and psi beside it; a plain decimal is in bar."""
    if value is None:
        return ""
    return show_rating(value if isinstance(value, Pressure) else Pressure(value, PressureUnit.BAR))


@register.filter
def clock(moment: datetime.datetime | None) -> str:
    """A time in the workshop's zone: `2026-11-25 14:05`."""
    if moment is None:
        return ""
    return f"{moment.astimezone(workshop_or_default().zone_info):%Y-%m-%d %H:%M}"


@register.filter
def day(date: datetime.date | None) -> str:
    """A day: `2026-11-25`."""
    return "" if date is None else f"{date:%Y-%m-%d}"
