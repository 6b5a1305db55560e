"""Columns that lists share: the link to the entry first, figures with units, signs with words."""

from decimal import Decimal
from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.engineering.pressures import Pressure
from shop.standards.models import Rated
from shop.web.templatetags.quantities import length, pressure

FIGURE = {"td": {"class": "number"}, "th": {"class": "number"}}


class ItemColumn(tables.Column):
    """The first column: a link to the entry's own page. `name` is the register's."""

    def __init__(self, name: str, **kwargs: Any) -> None:
        super().__init__(linkify=(f"web:{name}_item", [tables.A("pk")]), **kwargs)


class FigureColumn(tables.Column):
    """A whole number; its unit is in the header."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=FIGURE, **kwargs)


class SizeColumn(FigureColumn):
    """A size as it is spoken of: -8."""

    def render(self, value: int) -> str:
        return f"-{value}"


class LengthColumn(FigureColumn):
    """A length in the workshop's unit."""

    def render(self, value: Decimal) -> str:
        return length(value)


class RatingColumn(FigureColumn):
    """A rating in its printed unit first; sorts by what it amounts to."""

    empty_values = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(accessor="rating", verbose_name="Rating", order_by="pressure", **kwargs)

    def render(self, value: Pressure | None) -> str:
        return "none known" if value is None else pressure(value)


class ConfirmedColumn(tables.Column):
    """Whether a named person has found the rating in its document, by sign and word."""

    empty_values = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(verbose_name="Confirmed", accessor="pk", orderable=False, **kwargs)

    def render(self, record: Rated) -> SafeString:
        return render_to_string("web/registers/confirmed.html", {"part": record})


class UsableColumn(tables.Column):
    """Whether a tool may be used, by sign and word, and why not."""

    empty_values = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(verbose_name="May be used", accessor="blocked_because", **kwargs)

    def render(self, record: Any) -> SafeString:
        return render_to_string("web/registers/usable.html", {"tool": record})
