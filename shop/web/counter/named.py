"""Choosing one of many by typing its name: suggestions as you type, and exact without script."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import CharField, Model, Q, QuerySet, Value
from django.db.models.functions import Cast, Concat
from django.urls import reverse

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.orders.models import Customer
from shop.policy.services import today

MOST_SUGGESTED = 40
MOST_NAMED = 5  # in a sentence about a name that fits several


@dataclass(frozen=True)
class Kind:
    """Things that are named by typing: `rows` carry `full_name`, the words by which they are known."""

    noun: str
    rows: Callable[[], QuerySet[Any]]

    def find(self, text: str) -> QuerySet[Any]:
        """Those whose name has every word of the text in it."""
        found: QuerySet[Any] = self.rows()
        for word in text.split():
            found = found.filter(full_name__icontains=word)
        return found

    def called(self, text: str) -> Model | None:
        """The one called exactly that, capitals aside."""
        found: Model | None = self.rows().filter(full_name__iexact=" ".join(text.split())).first()
        return found


def _named(rows: QuerySet[Any], *words: Any) -> QuerySet[Any]:
    known: QuerySet[Any] = rows.annotate(full_name=Concat(*words, output_field=CharField()))
    return known.order_by("full_name")


def _hoses() -> QuerySet[Any]:
    size = Cast("dash", CharField())
    return _named(
        Hose.objects.select_related("standard"), "maker", Value(" "), "designation", Value(" -"), size
    )


def _fittings() -> QuerySet[Any]:
    rows = Fitting.objects.select_related("series", "connection")
    return _named(rows, "series__maker", Value(" "), "series__name", Value(" "), "designation")


def _customers() -> QuerySet[Any]:
    return _named(Customer.objects.all(), "name", Value(" ("), "number", Value(")"))


HOSES = Kind("hose", _hoses)
FITTINGS = Kind("fitting", _fittings)
CUSTOMERS = Kind("customer", _customers)
KINDS = {kind.noun: kind for kind in (HOSES, FITTINGS, CUSTOMERS)}


def suggest(kind: Kind, text: str, hose_text: str = "") -> list[str]:
    """Names to offer for what was typed so far; ends first for the hose that is already chosen.

    With a known hose only fittings of its size are offered that a chart in force names with it; others
    may be typed all the same, and the line then says what is wrong with them.
    """
    found = kind.find(text)
    hose = HOSES.called(hose_text) if kind is FITTINGS and hose_text else None
    if isinstance(hose, Hose):
        named = CrimpSpecification.objects.in_force(today()).filter(hose=hose)
        two_piece = named.exclude(ferrule=None).values("series")
        one_piece = named.filter(ferrule=None).values("series")
        found = found.filter(hose_dash=hose.dash).filter(
            Q(is_one_piece=False, series__in=two_piece) | Q(is_one_piece=True, series__in=one_piece)
        )
    return list(found.values_list("full_name", flat=True)[:MOST_SUGGESTED])


class NamedInput(forms.TextInput):
    """An input with suggestions, fetched anew while a person types."""

    template_name = "web/counter/named_input.html"
    suggestions: tuple[str, ...] = ()

    def __init__(self, kind: Kind) -> None:
        super().__init__(attrs={"autocomplete": "off", "spellcheck": "false"})
        self.kind = kind

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"]["attrs"]["list"] = f"{context['widget']['attrs'].get('id', name)}_names"
        context["suggestions"] = suggest(self.kind, "")
        context["source"] = f"{reverse('web:line_parts')}?kind={self.kind.noun}&field={name}"
        return context


class NamedField(forms.CharField):
    """One of a kind by its name: cleans to the row, shows its name."""

    widget: forms.TextInput

    def __init__(self, kind: Kind, **kwargs: Any) -> None:
        super().__init__(widget=NamedInput(kind), max_length=250, **kwargs)
        self.kind = kind

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        exactly = self.kind.called(text)
        if exactly is not None:
            return exactly
        found = list(self.kind.find(text)[: MOST_NAMED + 1])
        if len(found) == 1:
            return found[0]
        raise ValidationError(self._unclear(text, [row.full_name for row in found]))

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Model):
            return self.kind.rows().get(pk=value.pk).full_name
        return value

    def _unclear(self, text: str, found: list[str]) -> str:
        """What to type instead: the names that fit, or those that have one of the words."""
        noun = self.kind.noun
        if found:
            more = " and others" if len(found) > MOST_NAMED else ""
            return (
                f"“{text}” fits more than one {noun}: {', '.join(found[:MOST_NAMED])}{more}. "
                "Type more of the name."
            )
        near = [name for word in text.split() for name in suggest(self.kind, word)][:MOST_NAMED]
        hint = f" Near it: {', '.join(dict.fromkeys(near))}." if near else ""
        return f"No {noun} is called “{text}”.{hint} Choose one that is suggested, or enter it first."
