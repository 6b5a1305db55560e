"""What lists are narrowed by: one search box for all words of a row, and choices."""

import re
from collections.abc import Sequence
from functools import reduce
from operator import or_
from typing import Any, ClassVar

import django_filters
from django import forms
from django.db.models import Q, QuerySet

from shop.web.registers.rated import confirmed, unconfirmed

CONFIRMED, UNCONFIRMED, UNRATED = "confirmed", "unconfirmed", "none"


_SIZE = re.compile(r"-([0-9]{1,3})")


def with_every_word(rows: QuerySet[Any], columns: Sequence[str], text: str, size: str = "") -> QuerySet[Any]:
    """The rows in which each word of the text is in one of the columns.

    A word such as -8 may be the size instead, if `size` names the column that holds it: rows go by it.
    """
    for word in text.split():
        found = reduce(or_, (Q((f"{column}__icontains", word)) for column in columns))
        if size and (dash := _SIZE.fullmatch(word)):
            found |= Q((size, dash[1]))
        rows = rows.filter(found)
    return rows


class RegisterFilter(django_filters.FilterSet):
    """A search box: every word typed must be in one of the columns of `SEARCH`, or be the size in `SIZE`."""

    SEARCH: ClassVar[tuple[str, ...]] = ()
    SIZE: ClassVar[str] = ""

    q = django_filters.CharFilter(
        method="search", label="Search", widget=forms.TextInput(attrs={"type": "search"})
    )

    @classmethod
    def get_filters(cls) -> dict[str, django_filters.Filter]:
        found = super().get_filters()
        return {"q": found.pop("q"), **found}  # the box comes first, the choices after it

    def search(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return with_every_word(rows, self.SEARCH, value, self.SIZE)


class RatedFilter(RegisterFilter):
    """Parts with a rating can be narrowed to those that nobody has confirmed."""

    rating = django_filters.ChoiceFilter(
        method="by_rating",
        label="Rating",
        empty_label="any",
        choices=[
            (UNCONFIRMED, "not confirmed yet"),
            (CONFIRMED, "confirmed"),
            (UNRATED, "none known"),
        ],
    )

    def by_rating(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        if value == CONFIRMED:
            return confirmed(rows)
        if value == UNCONFIRMED:
            return unconfirmed(rows)
        return rows.filter(printed_value="")


class ToolFilter(RegisterFilter):
    """Tools can be narrowed to those that may be used."""

    SEARCH: ClassVar[tuple[str, ...]] = ("number", "mark", "place", "blocked_because")

    usable = django_filters.ChoiceFilter(
        method="by_use",
        label="May be used",
        empty_label="any",
        choices=[("yes", "may be used"), ("no", "blocked")],
    )

    def by_use(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(blocked_because="") if value == "yes" else rows.exclude(blocked_because="")
