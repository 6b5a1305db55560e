"""What the workshop's own finished lengths say about its cut lengths, for one hose with one fitting series.

Cut-off allowances are the fitting maker's; crimping squeezes hose out of the ferrule, and each workshop
cuts and pushes on in its own way. The mean of measured less wanted is what to cut shorter. Common practice,
no source; the interval of a mean is a textbook's (Student's t). What the tape itself is off is in every
piece alike and doesn't average out: it is added by the root of the sum of squares (JCGM 100 5.1, from
memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.engineering.errors import OutOfRange
from shop.engineering.line_fit import student_t
from shop.engineering.numbers import plain, require_not_negative, require_positive, rounded, trim

FEWEST_PIECES = 5  # common practice, no source
CONFIDENCE = Decimal("0.95")
SLIP_SHARE = Fraction(1, 10)  # of the wanted length: beyond it a length was mistyped, not cut wrong
_NANOMETRE_PLACES = 6
_SHOWN_PLACES = 2


@dataclass(frozen=True, slots=True)
class Finished:
    """An assembly's overall length as wanted and as measured, mm, from the same datum.

    Raises `NotANumber`, or `OutOfRange` for a length that is not above zero, and for two that differ by
    more than a tenth: that is a slip.
    """

    wanted_mm: Decimal
    measured_mm: Decimal

    def __post_init__(self) -> None:
        require_positive(self.wanted_mm, "wanted overall length", "mm")
        require_positive(self.measured_mm, "measured overall length", "mm")
        if abs(self.over) > SLIP_SHARE * Fraction(self.wanted_mm):
            raise OutOfRange(
                f"{plain(self.measured_mm)} mm is more than a tenth away from {plain(self.wanted_mm)} mm. "
                "Check both numbers; a piece cut wrong doesn't count.",
                argument="measured overall length",
                unit="mm",
                allowed=f"within a tenth of {plain(self.wanted_mm)} mm",
                got=self.measured_mm,
            )

    @property
    def over(self) -> Fraction:
        return Fraction(self.measured_mm) - Fraction(self.wanted_mm)


@dataclass(frozen=True, slots=True)
class CutCorrection:
    """How much longer (or shorter, negative) pieces come out than wanted, mm to the nanometre.

    `low_mm` to `high_mm` holds the true mean with 95 %, the tape's own error included; `proven` says that
    it leaves out zero.
    """

    pieces: int
    mean_mm: Decimal
    spread_mm: Decimal
    low_mm: Decimal
    high_mm: Decimal
    proven: bool
    reason: str
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    def corrected_mm(self, cut_mm: Decimal) -> Decimal:
        """The cut length with the correction taken off, mm, exactly.

        Raises `OutOfRange` if the correction is not proven or leaves no hose.
        """
        require_positive(cut_mm, "cut length", "mm")
        if not self.proven:
            raise OutOfRange(
                f"{self.reason} Cut by the chart as it is.",
                argument="cut correction",
                unit="mm",
                allowed="a mean whose interval leaves out zero",
                got=self.mean_mm,
            )
        return require_positive(cut_mm - self.mean_mm, "corrected cut length", "mm")


def cut_correction(
    pieces: Sequence[Finished], fewest: int = FEWEST_PIECES, tape_mm: Decimal = Decimal(0)
) -> CutCorrection:
    """The mean of measured less wanted overall length, with its spread (standard deviation, n − 1).

    All pieces are of one hose and one fitting series, straight after crimping and before any pressure.
    `tape_mm` is the expanded uncertainty (k = 2) of what they were measured with; of several the coarsest.
    Raises `OutOfRange` for fewer than `fewest` pieces, for a `fewest` below two, and a negative `tape_mm`.
    """
    require_not_negative(tape_mm, "uncertainty of the tape", "mm")
    if fewest < 2:
        raise OutOfRange(
            "One piece has no spread. Ask for two or more.",
            argument="fewest pieces",
            allowed="2 or more",
            got=fewest,
        )
    count = len(pieces)
    if count < fewest:
        raise OutOfRange(
            f"{count} pieces say too little about how this hose comes out. Measure {fewest} or more.",
            argument="finished pieces",
            allowed=f"{fewest} or more",
            got=count,
        )
    mean = sum((piece.over for piece in pieces), Fraction(0)) / count
    variance = sum(((piece.over - mean) ** 2 for piece in pieces), Fraction(0)) / (count - 1)
    reach = Fraction(student_t(CONFIDENCE, count - 1)) * Fraction(_root(variance / count))
    if tape_mm:
        reach = Fraction(_root(reach**2 + Fraction(tape_mm) ** 2))
    proven = abs(mean) > reach
    shown = (
        f"{count} pieces came out {_shown(abs(mean))} mm {'longer' if mean > 0 else 'shorter'} than wanted"
    )
    doubt = "it may be chance, or the tape's own error" if tape_mm else "it may be chance"
    return CutCorrection(
        pieces=count,
        mean_mm=_mm(mean),
        spread_mm=_mm(Fraction(_root(variance))),
        low_mm=_mm(mean - reach),
        high_mm=_mm(mean + reach),
        proven=proven,
        reason=f"{shown}, more than chance explains." if proven else f"{shown}, and {doubt}.",
        assumptions=(
            "All pieces are of one hose and one fitting series, with the cut-off of the chart.",
            "Wanted and measured length are from the same datum, and no piece had been under pressure.",
        ),
        cautions=(
            "A correction moves the mean and leaves the spread: each finished length is still measured.",
            "A large correction points to a wrong cut-off or insertion depth. Compare both with the chart.",
        ),
    )


def _root(square: Fraction) -> Decimal:
    return (Decimal(square.numerator) / Decimal(square.denominator)).sqrt()


def _shown(value: Fraction) -> str:
    """For reading: a hundredth of a millimetre is finer than any tape."""
    return plain(rounded(value, _SHOWN_PLACES))


def _mm(value: Fraction) -> Decimal:
    return trim(rounded(value, _NANOMETRE_PLACES))
