"""Whether failures have something in common more often than by chance, and how far that is telling.

Sources: Fisher's exact test and its two-sided probability (all tables with the same margins that are no more
likely than the one found), as SciPy's documentation of `fisher_exact` defines it; the correction for many
questions at once, Y. Benjamini and Y. Hochberg, Journal of the Royal Statistical Society B 57 (1995),
289-300, as SciPy's documentation of `false_discovery_control` gives it. Half a unit on each count of a table
with a nought, Haldane and Anscombe: from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from scipy.stats import false_discovery_control, fisher_exact

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import require_not_negative, require_number, rounded

_UNIT = "assemblies"
_HALF = Fraction(1, 2)
_MONTHS_OF_A_RATE = 1000


@dataclass(frozen=True, slots=True)
class Counts:
    """Assemblies with a factor and without, that failed and that did not. Raises `OutOfRange`."""

    failed_with: int
    sound_with: int
    failed_without: int
    sound_without: int

    def __post_init__(self) -> None:
        for name in ("failed_with", "sound_with", "failed_without", "sound_without"):
            require_not_negative(Decimal(getattr(self, name)), name.replace("_", " "), _UNIT)

    @property
    def with_it(self) -> int:
        """All with the factor."""
        return self.failed_with + self.sound_with

    @property
    def without_it(self) -> int:
        """All without the factor."""
        return self.failed_without + self.sound_without


@dataclass(frozen=True, slots=True)
class OddsRatio:
    """How many times the odds of failing are with the factor what they are without, to two decimals.

    `is_corrected` if half a unit stands on each count, since one of them is nought.
    """

    value: Decimal
    is_corrected: bool


def fishers_p(counts: Counts) -> Decimal:
    """The probability, 0 to 1, that chance alone deals the failures so unevenly or more, to either side."""
    table = [
        [counts.failed_with, counts.sound_with],
        [counts.failed_without, counts.sound_without],
    ]
    return Decimal(repr(min(1.0, float(fisher_exact(table).pvalue))))


def odds_ratio(counts: Counts) -> OddsRatio:
    """The odds ratio of the counts as they are found."""
    cells = [
        Fraction(count)
        for count in (counts.failed_with, counts.sound_with, counts.failed_without, counts.sound_without)
    ]
    is_corrected = not all(cells)
    a, b, c, d = (cell + _HALF for cell in cells) if is_corrected else cells
    return OddsRatio(rounded(a * d / (b * c), 2), is_corrected)


def adjusted(p_values: Sequence[Decimal], *, questions: int) -> list[Decimal]:
    """Each probability corrected for how many were asked, in the same order: Benjamini and Hochberg.

    Of the `questions` those whose probability isn't given count as 1, which is the least telling. Of what is
    below a share, at most that share is expected to be chance. Raises `NotANumber` and `OutOfRange` for what
    is not from 0 to 1, and for fewer questions than probabilities.
    """
    untold = require_not_negative(Decimal(questions - len(p_values)), "questions", "")
    for p in p_values:
        allowed = "0 to 1"
        if not 0 <= require_number(p, "probability", "", allowed) <= 1:
            raise OutOfRange(
                f"A probability is from 0 to 1; {p} is not.",
                argument="probability",
                allowed=allowed,
                got=p,
            )
    if not p_values:
        return []
    every = [float(p) for p in p_values] + [1.0] * int(untold)
    return [Decimal(repr(float(p))) for p in false_discovery_control(every)[: len(p_values)]]


def rate_per_1000_months(failed: int, months: Decimal) -> Decimal | None:
    """Failures in a thousand months of service, to two decimals; None for less than one, which says nothing.

    Raises `NotANumber` and `OutOfRange` for less than nought.
    """
    require_not_negative(Decimal(failed), "failures", _UNIT)
    if require_not_negative(months, "time in service", "months") < 1:
        return None
    return rounded(Fraction(failed) * _MONTHS_OF_A_RATE / Fraction(months), 2)
