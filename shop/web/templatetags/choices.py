"""What a list of choices says when there is nothing to choose from yet."""

from collections.abc import Mapping

from django import forms, template
from django.db.models import Model

from shop.web.reference.registers import REGISTERS as REFERENCE
from shop.web.registers.register import Register
from shop.web.tools.registers import REGISTERS as TOOLS

register = template.Library()

_BY_MODEL: Mapping[type[Model], Register] = {each.model: each for each in (*REFERENCE, *TOOLS)}


@register.filter
def register_to_fill(field: forms.Field) -> Register | None:
    """The register from which the field offers entries, if it has none yet."""
    if not isinstance(field, forms.ModelChoiceField) or field.queryset is None:
        return None
    found = _BY_MODEL.get(field.queryset.model)
    return None if found is None or field.queryset.exists() else found
