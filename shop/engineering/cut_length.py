"""From the length that the customer measured to the length that is cut from the reel.

Sources: cut length is overall length less the cut-off of both ends (TM 1-1500-204-23-2); the cut-off
is given per one fitting, by size (Navy training manual 14018 Table 5-2). That some customers measure from
tip to tip, and that a workshop corrects its cut by what it has measured: common practice, no source.
"""

from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_number, require_positive


class Datum(StrEnum):
    """The point of an end from which overall length is measured; practice differs, so it is stored."""

    SEAT = "seat"
    FACE = "face"
    CENTRELINE = "centreline"
    THREAD_END = "thread_end"

    @property
    def words(self) -> str:
        return _DATUM_WORDS[self]


_DATUM_WORDS = {
    Datum.SEAT: "the sealing seat",
    Datum.FACE: "the sealing face",
    Datum.CENTRELINE: "the centreline of the elbow's end",
    Datum.THREAD_END: "the end of the thread",
}


def between_datums_mm(over_all_metal_mm: Decimal, beyond_a_mm: Decimal, beyond_b_mm: Decimal) -> Decimal:
    """Overall length between the datums of the ends, of one that was measured from tip to tip, exactly.

    `beyond_a_mm` and `beyond_b_mm` are the metal beyond the datum of each end, along the hose's axis.
    Raises `NotANumber`, or `OutOfRange` if nothing is left, with the length that it must be above in
    `allowed`.
    """
    require_positive(over_all_metal_mm, "length from tip to tip", "mm")
    require_not_negative(beyond_a_mm, "metal beyond the datum of end A", "mm")
    require_not_negative(beyond_b_mm, "metal beyond the datum of end B", "mm")
    both = beyond_a_mm + beyond_b_mm
    if over_all_metal_mm <= both:
        raise OutOfRange(
            f"{plain(both)} mm of metal lie beyond the datums, so {plain(over_all_metal_mm)} mm from tip to "
            "tip leave nothing between them. Check the length and its unit.",
            argument="length from tip to tip",
            unit="mm",
            allowed=f"more than {plain(both)} mm",
            got=over_all_metal_mm,
        )
    return over_all_metal_mm - both


def cut_length_mm(
    overall_mm: Decimal,
    cut_off_a_mm: Decimal,
    cut_off_b_mm: Decimal,
    comes_out_longer_mm: Decimal = Decimal(0),
) -> Decimal:
    """Overall length less both cut-off allowances, exactly.

    `comes_out_longer_mm` is the workshop's own correction: how much longer finished assemblies came out
    than wanted, negative if shorter. Raises `NotANumber`, or `OutOfRange` if nothing is left, with the
    length that it must be above in `allowed`.
    """
    require_positive(overall_mm, "overall length", "mm")
    require_not_negative(cut_off_a_mm, "cut-off allowance at end A", "mm")
    require_not_negative(cut_off_b_mm, "cut-off allowance at end B", "mm")
    require_number(comes_out_longer_mm, "cut correction", "mm")
    taken = cut_off_a_mm + cut_off_b_mm + comes_out_longer_mm
    if overall_mm <= taken:
        raise OutOfRange(
            f"The ends alone take {plain(taken)} mm, so an overall length of {plain(overall_mm)} mm leaves "
            "no hose. Check the length and its unit.",
            argument="overall length",
            unit="mm",
            allowed=f"more than {plain(taken)} mm",
            got=overall_mm,
        )
    return overall_mm - taken


def overall_length_mm(cut_mm: Decimal, cut_off_a_mm: Decimal, cut_off_b_mm: Decimal) -> Decimal:
    """The other way round: what a piece of hose becomes with its ends on, exactly.

    Raises `NotANumber`, or `OutOfRange` for a cut length that is not above zero or a negative allowance.
    """
    require_positive(cut_mm, "cut length", "mm")
    require_not_negative(cut_off_a_mm, "cut-off allowance at end A", "mm")
    require_not_negative(cut_off_b_mm, "cut-off allowance at end B", "mm")
    return cut_mm + cut_off_a_mm + cut_off_b_mm


def shortest_overall_mm(
    minimum_between_mm: Decimal,
    cut_off_a_mm: Decimal,
    cut_off_b_mm: Decimal,
    insertion_a_mm: Decimal,
    insertion_b_mm: Decimal,
) -> Decimal:
    """The shortest overall length that leaves `minimum_between_mm` of hose between the ferrules.

    Raises `NotANumber`, or `OutOfRange` for a minimum that is not above zero or a negative length of an end.
    """
    require_positive(minimum_between_mm, "minimum between ferrules", "mm")
    require_not_negative(cut_off_a_mm, "cut-off allowance at end A", "mm")
    require_not_negative(cut_off_b_mm, "cut-off allowance at end B", "mm")
    require_not_negative(insertion_a_mm, "insertion depth at end A", "mm")
    require_not_negative(insertion_b_mm, "insertion depth at end B", "mm")
    return minimum_between_mm + cut_off_a_mm + cut_off_b_mm + insertion_a_mm + insertion_b_mm
