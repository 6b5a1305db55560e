"""The rating of a type and size of hose by the year it was made: some tables changed with the edition.

Sources: the scope of SAE J517-2003 (100R2AT took the type S pressures from 2006, 100R16 from 2008; 100R9,
R10 and R11, and 100R1A, R2A, R2B and R2BT were dropped from 2005) and the rationale of SAE J517-2020
(spiral hose is for 120 °C, before it was 121 °C). The pressures are those of the table passed in, each row
with its own source and basis.
"""

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from shop.engineering.dates import EARLIEST_YEAR, LATEST_YEAR
from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.numbers import require_positive
from shop.engineering.pressures import Pressure, PressureUnit, lowest, show_rating
from shop.engineering.ranges import require_temperature
from shop.engineering.sizes import dash_inches

DROPPED_FROM = 2005
# What was dropped, and what took its place where the scope of J517 says so.
DROPPED = {
    "SAE 100R9": "",
    "SAE 100R10": "",
    "SAE 100R11": "",
    "SAE 100R1A": "SAE 100R1AT",
    "SAE 100R2A": "SAE 100R2AT",
    "SAE 100R2B": "SAE 100R2AT",
    "SAE 100R2BT": "SAE 100R2AT",
}
SPIRAL_120_FROM = 2020
SPIRAL_UPPER_C, OLDER_SPIRAL_UPPER_C = 120, 121

THE_HOSE_MAKER_FIRST = (
    "This is the published rating of the type. The hose maker's own rating stands beside it; the lower "
    "governs."
)


class OfEdition:
    """What stands in an edition of its standard; the years in which hose was made to it, None: no end."""

    __slots__ = ()
    edition: str

    @property
    def first_year(self) -> int | None:
        return _year(r"from ([0-9]{4})", self.edition)

    @property
    def last_year(self) -> int | None:
        dropped = _year(r"discontinued ([0-9]{4})", self.edition)
        return _year(r"to ([0-9]{4})", self.edition) if dropped is None else dropped - 1

    def covers(self, year: int) -> bool:
        """Whether hose was made to it in that year. Raises `OutOfRange` for a year that hose can't be of."""
        _check_year(year)
        return (self.first_year or year) <= year <= (self.last_year or year)


@dataclass(frozen=True, slots=True)
class RatingRow(OfEdition):
    """One row of the table of hose ratings, as printed.

    Raises `NotANumber`, or `OutOfRange` for a size, a radius or temperatures that can't be.
    """

    standard: str
    edition: str
    dash: int
    rating: Pressure
    bend_radius_mm: Decimal | None
    temperature_min_c: int
    temperature_max_c: int
    source: str
    basis: str

    def __post_init__(self) -> None:
        dash_inches(self.dash)
        if self.bend_radius_mm is not None:
            require_positive(self.bend_radius_mm, "bend radius", "mm")
        require_temperature(self.temperature_min_c, "lowest temperature")
        require_temperature(self.temperature_max_c, "highest temperature")

    def upper_temperature_c(self, year_made: int | None) -> int:
        """By the year, None if not known: of spiral hose to SAE J517 120 °C from 2020 and if not known.

        Raises `OutOfRange` for a year that hose can't be of.
        """
        return upper_temperature_c(self.standard, self.temperature_max_c, year_made)


@dataclass(frozen=True, slots=True)
class EditionRating:
    """The row that governs, rows of other editions that might have, and why in sentences."""

    row: RatingRow
    others: tuple[RatingRow, ...]
    temperature_max_c: int
    reasons: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def rating(self) -> Pressure:
        return self.row.rating


def upper_temperature_c(standard: str, printed_c: int, year_made: int | None) -> int:
    """The upper temperature of a type by the year it was made, None if that is not known.

    Of spiral hose to SAE J517 it is 120 °C from 2020 and if the year is not known, whatever an older
    edition prints (rationale of SAE J517-2020). Raises `OutOfRange` for a temperature that can't be, and a
    year that hose can't be of.
    """
    require_temperature(printed_c, "highest temperature")
    if year_made is not None:
        _check_year(year_made)
    if not standard.startswith("SAE") or printed_c != OLDER_SPIRAL_UPPER_C:
        return printed_c
    older = year_made is not None and year_made < SPIRAL_120_FROM
    return OLDER_SPIRAL_UPPER_C if older else SPIRAL_UPPER_C


def rate_by_edition(
    rows: Iterable[RatingRow], standard: str, dash: int, year_made: int | None
) -> EditionRating:
    """The rating of hose of a standard's type and size, made in a year; if that is not known, the lowest.

    Raises `OutOfRange` for a year that hose can't be of, `OffTheTable` for a type or size without a row
    and for hose made when its type was no longer in the standard.
    """
    if year_made is not None:
        _check_year(year_made)
    of_size = _rows_of_size(tuple(rows), standard, dash)
    fitting = [row for row in of_size if year_made is None or row.covers(year_made)]
    if not fitting:
        raise _no_edition(standard, year_made, of_size)
    pressure = lowest(row.rating for row in fitting)
    governing = next(row for row in fitting if row.rating is pressure)
    others = tuple(row for row in of_size if row is not governing)
    reasons = [f"{_named(governing)}, size -{dash}: {show_rating(governing.rating)}."]
    if year_made is None and len(of_size) > 1:
        reasons.append("The year it was made is not known, so the lowest of the editions governs.")
    reasons += [f"{_named(other)} prints {show_rating(other.rating)}." for other in others]
    cautions = [THE_HOSE_MAKER_FIRST]
    if governing.basis == "memory":
        cautions.append(
            "This rating is from memory: unconfirmed until somebody compares it with the standard."
        )
    return EditionRating(
        row=governing,
        others=others,
        temperature_max_c=governing.upper_temperature_c(year_made),
        reasons=tuple(reasons),
        assumptions=("The hose is marked with this type, and was made to the edition of its year.",),
        cautions=tuple(cautions),
    )


def is_constant_pressure(rows: Iterable[RatingRow], standard: str) -> bool:
    """Whether the type has one rating in all its sizes, in each edition that the table has.

    Raises `OffTheTable` for a type that the table doesn't have, or has in one size only.
    """
    of_type = [row for row in rows if row.standard == standard]
    if len({row.dash for row in of_type}) < 2:
        raise _no_type(standard, (row.standard for row in of_type))
    ratings: dict[str, set[Pressure]] = {}
    for row in of_type:
        ratings.setdefault(row.edition, set()).add(row.rating)
    return all(len(of_edition) == 1 for of_edition in ratings.values())


def read_ratings(path: Path) -> tuple[RatingRow, ...]:
    """The rows of the table of hose ratings in CSV."""
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(_row(cells) for cells in csv.DictReader(table))


def _rows_of_size(rows: Sequence[RatingRow], standard: str, dash: int) -> tuple[RatingRow, ...]:
    of_type = [row for row in rows if row.standard == standard]
    if not of_type:
        raise _no_type(standard, (row.standard for row in rows))
    of_size = tuple(row for row in of_type if row.dash == dash)
    if not of_size:
        sizes = ", ".join(f"-{size}" for size in sorted({row.dash for row in of_type}))
        raise OffTheTable(
            f"{standard} has no size -{dash} in the table. Choose one of {sizes}.",
            argument="size",
            unit="1/16 in",
            allowed=sizes,
            got=dash,
        )
    return of_size


def _no_type(standard: str, known: Iterable[str]) -> OffTheTable:
    instead = DROPPED.get(standard)
    if instead:
        sentence = f"{standard} was dropped from {DROPPED_FROM}. Use {instead}."
    elif standard in DROPPED:
        sentence = f"{standard} was dropped from {DROPPED_FROM}, and the table has no rating of it."
    else:
        sentence = f"The table has no ratings of {standard} to compare. Choose another type."
    return OffTheTable(
        sentence,
        argument="hose type",
        allowed=instead or ", ".join(dict.fromkeys(known)) or "a type in the table",
        got=standard,
    )


def _no_edition(standard: str, year: int | None, rows: Sequence[RatingRow]) -> OffTheTable:
    editions = ", ".join(row.edition for row in rows)
    return OffTheTable(
        f"{standard} was not in the standard in {year}. Compare the marking with the hose: the table has "
        f"{editions}.",
        argument="year made",
        allowed=editions,
        got=year,
    )


def _named(row: RatingRow) -> str:
    return f"{row.standard} ({row.edition})" if row.edition else row.standard


def _check_year(year: int) -> None:
    if not EARLIEST_YEAR <= year <= LATEST_YEAR:
        raise OutOfRange(
            f"{year} is not a year that a hose was made in.",
            argument="year made",
            allowed=f"{EARLIEST_YEAR} to {LATEST_YEAR}",
            got=year,
        )


def _year(pattern: str, edition: str) -> int | None:
    match = re.search(pattern, edition)
    return int(match[1]) if match else None


def _row(cells: dict[str, str]) -> RatingRow:
    return RatingRow(
        standard=cells["standard"],
        edition=cells["edition"],
        dash=int(cells["dash"]),
        rating=Pressure(Decimal(cells["printed_value"]), PressureUnit(cells["printed_unit"])),
        bend_radius_mm=Decimal(cells["bend_radius_mm"]) if cells["bend_radius_mm"] else None,
        temperature_min_c=int(cells["temperature_min_c"]),
        temperature_max_c=int(cells["temperature_max_c"]),
        source=cells["source"],
        basis=cells["basis"],
    )
