"""The values of one row for reading: every column of its form, with units."""

from typing import Any

from django import forms

from shop.web.registers.cells import Cells
from shop.web.registers.forms import PrintedRating, RegisterForm
from shop.web.registers.reading import label_of
from shop.web.templatetags.quantities import pressure


def describe(form: type[RegisterForm], row: Any) -> list[tuple[str, str]]:
    """Label and text of each value; a value that is not there says so."""
    cells, values = Cells(), form.values_of(row)
    described = []
    for name, field in form.base_fields.items():
        if name not in values:
            continue
        if name not in form.READS:
            text = _text(cells, name, field, values[name], row)
        elif (reads := form.READS[name]) is not None:
            text = reads(row)
        else:
            continue
        described.append((label_of(name, field), text or "—"))
    return described


def _text(cells: Cells, name: str, field: forms.Field, value: Any, row: Any) -> str:
    if isinstance(value, PrintedRating):
        return pressure(value.pressure) if value.value else "none known: may be quoted, never confirmed"
    if isinstance(field, forms.ModelMultipleChoiceField):
        return "; ".join(sorted(map(str, value)))
    if isinstance(field, forms.ModelChoiceField):
        return str(getattr(row, name) or "")
    return cells.write(name, field, value)
