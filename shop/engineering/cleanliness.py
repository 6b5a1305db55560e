"""Cleanliness codes of ISO 4406 from particle counts, and the counts that a code stands for.

Three numbers, like 18/16/13, for particles of 4, 6 and 14 µm(c) and larger in one millilitre. A number
stands for more than its lower bound up to and with its upper one, and each next one for about twice as
many. The bounds are those of a table with source and basis for each row.
"""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from shop.engineering.errors import NotUnderstood, OffTheTable, OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_number

CLASSES_UM = (4, 6, 14)  # particles of this size and larger, in µm(c)
FORMS = "18/16/13, or -/16/13 where particles of 4 µm(c) were not counted"
NOT_COUNTED = "-"
CAUTIONS = (
    "A code says nothing of water, of fibres, or of what the particles are.",
    "Counts are of one millilitre. A laboratory that reports 100 ml has to be divided by a hundred.",
    "From memory: a code from fewer than 20 particles counted is reported with ≥ before it.",
)


@dataclass(frozen=True, slots=True)
class ScaleRow:
    """One row of the scale: the number stands for more than `over`, up to and with `up_to`, per ml.

    Raises `NotANumber`, or `OutOfRange` for a negative one and for bounds that don't rise.
    """

    code: int
    over: Decimal
    up_to: Decimal
    source: str
    basis: str

    def __post_init__(self) -> None:
        require_not_negative(Decimal(self.code), "number of the scale", "")
        require_not_negative(self.over, "lower bound", "per ml")
        if require_number(self.up_to, "upper bound", "per ml") <= self.over:
            raise OutOfRange(
                f"The number {self.code} can't stand for more than {plain(self.over)} up to "
                f"{plain(self.up_to)} per ml. Compare it with the scale.",
                argument="upper bound",
                unit="per ml",
                allowed=f"more than {plain(self.over)} per ml",
                got=self.up_to,
            )

    @property
    def words(self) -> str:
        if self.over == 0:
            return f"up to {plain(self.up_to)} per ml"
        return f"more than {plain(self.over)} up to {plain(self.up_to)} per ml"


@dataclass(frozen=True, slots=True)
class CleanlinessCode:
    """The rows of the scale for 4, 6 and 14 µm(c); None where particles of that size were not counted.

    Raises `OutOfRange` if a larger size has the higher number: the counts of the smaller sizes include
    the larger ones.
    """

    at_4: ScaleRow | None
    at_6: ScaleRow
    at_14: ScaleRow

    def __post_init__(self) -> None:
        numbers = [row.code for row in self.rows if row]
        if numbers != sorted(numbers, reverse=True):
            raise OutOfRange(
                f"{self} can't be: particles of 14 µm(c) are counted among those of 6 and of 4, so the "
                "numbers never rise. Check their order.",
                argument="cleanliness code",
                allowed="numbers that fall or stay, like 18/16/13",
                got=self,
            )

    @property
    def rows(self) -> tuple[ScaleRow | None, ScaleRow, ScaleRow]:
        return self.at_4, self.at_6, self.at_14

    @property
    def meanings(self) -> tuple[str, ...]:
        """What each number stands for, with both bounds, and where the row comes from."""
        return tuple(
            f"{size} µm(c) and larger: not counted."
            if row is None
            else f"{size} µm(c) and larger: {row.words} ({row.source})."
            for size, row in zip(CLASSES_UM, self.rows, strict=True)
        )

    @property
    def cautions(self) -> tuple[str, ...]:
        return CAUTIONS

    def is_as_clean_as(self, wanted: "CleanlinessCode") -> bool:
        """Whether no number is above the wanted one. Not counted where one is wanted is not clean."""
        return all(
            want is None or (have is not None and have.code <= want.code)
            for have, want in zip(self.rows, wanted.rows, strict=True)
        )

    def __str__(self) -> str:
        return "/".join(NOT_COUNTED if row is None else str(row.code) for row in self.rows)


def scale_number(count_per_ml: Decimal, scale: Sequence[ScaleRow]) -> ScaleRow:
    """The row of the scale for a count per ml; a count on a bound belongs to the row below it.

    Raises `NotANumber`, `OutOfRange` for a negative count, `OffTheTable` for one above the last row.
    """
    require_not_negative(count_per_ml, "particle count", "per ml")
    row = next((row for row in scale if count_per_ml <= row.up_to), None)
    if row is None:
        highest = f"up to {plain(scale[-1].up_to)} per ml" if scale else "an empty scale"
        raise OffTheTable(
            f"{plain(count_per_ml)} particles per ml are above the scale. Check the count and its volume.",
            argument="particle count",
            unit="per ml",
            allowed=highest,
            got=count_per_ml,
        )
    return row


def code_of_counts(
    at_4_per_ml: Decimal | None, at_6_per_ml: Decimal, at_14_per_ml: Decimal, scale: Sequence[ScaleRow]
) -> CleanlinessCode:
    """The code of the counts per ml of particles of 4, 6 and 14 µm(c) and larger.

    Raises as `scale_number`, and `OutOfRange` if there are more of the larger particles than of the
    smaller, which include them.
    """
    counts = [count for count in (at_4_per_ml, at_6_per_ml, at_14_per_ml) if count is not None]
    rows = [scale_number(count, scale) for count in counts]
    if counts != sorted(counts, reverse=True):
        raise OutOfRange(
            f"The counts {', '.join(map(plain, counts))} rise: those of the smaller sizes include the larger "
            "particles. Check their order.",
            argument="particle counts",
            unit="per ml",
            allowed="counts that fall or stay from 4 to 6 to 14 µm(c)",
            got=", ".join(map(plain, counts)),
        )
    return CleanlinessCode(None if at_4_per_ml is None else rows[0], rows[-2], rows[-1])


_CODE = re.compile(r"([0-9]{1,2}|-)\s*/\s*([0-9]{1,2})\s*/\s*([0-9]{1,2})")
_TWO_NUMBERS = re.compile(r"[0-9]{1,2}\s*/\s*[0-9]{1,2}")


def parse_code(text: str, scale: Sequence[ScaleRow]) -> CleanlinessCode:
    """Read a code like 18/16/13 or -/16/13.

    Raises `NotUnderstood` for other text (two numbers alone leave open which sizes are meant),
    `OffTheTable` for a number that the scale does not have, `OutOfRange` for numbers that rise.
    """
    typed = text.strip()
    if _TWO_NUMBERS.fullmatch(typed):
        raise _not_understood(
            f"“{typed}” has two numbers, and editions differ in the sizes that they mean. If they are for 6 "
            f"and 14 µm(c), type -/{typed}."
        )
    match = _CODE.fullmatch(typed.replace("–", "-").replace("−", "-"))
    if match is None:
        raise _not_understood(f"“{typed}” is not a cleanliness code. Type it like {FORMS}.")
    at_4 = None if match[1] == NOT_COUNTED else _row(int(match[1]), scale)
    return CleanlinessCode(at_4, _row(int(match[2]), scale), _row(int(match[3]), scale))


def read_scale(path: Path) -> tuple[ScaleRow, ...]:
    """The scale in CSV, from the lowest number to the highest."""
    with path.open(newline="", encoding="utf-8") as table:
        rows = [
            ScaleRow(
                code=int(cells["code"]),
                over=Decimal(cells["over_per_ml"]),
                up_to=Decimal(cells["up_to_per_ml"]),
                source=cells["source"],
                basis=cells["basis"],
            )
            for cells in csv.DictReader(table)
        ]
    return tuple(sorted(rows, key=lambda row: row.code))


def _row(code: int, scale: Sequence[ScaleRow]) -> ScaleRow:
    row = next((row for row in scale if row.code == code), None)
    if row is None:
        raise OffTheTable(
            f"The scale has no number {code}. Check the code.",
            argument="cleanliness code",
            allowed=f"{scale[0].code} to {scale[-1].code}" if scale else "an empty scale",
            got=code,
        )
    return row


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(sentence, argument="cleanliness code", allowed=FORMS)
