"""The figures of the printed tables that come as files, and who has found them in their documents.

Sizes, tolerances, ages, velocities and cleanliness codes are not rows of the database: nobody writes them
here. A person who has the document before them may still say so, row by row, without being shown what
the file says. That holds as long as the file says the same.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, cached_property
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.db import transaction

from shop.engineering.age import AgeRule, read_age_policies
from shop.engineering.cleanliness import ScaleRow, read_scale
from shop.engineering.errors import NotUnderstood
from shop.engineering.flow import VelocityLimit, read_velocity_limits
from shop.engineering.numbers import plain
from shop.engineering.sizes import Size, TubeSizedBore, mixed_fraction, read_sizes, read_tube_sized
from shop.engineering.tolerance import LengthRule, Toleranced, ToleranceUnit, read_rules
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import get_workshop
from shop.standards import verbs
from shop.standards.loading import standards_folder
from shop.standards.models import Basis, FigureConfirmation
from shop.standards.refusals import FiguresDiffer, NoSuchRow, NotAFigure

Entry = LengthRule | Size | TubeSizedBore | AgeRule | VelocityLimit | ScaleRow
E = TypeVar("E", LengthRule, Size, TubeSizedBore, AgeRule, VelocityLimit, ScaleRow)

TITLES = {
    "length_tolerances": "Tolerances",
    "sizes": "Sizes by bore",
    "tube_sized_bores": "Hose that is sized by its tube",
    "age_policies": "Age limits",
    "velocity_limits": "Velocities",
    "cleanliness_codes": "Cleanliness codes",
}
_BASES = {Basis.READ: "read there", Basis.MEMORY: "from memory, not confirmed"}
_UNITS = {ToleranceUnit.MM: "mm", ToleranceUnit.PERCENT: "%", ToleranceUnit.DEGREE: "°"}
_DECIMAL = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,6})?")


@dataclass(frozen=True)
class Figure:
    """One figure of a row: its name, how a person is asked for it, and what the file says.

    `printed` is empty where the document prints none, which only some figures `may_be_missing`.
    """

    name: str
    asks: str
    unit: str
    printed: str
    may_be_missing: bool = False

    def told(self, value: str) -> str:
        """A value of this figure in words: 'plus 7 mm'."""
        return f"{self.name} {value} {self.unit}".rstrip() if value else f"{self.name} none"


@dataclass(frozen=True)
class PrintedRow:
    """A row of a printed table: the words that tell it from the others, its figures, where it comes from."""

    table: str
    row: str
    figures: tuple[Figure, ...]
    source: str
    basis: str

    @property
    def told(self) -> str:
        """The figures in words, as a confirmation keeps them."""
        return ", ".join(figure.told(figure.printed) for figure in self.figures)


def printed_row(entry: Entry) -> PrintedRow:
    """The row of the file that the entry was read from."""
    match entry:
        case LengthRule():
            table, row, figures = "length_tolerances", _which_tolerance(entry), _tolerance(entry)
        case Size():
            table, row = "sizes", f"-{entry.dash}"
            figures = [
                Figure("inches", "Size in inches", "in", entry.inch_fraction),
                Figure("bore", "Nominal bore", "mm", plain(entry.nominal_bore_mm)),
                Figure("DN", "DN", "", str(entry.dn)),
            ]
        case TubeSizedBore():
            table, row = "tube_sized_bores", f"{entry.standard} -{entry.dash}"
            figures = [
                Figure("tube", "Outside diameter of the tube", "in", entry.tube_od_in),
                Figure("bore", "Bore", "in", entry.bore_in),
            ]
        case AgeRule():
            table, row = "age_policies", _which_age(entry)
            figures = [
                Figure("limit", "Limit", "months", str(entry.months)),
                Figure("leeway", "Leeway, 0 if none is printed", "months", str(entry.leeway_months)),
            ]
        case VelocityLimit():
            table, row, figures = "velocity_limits", f"{entry.limits}, {entry.duty} line", _velocity(entry)
        case ScaleRow():
            table, row = "cleanliness_codes", f"number {entry.code}"
            figures = [
                Figure("over", "More than", "per ml", plain(entry.over)),
                Figure("up to", "Up to and with", "per ml", plain(entry.up_to)),
            ]
    return PrintedRow(table, row, tuple(figures), entry.source, entry.basis)


def length_words(rule: LengthRule) -> str:
    """For which lengths a row of the tolerances is: 'over 630 to 1250 mm'."""
    if rule.up_to_mm is None:
        return f"over {plain(rule.over_mm)} mm" if rule.over_mm else "any"
    if not rule.over_mm:
        return f"up to {plain(rule.up_to_mm)} mm"
    return f"over {plain(rule.over_mm)} to {plain(rule.up_to_mm)} mm"


def is_one_sided(rule: LengthRule) -> bool:
    """Whether it is off one way only: a cut stands back from square, never forward."""
    return rule.rule == "IP-2 end squareness"


@cache
def printed_rows(table: str) -> tuple[PrintedRow, ...]:
    """All rows of a table by the name of its file; `KeyError` for no such table."""
    return tuple(map(printed_row, _READERS[table](standards_folder() / f"{table}.csv")))


def figure_value(text: str) -> Fraction | None:
    """The number of a figure as people write it: 12.7, 12,7, 13/32 or 1-1/4; None if there is none.

    Raises `NotAFigure`.
    """
    typed = text.strip()
    if not typed:
        return None
    if _DECIMAL.fullmatch(typed):
        return Fraction(typed.replace(",", "."))
    try:
        return mixed_fraction(typed)
    except NotUnderstood as error:
        raise NotAFigure(typed=typed) from error


@transaction.atomic
def confirm_figures(
    *, actor: User, table: str, row: str, document: str, typed: Mapping[str, str]
) -> FigureConfirmation:
    """Record that the actor has found these figures of a row in `document`.

    `typed` has them by the names of the row's figures, in its units. The person types what the document
    says without being shown the file's figures, so that agreeing is more than a tick. Raises `NoSuchRow`,
    `NotAFigure`, `FiguresDiffer`.
    """
    require(actor, Permission.CONFIRM_RATINGS)
    printed = next((each for each in printed_rows(table) if each.row == row), None)
    if printed is None:
        raise NoSuchRow(row=row, table=TITLES[table])
    values = {figure: typed.get(figure.name, "").strip() for figure in printed.figures}
    if any(figure_value(value) != figure_value(figure.printed) for figure, value in values.items()):
        raise FiguresDiffer(row=row, typed=", ".join(figure.told(value) for figure, value in values.items()))
    confirmation = FigureConfirmation(table=table, row=row, figures=printed.told, document=document)
    return write_record(actor=actor, verb=verbs.FIGURE_CONFIRMED, record=confirmation, subject=get_workshop())


class Confirmations:
    """What people have confirmed of the tables, read once for all the rows of a page."""

    def __init__(self, written: Iterable[FigureConfirmation]) -> None:
        self._newest = {(each.table, each.row, each.figures): each for each in written}

    def of(self, entry: Entry) -> FigureConfirmation | None:
        """The newest confirmation of the entry's figures as they stand now."""
        printed = printed_row(entry)
        return self._newest.get((printed.table, printed.row, printed.told))

    def words(self, entry: Entry) -> str:
        """How far the entry can be relied on: 'confirmed by 3 on 2026-11-25 (EN 853:2015)'."""
        found = self.of(entry)
        if found is None:
            return _BASES[Basis(entry.basis)]
        day = found.recorded_at.astimezone(self._zone).date()
        return f"confirmed by {found.actor_number} on {day} ({found.document})"

    def told(self, entry: Entry) -> str:
        """The entry's source, and how far it can be relied on."""
        return f"{entry.source.removesuffix(', from memory')} ({self.words(entry)})"

    def settled(self, entry: E) -> E:
        """The entry; as one that was read in its document, if somebody has found it there."""
        return entry if self.of(entry) is None else replace(entry, basis=Basis.READ.value)

    @cached_property
    def _zone(self) -> ZoneInfo:
        return get_workshop().zone_info


def confirmations() -> Confirmations:
    """All confirmations of printed figures, in one query."""
    return Confirmations(FigureConfirmation.objects.select_related("entry").order_by("entry"))


def basis_words(entry: Entry) -> str:
    """How far one entry can be relied on; a page with several asks `confirmations()` once."""
    return confirmations().words(entry)


def _which_tolerance(rule: LengthRule) -> str:
    sizes = [
        f"from -{rule.dash_from}" if rule.dash_from is not None else "",
        f"to -{rule.dash_to}" if rule.dash_to is not None else "",
    ]
    parts = [rule.rule, rule.applies_to, " ".join(filter(None, sizes)), f"length {length_words(rule)}"]
    return ", ".join(filter(None, parts))


def _tolerance(rule: LengthRule) -> list[Figure]:
    unit = _UNITS[rule.unit]
    if is_one_sided(rule):
        return [Figure("at most", "At most", unit, plain(rule.plus))]
    return [
        Figure("plus", "Plus", unit, plain(rule.plus)),
        Figure("minus", "Minus", unit, plain(rule.minus)),
    ]


def _which_age(rule: AgeRule) -> str:
    counted = {None: "", True: ", its own quarter counted", False: ", its own quarter not counted"}
    return (
        f"{rule.policy}, {rule.applies_to}: to {rule.deed}, from {rule.counts_from}"
        f"{counted[rule.own_period_counts]}"
    )


def _velocity(limit: VelocityLimit) -> list[Figure]:
    unit = str(limit.up_to.unit)
    least = "" if limit.at_least is None else plain(limit.at_least.value)
    return [
        Figure("up to", "Up to", unit, plain(limit.up_to.value)),
        Figure("at least", "At least, empty if none is printed", unit, least, may_be_missing=True),
    ]


def _tolerances(path: Path) -> Iterator[LengthRule]:
    for quantity in Toleranced:
        for rules in read_rules(path, quantity).values():
            yield from rules


def _ages(path: Path) -> Iterator[AgeRule]:
    for rules in read_age_policies(path).values():
        yield from rules


def _velocities(path: Path) -> Iterator[VelocityLimit]:
    for limits in read_velocity_limits(path).values():
        yield from limits.values()


_READERS: Mapping[str, Callable[[Path], Iterable[Entry]]] = {
    "length_tolerances": _tolerances,
    "sizes": read_sizes,
    "tube_sized_bores": read_tube_sized,
    "age_policies": _ages,
    "velocity_limits": _velocities,
    "cleanliness_codes": read_scale,
}
