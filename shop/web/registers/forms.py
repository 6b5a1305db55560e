"""The form of a register: reads a row from a page or from a line of a CSV, and calls the app's service."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from shop.core import fields as columns
from shop.core.refusals import Doubt
from shop.engineering.errors import EngineeringError
from shop.engineering.numbers import plain
from shop.engineering.pressures import Pressure, PressureUnit, parse_pressure
from shop.engineering.ranges import COLDEST_C, HOTTEST_C
from shop.people.models import User
from shop.standards.models import PRINTED_FIGURE, Rated
from shop.web import fields
from shop.web.registers.doubts import UnusualValues
from shop.web.templatetags.quantities import length

SIZE_COLUMNS = {"dash", "hose_dash"}
TEMPERATURE_COLUMNS = {"temperature_min_c", "temperature_max_c"}
USUAL_RATING_BAR = (2, 700)  # common practice, no source: return hose to the highest connections
MOST_ROWS = 8  # of a form that has rows of its own, such as the parts of an arrangement
_BARE_FIGURE = re.compile(r"[0-9.,\s]*")


@dataclass(frozen=True)
class PrintedRating:
    """A rating as its document prints it: figure and unit, both empty if there is none."""

    value: str = ""
    unit: str = ""

    @property
    def pressure(self) -> Pressure:
        """The same as a pressure; not for one that is empty."""
        return Pressure(Decimal(self.value), PressureUnit(self.unit))

    def __str__(self) -> str:
        return f"{self.value} {self.unit}".strip()


class RatingField(forms.CharField):
    """A rating as printed, unit included: cleans to `PrintedRating`. A bare figure is refused."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 20)
        super().__init__(**kwargs)
        self.widget.attrs |= {"autocomplete": "off", "size": 12}

    def clean(self, value: Any) -> PrintedRating:
        text = super().clean(value)
        if not text:
            return PrintedRating()
        if _BARE_FIGURE.fullmatch(text):
            raise ValidationError("Type the unit that the document prints beside it: bar, psi, MPa or kPa.")
        try:
            pressure = parse_pressure(text)
        except EngineeringError as error:
            raise ValidationError(str(error)) from error
        figure = plain(pressure.value)
        if not PRINTED_FIGURE.fullmatch(figure):
            raise ValidationError(f"{figure} is finer than any document prints. Write it like 41.5 MPa.")
        return PrintedRating(figure, pressure.unit.value)

    def prepare_value(self, value: Any) -> Any:
        return str(value) if isinstance(value, PrintedRating) else value


class SizeField(forms.IntegerField):
    """A size as people write it, 8 or -8: cleans to the whole number."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "numeric", "size": 6}))
        super().__init__(min_value=1, max_value=999, **kwargs)

    def to_python(self, value: Any) -> int | None:
        return super().to_python(value.strip().lstrip("-−") if isinstance(value, str) else value)


def field_of_column(column: "models.Field[Any, Any]", **kwargs: Any) -> forms.Field | None:
    """The form field of a column: quantities are read as people write them, days are picked."""
    if isinstance(column, columns.LengthField):
        return fields.LengthField(**_about(column, kwargs))
    if isinstance(column, models.DateField) and not isinstance(column, models.DateTimeField):
        return fields.DayField(**_about(column, kwargs))
    if column.name in SIZE_COLUMNS:
        return SizeField(**_about(column, kwargs))
    if column.name in TEMPERATURE_COLUMNS:
        kwargs |= {"min_value": int(COLDEST_C), "max_value": int(HOTTEST_C)}
    if isinstance(column, models.ForeignKey | models.ManyToManyField):
        kwargs["queryset"] = column.related_model._default_manager.select_related()
    if isinstance(column, models.ManyToManyField):
        kwargs["widget"] = forms.CheckboxSelectMultiple
    return column.formfield(**kwargs)


def _about(column: "models.Field[Any, Any]", kwargs: Mapping[str, Any]) -> dict[str, Any]:
    """What a form says of a column: whether an answer is needed, its label, its help, its first value."""
    return {
        "required": not column.blank,
        "label": column.verbose_name[:1].upper() + str(column.verbose_name)[1:],
        "help_text": column.help_text,
        "initial": column.get_default() if column.has_default() else None,
        **kwargs,
    }


class Rows(forms.BaseFormSet):  # type: ignore[type-arg]  # not subscriptable at run time
    """The rows below a form, in order. A row that is left or made empty is not there; one is needed."""

    def clean(self) -> None:
        if not any(row.has_changed() for row in self.forms):
            raise ValidationError("Fill one row at least.")

    def initial_form_count(self) -> int:
        return 0

    def total_form_count(self) -> int:
        return super().total_form_count() if self.is_bound else MOST_ROWS


class RegisterForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """A row of a register. Subclasses name their columns and call their service in `write`.

    `KEY` are the fields by which a line of a CSV finds the row that it is about; by default the
    model's first rule that something may be there once. `USUAL_MM` are the ranges outside which a length
    is asked about. `READS` are the fields that an entry's own page shows in other words than the form, or,
    with None, not at all. `ROW_FORM` is the form of the rows that this one
    has below it, if it has any: in a CSV each of them is a line of its own.
    """

    KEY: ClassVar[tuple[str, ...]] = ()
    ROW_FORM: ClassVar[type[forms.Form] | None] = None
    ROWS_TITLE: ClassVar[str] = ""
    USUAL_MM: ClassVar[Mapping[str, tuple[int | Decimal, int | Decimal]]] = {}
    READS: ClassVar[Mapping[str, Callable[[Any], str] | None]] = {}

    class Meta:
        formfield_callback = field_of_column

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = self._rows()

    @classmethod
    def values_of(cls, row: models.Model) -> dict[str, Any]:
        """The values of a row by the form's field names; fields that only take something have none."""
        return {
            column.name: _value_of(column, row)
            for column in (*row._meta.concrete_fields, *row._meta.many_to_many)
            if column.name in cls.base_fields
        }

    @classmethod
    def rows_of(cls, row: models.Model) -> list[dict[str, Any]]:
        """The rows below a row, for a form with `ROW_FORM`."""
        return []

    def write(self, *, actor: User, sure: frozenset[str]) -> models.Model:
        """Call the service that writes `self.instance`; raises what it raises."""
        raise AssertionError(f"{type(self).__name__} writes nothing")

    def oddities(self) -> Iterator[Doubt]:
        """What in the cleaned values is probably a slip."""
        if unusual := list(self.unusual()):
            yield UnusualValues(what="; ".join(unusual))

    def unusual(self) -> Iterator[str]:
        """Values outside what is usual, in words. Subclasses add what needs more than one value."""
        for name, (low, high) in self.USUAL_MM.items():
            value = self.cleaned_data.get(name)
            if value is not None and not low <= value <= high:
                what = f"{self.fields[name].label} {length(value)}"
                yield f"{what} (mostly {length(Decimal(low))} to {length(Decimal(high))})"

    def take(self, *, actor: User, sure: frozenset[str]) -> models.Model:
        """Ask about what looks like a slip, then write. Raises `Doubt` and what `write` raises."""
        for doubt in self.oddities():
            if doubt.code not in sure:
                raise doubt
        return self.write(actor=actor, sure=sure)

    def is_valid(self) -> bool:
        valid = super().is_valid()
        return (self.rows is None or self.rows.is_valid()) and valid

    @property
    def filled_rows(self) -> list[dict[str, Any]]:
        """The cleaned rows, without those that were left empty."""
        return [] if self.rows is None else [row for row in self.rows.cleaned_data if row]

    @classmethod
    def key_fields(cls) -> tuple[str, ...]:
        """The fields by which a line of a CSV finds its row; empty if each line is a new row."""
        return cls.KEY or _natural_key(cls._meta.model, frozenset(cls.base_fields))

    def _rows(self) -> "forms.BaseFormSet[Any] | None":
        if self.ROW_FORM is None:
            return None
        formset = forms.formset_factory(self.ROW_FORM, formset=Rows, max_num=MOST_ROWS, validate_max=True)
        if self.is_bound:
            return formset(self.data, prefix="rows")
        return formset(prefix="rows", initial=self.rows_of(self.instance) if self.instance.pk else [])


class RatedForm(RegisterForm):
    """The form of a part with a rating: one field for figure and unit, as the document prints them."""

    rating = RatingField(
        required=False,
        help_text="Figure and unit as the document prints them, like 41.5 MPa. Empty: no rating known.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        part = kwargs.get("instance")
        if part is not None:
            kwargs["initial"] = {"rating": _printed(part), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)

    @classmethod
    def values_of(cls, row: models.Model) -> dict[str, Any]:
        return super().values_of(row) | {"rating": _printed(row)}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        printed = cleaned.get("rating", PrintedRating())
        self.instance.printed_value, self.instance.printed_unit = printed.value, printed.unit
        return cleaned

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        printed = self.cleaned_data["rating"]
        low, high = USUAL_RATING_BAR
        if printed.value and not low <= printed.pressure.bar <= high:
            yield f"Rating {printed} (mostly {low} to {high} bar)"


def _printed(part: models.Model) -> PrintedRating:
    assert isinstance(part, Rated)
    return PrintedRating(part.printed_value, part.printed_unit)


def _value_of(column: "models.Field[Any, Any]", row: models.Model) -> Any:
    if isinstance(column, models.ManyToManyField):
        return list(getattr(row, column.name).all()) if row.pk else []
    return column.value_from_object(row)


def _natural_key(model: type[models.Model], present: frozenset[str]) -> tuple[str, ...]:
    """The fields of the model's first rule that something may be there once, as far as the form has them."""
    for column in model._meta.concrete_fields:
        if column.unique and column.name in present:
            return (column.name,)
    for constraint in model._meta.constraints:
        if isinstance(constraint, models.UniqueConstraint) and present.issuperset(constraint.fields):
            return tuple(constraint.fields)
    return ()
