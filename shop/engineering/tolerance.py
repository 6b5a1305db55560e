"""How much longer or shorter than ordered a finished assembly may be, by published tables.

Tables for bulk hose cut to length and for finished assemblies differ; they are different rules. The same
table prints how square a cut and how true an angle has to be. Sources: each row of the table has its own,
with its basis (read or memory).
"""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path

from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_number, require_positive, trim
from shop.engineering.sizes import dash_inches

_UP_TO = "length up to which a tolerance holds"


class ToleranceUnit(StrEnum):
    MM = "mm"
    PERCENT = "percent"
    DEGREE = "degree"


class Toleranced(StrEnum):
    """What a rule of the table is about."""

    LENGTH = "length"
    SQUARENESS = "squareness"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True)
class LengthRule:
    """One row of a table: for lengths over `over_mm` up to and with `up_to_mm` (None: no end), and for
    sizes from `dash_from` to `dash_to` (None: any), so much more (`plus`) or less (`minus`).

    Raises `NotANumber`, or `OutOfRange` for a negative one and for a length or a size that ends before it
    begins.
    """

    rule: str
    applies_to: str
    dash_from: int | None
    dash_to: int | None
    over_mm: Decimal
    up_to_mm: Decimal | None
    plus: Decimal
    minus: Decimal
    unit: ToleranceUnit
    source: str
    basis: str

    def __post_init__(self) -> None:
        for dash in (self.dash_from, self.dash_to):
            if dash is not None:
                dash_inches(dash)
        require_not_negative(self.over_mm, "length above which a tolerance holds", "mm")
        require_not_negative(self.plus, "tolerance upwards", self.unit)
        require_not_negative(self.minus, "tolerance downwards", self.unit)
        if self.up_to_mm is not None and require_number(self.up_to_mm, _UP_TO, "mm") <= self.over_mm:
            raise OutOfRange(
                f"A tolerance over {plain(self.over_mm)} mm can't end at {plain(self.up_to_mm)} mm.",
                argument=_UP_TO,
                unit="mm",
                allowed=f"more than {plain(self.over_mm)} mm",
                got=self.up_to_mm,
            )

    def covers(self, overall_mm: Decimal, dash: int) -> bool:
        """Whether the row is for such a length and size. Raises `NotANumber` or `OutOfRange`."""
        require_positive(overall_mm, "overall length", "mm")
        dash_inches(dash)
        return (
            (self.dash_from is None or dash >= self.dash_from)
            and (self.dash_to is None or dash <= self.dash_to)
            and overall_mm > self.over_mm
            and (self.up_to_mm is None or overall_mm <= self.up_to_mm)
        )


@dataclass(frozen=True, slots=True)
class LengthLimits:
    """The shortest and the longest that is right (mm, inclusive), and the row that says so."""

    lower_mm: Decimal
    upper_mm: Decimal
    row: LengthRule


def length_limits_mm(overall_mm: Decimal, dash: int, rule_set: Sequence[LengthRule]) -> LengthLimits:
    """The limits of the overall length by a rule set, that is the rows of one rule.

    A percentage is taken of the length and not rounded: rounding could widen it. Raises `NotANumber` or
    `OutOfRange` for what is no length and no size, `OffTheTable` if no row covers them.
    """
    require_positive(overall_mm, "overall length", "mm")
    dash_inches(dash)
    row = next((row for row in rule_set if row.covers(overall_mm, dash)), None)
    if row is None:
        rules = " and ".join(sorted({row.rule for row in rule_set})) or "an empty rule set"
        raise OffTheTable(
            f"There is no length tolerance for {plain(overall_mm)} mm in size -{dash} in {rules}. "
            "Choose another rule set, or state the tolerance on the order.",
            argument="overall length",
            unit="mm",
            allowed=rules,
            got=overall_mm,
        )
    scale = overall_mm / 100 if row.unit is ToleranceUnit.PERCENT else Decimal(1)
    return LengthLimits(trim(overall_mm - row.minus * scale), trim(overall_mm + row.plus * scale), row)


def read_rules(path: Path, quantity: Toleranced = Toleranced.LENGTH) -> dict[str, tuple[LengthRule, ...]]:
    """The rules of a table in CSV for one quantity, by the name of the rule; other rows are left aside."""
    rules: dict[str, tuple[LengthRule, ...]] = {}
    with path.open(newline="", encoding="utf-8") as table:
        for cells in csv.DictReader(table):
            if cells["quantity"] == quantity:
                row = _row(cells)
                rules[row.rule] = (*rules.get(row.rule, ()), row)
    return rules


def _row(cells: dict[str, str]) -> LengthRule:
    return LengthRule(
        rule=cells["rule"],
        applies_to=cells["applies_to"],
        dash_from=int(cells["dash_from"]) if cells["dash_from"] else None,
        dash_to=int(cells["dash_to"]) if cells["dash_to"] else None,
        over_mm=Decimal(cells["over_mm"] or 0),
        up_to_mm=Decimal(cells["up_to_mm"]) if cells["up_to_mm"] else None,
        plus=Decimal(cells["plus"]),
        minus=Decimal(cells["minus"]),
        unit=ToleranceUnit(cells["unit"]),
        source=cells["source"],
        basis=cells["basis"],
    )
