"""From the length that the customer measured to the length that is cut from the reel.

Sources: cut length is overall length less the cut-off of both ends (TM 1-1500-204-23-2); the cut-off
is given per one fitting, by size (Navy training manual 14018 Table 5-2).
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_positive


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


@dataclass(frozen=True, slots=True)
class EndAllowance:
    """How much of the overall length an end takes up beyond the hose's cut end, and from which datum."""

    cut_off_mm: Decimal
    datum: Datum

    def __post_init__(self) -> None:
        require_not_negative(self.cut_off_mm, "cut-off allowance", "mm")


def cut_length_mm(overall_mm: Decimal, cut_off_a_mm: Decimal, cut_off_b_mm: Decimal) -> Decimal:
    """Overall length less both cut-off allowances, exactly.

    Raises `OutOfRange` if nothing is left, with the length that it must be above in `allowed`.
    """
    require_positive(overall_mm, "overall length", "mm")
    require_not_negative(cut_off_a_mm, "cut-off allowance at end A", "mm")
    require_not_negative(cut_off_b_mm, "cut-off allowance at end B", "mm")
    both = cut_off_a_mm + cut_off_b_mm
    if overall_mm <= both:
        raise OutOfRange(
            f"The ends alone take {plain(both)} mm, so an overall length of {plain(overall_mm)} mm leaves no "
            "hose. Check the length and its unit.",
            argument="overall length",
            unit="mm",
            allowed=f"more than {plain(both)} mm",
            got=overall_mm,
        )
    return overall_mm - both


def hose_between_ferrules_mm(cut_mm: Decimal, insertion_a_mm: Decimal, insertion_b_mm: Decimal) -> Decimal:
    """The hose that is seen between the ferrules: what is cut less what both ends swallow.

    Raises `OutOfRange` if the ferrules would meet.
    """
    require_positive(cut_mm, "cut length", "mm")
    require_not_negative(insertion_a_mm, "insertion depth at end A", "mm")
    require_not_negative(insertion_b_mm, "insertion depth at end B", "mm")
    both = insertion_a_mm + insertion_b_mm
    if cut_mm <= both:
        raise OutOfRange(
            f"Both ends swallow {plain(both)} mm of hose, so the ferrules would meet on a cut length of "
            f"{plain(cut_mm)} mm. Make it longer.",
            argument="cut length",
            unit="mm",
            allowed=f"more than {plain(both)} mm",
            got=cut_mm,
        )
    return cut_mm - both


def shortest_overall_mm(
    minimum_between_mm: Decimal,
    cut_off_a_mm: Decimal,
    cut_off_b_mm: Decimal,
    insertion_a_mm: Decimal,
    insertion_b_mm: Decimal,
) -> Decimal:
    """The shortest overall length that leaves `minimum_between_mm` of hose between the ferrules."""
    require_positive(minimum_between_mm, "minimum between ferrules", "mm")
    require_not_negative(cut_off_a_mm, "cut-off allowance at end A", "mm")
    require_not_negative(cut_off_b_mm, "cut-off allowance at end B", "mm")
    require_not_negative(insertion_a_mm, "insertion depth at end A", "mm")
    require_not_negative(insertion_b_mm, "insertion depth at end B", "mm")
    return minimum_between_mm + cut_off_a_mm + cut_off_b_mm + insertion_a_mm + insertion_b_mm


def check_between_ferrules(
    *,
    overall_mm: Decimal,
    cut_off_a_mm: Decimal,
    cut_off_b_mm: Decimal,
    insertion_a_mm: Decimal,
    insertion_b_mm: Decimal,
    minimum_between_mm: Decimal,
) -> Decimal:
    """The hose between the ferrules, if it is at least the minimum (mm).

    Raises `OutOfRange` on the overall length, with the shortest that would do in `allowed`.
    """
    require_positive(overall_mm, "overall length", "mm")
    shortest = shortest_overall_mm(
        minimum_between_mm, cut_off_a_mm, cut_off_b_mm, insertion_a_mm, insertion_b_mm
    )
    if overall_mm < shortest:
        raise OutOfRange(
            f"An overall length of {plain(overall_mm)} mm leaves less than {plain(minimum_between_mm)} mm of "
            f"hose between the ferrules. The shortest with these ends is {plain(shortest)} mm.",
            argument="overall length",
            unit="mm",
            allowed=f"{plain(shortest)} mm or more",
            got=overall_mm,
        )
    cut = cut_length_mm(overall_mm, cut_off_a_mm, cut_off_b_mm)
    return hose_between_ferrules_mm(cut, insertion_a_mm, insertion_b_mm)
