"""How uncertain one reading of a gauge in use is, from what it comes from.

The parts are independent and each adds to the reading as it is, so their standard uncertainties are combined
as the root of the sum of their squares: JCGM 100:2008 (GUM) 5.1.2. What is only known as limits counts as
equally likely within them, half width over the root of three (4.3.7), and so does what is between two steps
of a display (F.2.2.1). U is k = 2 times the combined one, which covers about 95 % (G.6.6). All from memory.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Context, Decimal

from shop.engineering.numbers import require_not_negative, require_positive, trim

COVERAGE = Decimal(2)
NANOMETRE = Decimal("0.000001")
_EXACT = Context(prec=50)


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyBudget:
    """What a workshop knows of a gauge and of how it is used, in mm.

    `certificate_mm` is the calibration's own expanded uncertainty (k = 2), `resolution_mm` one step of the
    display, `temperature_mm` the most by which temperature may put a reading off to either side,
    `repeatability_mm` the standard deviation of one person's readings. Raises `NotANumber`, or `OutOfRange`
    for a certificate or a resolution that is not above zero and for the others below it.
    """

    certificate_mm: Decimal
    resolution_mm: Decimal
    temperature_mm: Decimal
    repeatability_mm: Decimal

    def __post_init__(self) -> None:
        require_positive(self.certificate_mm, "uncertainty of the calibration", "mm")
        require_positive(self.resolution_mm, "resolution", "mm")
        require_not_negative(self.temperature_mm, "effect of temperature", "mm")
        require_not_negative(self.repeatability_mm, "spread between readings", "mm")

    @property
    def components(self) -> tuple[tuple[str, Decimal], ...]:
        """What each part comes from, and its standard uncertainty in mm, to the next nanometre above."""
        return tuple((name, _up(_EXACT.sqrt(variance))) for name, variance in self._variances())

    @property
    def combined_mm(self) -> Decimal:
        """The combined standard uncertainty, to the next nanometre above."""
        return _up(self._combined())

    @property
    def expanded_mm(self) -> Decimal:
        """U for k = 2, to the next nanometre above: an uncertainty is never rounded down."""
        return _up(_EXACT.multiply(COVERAGE, self._combined()))

    def _combined(self) -> Decimal:
        return _EXACT.sqrt(sum((variance for _, variance in self._variances()), Decimal(0)))

    def _variances(self) -> tuple[tuple[str, Decimal], ...]:
        return (
            ("calibration", _square(self.certificate_mm / COVERAGE)),
            ("resolution", _variance_within(self.resolution_mm / 2)),
            ("temperature", _variance_within(self.temperature_mm)),
            ("spread between readings", _square(self.repeatability_mm)),
        )


def _square(standard_mm: Decimal) -> Decimal:
    return _EXACT.multiply(standard_mm, standard_mm)


def _variance_within(half_width_mm: Decimal) -> Decimal:
    return _EXACT.divide(_square(half_width_mm), Decimal(3))


def _up(value_mm: Decimal) -> Decimal:
    return trim(value_mm.quantize(NANOMETRE, ROUND_CEILING))
