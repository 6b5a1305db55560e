"""Worksheets that are kept with an order line: the answer of their day beside today's."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse

from shop.orders.models import AttachedWorksheet, OrderLine
from shop.orders.worksheets import attached_to
from shop.people.names import names_of
from shop.trace.story import Person
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.for_line import LINE, number_of
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Sheet, Worksheet

_BY_SLUG = {worksheet.slug: worksheet for worksheet in WORKSHEETS}


@dataclass(frozen=True)
class Kept:
    """An attached worksheet. `worksheet` is None if it is not offered any more.

    `form` and `sheet` are what was typed and what that comes to today; `sheet` is None if it comes to
    nothing.
    """

    attached: AttachedWorksheet
    by: Person
    worksheet: Worksheet | None
    form: WorksheetForm | None
    sheet: Sheet | None

    @property
    def title(self) -> str:
        return title_of(self.attached.worksheet)

    @property
    def typed(self) -> list[tuple[str, str]]:
        """What was answered, in words where the questions are still known."""
        return self.form.typed if self.form is not None else _pairs(self.attached)

    @property
    def is_the_same(self) -> bool:
        """Whether the values still come to the answer that was kept."""
        return self.sheet is not None and self.sheet.says == self.attached.says

    @property
    def address(self) -> str:
        """The worksheet as it was typed, for the same line; empty if it is not offered any more."""
        if self.worksheet is None:
            return ""
        query = urlencode([*_pairs(self.attached), (LINE, number_of(self.attached.line))])
        return f"{reverse(self.worksheet.page)}?{query}"


def kept_with(line: OrderLine) -> list[Kept]:
    """The worksheets of the line that were not taken off."""
    return worked_out_again(attached_to(line).select_related("entry", "line__order"))


def worked_out_again(attached: Iterable[AttachedWorksheet]) -> list[Kept]:
    """The worksheets with what they come to today."""
    every = list(attached)
    names = names_of(one.actor_number for one in every)
    return [_again(one, Person(one.actor_number, names[one.actor_number])) for one in every]


def title_of(slug: str) -> str:
    """The title of a worksheet, or the name it was kept under if it is not offered any more."""
    worksheet = _BY_SLUG.get(slug)
    return slug if worksheet is None else worksheet.title


def _pairs(attached: AttachedWorksheet) -> list[tuple[str, str]]:
    """Each question with what was typed; JSON knows no tuples."""
    return [(name, text) for name, text in attached.typed]


def _again(attached: AttachedWorksheet, by: Person) -> Kept:
    worksheet = _BY_SLUG.get(attached.worksheet)
    if worksheet is None:
        return Kept(attached, by, None, None, None)
    form, sheet = worksheet.work_out(QueryDict(urlencode(_pairs(attached))))
    return Kept(attached, by, worksheet, form, sheet)
