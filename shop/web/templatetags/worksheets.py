"""Worksheets on other pages: those of an order line, and their titles."""

from typing import Any

from django import template

from shop.orders.models import OrderLine
from shop.web.worksheets.for_line import number_of
from shop.web.worksheets.kept import kept_with, title_of

register = template.Library()

register.filter("worksheet_title", title_of)


@register.inclusion_tag("web/worksheets/of_line.html")
def worksheets_of(line: OrderLine, may_write: bool) -> dict[str, Any]:
    """What was worked out for the line, and the way to work out more."""
    return {"kept_sheets": kept_with(line), "line": line, "number": number_of(line), "may_write": may_write}
