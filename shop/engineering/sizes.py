"""The sizes of hose: dash numbers, inches, millimetres, DN labels, and the bore that a size really has.

A dash number counts sixteenths of an inch. For most hose they are the bore; for hose sized by the rigid
tube that it matches (100R5, 100R14, hose of aviation style) they are the tube's outside diameter, and
the bore is smaller (Navy training manual 14018). Documents differ in their DN labels (19 or 20, 31 or
32, 38 or 40, 51 or 50), so a size is known by its dash number and a DN is another name for it.
"""

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from shop.engineering.errors import NotUnderstood, OffTheTable, OutOfRange
from shop.engineering.lengths import MM_PER_UNIT, LengthUnit
from shop.engineering.numbers import plain, require_positive, rounded, trim

SIXTEENTHS = 16
DN_ALIASES = {20: 19, 32: 31, 40: 38, 50: 51}  # the other label in print: the one of the table
FORMS = '-8, dash 8, 1/2 in, 1 1/4", DN 12 or 12.5 mm'
_FINEST_MM = 6  # decimals: every 1/64 in is a whole number of nanometres


@dataclass(frozen=True, slots=True)
class Size:
    """One row of the table of sizes: what is printed for it, with source and basis (read or memory).

    `nominal_bore_mm` and `dn` are labels of standards: DN 12 is called 12.5 and is 12.7 mm in inches.
    Raises `NotANumber`, or `OutOfRange` for one that is not above zero.
    """

    dash: int
    inch_fraction: str
    nominal_bore_mm: Decimal
    dn: int
    source: str
    basis: str

    def __post_init__(self) -> None:
        dash_inches(self.dash)
        require_positive(self.nominal_bore_mm, "nominal bore", "mm")
        require_positive(Decimal(self.dn), "DN", "mm")

    @property
    def dn_labels(self) -> tuple[int, ...]:
        """The DN of the table, then any other that documents print for the same size."""
        return (self.dn, *(other for other, dn in DN_ALIASES.items() if dn == self.dn))

    @property
    def words(self) -> str:
        dn = "/".join(map(str, self.dn_labels))
        return f"-{self.dash} ({self.inch_fraction} in, DN {dn})"


@dataclass(frozen=True, slots=True)
class TubeSizedBore:
    """One row of the table of hose that is sized by its tube: outside diameter and bore as printed.

    Raises `NotUnderstood` for what is no fraction of an inch, `OutOfRange` for a bore that is not smaller
    than the tube.
    """

    standard: str
    dash: int
    tube_od_in: str
    bore_in: str
    source: str
    basis: str

    def __post_init__(self) -> None:
        dash_inches(self.dash)
        if not 0 < mixed_fraction(self.bore_in) < mixed_fraction(self.tube_od_in):
            raise OutOfRange(
                f"A bore of {self.bore_in} in is not smaller than the tube of {self.tube_od_in} in. Compare "
                "them with the document.",
                argument="bore",
                unit="in",
                allowed=f"more than 0, less than {self.tube_od_in} in",
                got=self.bore_in,
            )


@dataclass(frozen=True, slots=True)
class Bore:
    """The bore of a hose of one size: `printed` as its document says it, and in mm.

    `sized_by_tube` says that the dash number counts the matching tube, and the bore is smaller.
    """

    mm: Decimal
    printed: str
    sized_by_tube: bool
    source: str
    basis: str
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def dash_mm(dash: int) -> Decimal:
    """Sixteenths of an inch in millimetres, exactly. Raises `OutOfRange` for less than one."""
    return trim(rounded(dash_inches(dash) * MM_PER_UNIT[LengthUnit.IN], _FINEST_MM))


def dash_inches(dash: int) -> Fraction:
    """What the dash number counts, in inches: -20 is 5/4. Raises `OutOfRange` for less than one."""
    if dash < 1:
        raise OutOfRange(
            f"A dash number counts sixteenths of an inch, so it is 1 or more; {dash} is not.",
            argument="dash number",
            unit="1/16 in",
            allowed="1 or more",
            got=dash,
        )
    return Fraction(dash, SIXTEENTHS)


def size_by_dash(dash: int, sizes: Sequence[Size]) -> Size:
    """The row of the dash number. Raises `OffTheTable` naming the sizes that there are."""
    dash_inches(dash)
    size = next((size for size in sizes if size.dash == dash), None)
    if size is None:
        raise _off_the_table(f"-{dash}", sizes)
    return size


def size_by_dn(dn: Decimal, sizes: Sequence[Size]) -> Size:
    """The row of a DN, by the table's label, another in print, or the nominal bore (DN 31, 32, 31.5).

    Raises `NotANumber` or `OutOfRange` for what is no DN, `OffTheTable` naming the sizes that there are.
    """
    require_positive(dn, "DN", "mm")
    size = next((size for size in sizes if dn == size.nominal_bore_mm or dn in size.dn_labels), None)
    if size is None:
        raise _off_the_table(f"DN {plain(dn)}", sizes)
    return size


_DASH = re.compile(r"(?:-|dash|size)\s*-?\s*([0-9]{1,3})")
_DN = re.compile(r"dn\s*([0-9]{1,3}(?:[.,][0-9])?)")
_INCHES = re.compile(
    r"((?:[0-9]+[\s-]+)?[0-9]+\s*/\s*[0-9]+|[0-9]+(?:[.,][0-9]+)?)\s*(\"|in\.?|inch(?:es)?)?"
)
_MILLIMETRES = re.compile(r"([0-9]{1,3}(?:[.,][0-9]+)?)\s*mm")


def parse_size(text: str, sizes: Sequence[Size]) -> Size:
    """Read a size as people say it: -8, 1/2 in, DN 12 or the nominal 12.5 mm.

    Raises `NotUnderstood` for text that has no reading, and for a bare number that is one size as dash
    number and another as DN or inches (16 is 1 in or DN 16, which is 5/8 in); `OffTheTable` for a size
    that the table does not have.
    """
    typed = text.strip()
    tidy = re.sub(r"[‐‑‒–—−]", "-", typed.lower()).replace("”", '"').replace("″", '"').replace("⁄", "/")
    if dash := _DASH.fullmatch(tidy):
        return size_by_dash(int(dash[1]), sizes)
    if dn := _DN.fullmatch(tidy) or _MILLIMETRES.fullmatch(tidy):
        return size_by_dn(Decimal(dn[1].replace(",", ".")), sizes)
    if (inches := _INCHES.fullmatch(tidy)) and (inches[2] or "/" in inches[1]):
        return _by_inches(inches[1], typed, sizes)
    if tidy.isascii() and tidy.isdigit():
        return _by_number(int(tidy), typed, sizes)
    raise _not_understood(f"“{typed}” is not a size that can be read. Say it like {FORMS}.")


def true_bore(standard: str, dash: int, sizes: Sequence[Size], tube_sized: Iterable[TubeSizedBore]) -> Bore:
    """The bore of a hose of `standard` (as the table of ratings names it) in a size.

    A standard with rows in `tube_sized` is sized by its tube; any other is taken to be sized by its
    bore. Raises `OffTheTable` if the size has no row.
    """
    rows = [row for row in tube_sized if row.standard == standard]
    if not rows:
        size = size_by_dash(dash, sizes)
        return Bore(
            mm=size.nominal_bore_mm,
            printed=f"{plain(size.nominal_bore_mm)} mm",
            sized_by_tube=False,
            source=size.source,
            basis=size.basis,
            assumptions=(f"{standard} is taken to be sized by its bore; no table says otherwise.",),
            cautions=("The nominal bore is a label: the document gives the limits of the real one.",),
        )
    row = next((row for row in rows if row.dash == dash), None)
    if row is None:
        known = ", ".join(f"-{row.dash}" for row in rows)
        raise OffTheTable(
            f"There is no bore for {standard} in size -{dash}. Take it from the hose's document.",
            argument="dash number",
            unit="1/16 in",
            allowed=known,
            got=dash,
        )
    return Bore(
        mm=trim(rounded(mixed_fraction(row.bore_in) * MM_PER_UNIT[LengthUnit.IN], _FINEST_MM)),
        printed=f"{row.bore_in} in",
        sized_by_tube=True,
        source=row.source,
        basis=row.basis,
        assumptions=(
            f"-{dash} counts the outside diameter of the matching tube, {row.tube_od_in} in; the bore is "
            "smaller (Navy training manual 14018).",
        ),
        cautions=("Don't take this hose for one of the same dash number that is sized by its bore.",),
    )


def mixed_fraction(text: str) -> Fraction:
    """Inches as tables print them: 13/32, 1-1/4, 2. Raises `NotUnderstood` for anything else."""
    parts = re.fullmatch(r"(?:([0-9]+)[\s-]+)?([0-9]+)(?:\s*/\s*([0-9]+))?", text.strip())
    if parts is None or (parts[1] and not parts[3]) or (parts[3] and int(parts[3]) == 0):
        raise _not_understood(f"“{text}” is not a fraction of an inch. Write it like 13/32 or 1-1/4.")
    return int(parts[1] or 0) + Fraction(int(parts[2]), int(parts[3] or 1))


def read_sizes(path: Path) -> tuple[Size, ...]:
    """The table of sizes in CSV, in the order of the file."""
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(
            Size(
                dash=int(row["dash"]),
                inch_fraction=row["inch_fraction"],
                nominal_bore_mm=Decimal(row["nominal_bore_mm"]),
                dn=int(row["dn"]),
                source=row["source"],
                basis=row["basis"],
            )
            for row in csv.DictReader(table)
        )


def read_tube_sized(path: Path) -> tuple[TubeSizedBore, ...]:
    """The table of hose that is sized by its tube, in CSV, in the order of the file."""
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(
            TubeSizedBore(
                standard=row["standard"],
                dash=int(row["dash"]),
                tube_od_in=row["tube_od_in"],
                bore_in=row["bore_in"],
                source=row["source"],
                basis=row["basis"],
            )
            for row in csv.DictReader(table)
        )


def _by_inches(number: str, typed: str, sizes: Sequence[Size]) -> Size:
    decimal = "." in number or "," in number
    inches = Fraction(number.replace(",", ".")) if decimal else mixed_fraction(number)
    dash = inches * SIXTEENTHS
    if dash.denominator != 1 or dash < 1:
        raise _off_the_table(typed, sizes)
    return size_by_dash(int(dash), sizes)


def _by_number(number: int, typed: str, sizes: Sequence[Size]) -> Size:
    readings = {f"-{size.dash}": size for size in sizes if size.dash == number}
    readings |= {f"DN {number}": size for size in sizes if number in size.dn_labels}
    readings |= {f"{number} in": size for size in sizes if size.dash == number * SIXTEENTHS}
    if not readings:
        raise _off_the_table(typed, sizes)
    if len({size.dash for size in readings.values()}) > 1:
        said = " or ".join(f"{way}, which is {size.inch_fraction} in" for way, size in readings.items())
        raise _not_understood(f"“{typed}” can be {said}. Type the one that is meant with its - or DN.")
    return next(iter(readings.values()))


def _off_the_table(what: str, sizes: Sequence[Size]) -> OffTheTable:
    known = ", ".join(size.words for size in sizes)
    return OffTheTable(
        f"There is no size {what} in the table. Choose one of its sizes.",
        argument="size",
        unit="1/16 in",
        allowed=known,
        got=what,
    )


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(sentence, argument="size", unit="1/16 in", allowed=FORMS)
