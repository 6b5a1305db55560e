"""What it takes to prove a crimp: the chart's limits, the gauge's uncertainty and the decision rule.

Idea of the guard band: ISO 14253-1 and JCGM 106, from memory.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_not_negative, require_number, require_positive, trim

SHARE_OF_HALF = Decimal("0.25")
RESOLUTION_SHARE = Decimal("0.1")  # a tenth of the tolerance: common practice, no source
ONE_SIDED_95 = Decimal("1.64")  # standard uncertainties; 1.6449 are 95 % on one side exactly
NANOMETRE = Decimal("0.000001")


class Judged(StrEnum):
    MEAN = "mean"
    EACH = "each"


class DecisionRule(StrEnum):
    """PLAIN takes all within the limits, with a good enough gauge; the others keep a distance from them."""

    PLAIN = "plain"
    GUARDED_U = "guarded_u"
    GUARDED_164U = "guarded_164u"


@dataclass(frozen=True, slots=True)
class CrimpLimits:
    """What a line of the crimp chart asks of the crimp's outside diameter. Limits are inclusive.

    `readings` is how many at least, at each section. Raises `OutOfRange` for limits that make no sense.
    """

    target_mm: Decimal
    lower_mm: Decimal
    upper_mm: Decimal
    judged: Judged
    ovality_mm: Decimal | None
    taper_mm: Decimal | None
    readings: int

    def __post_init__(self) -> None:
        require_positive(self.lower_mm, "lower crimp limit", "mm")
        require_positive(self.target_mm, "target crimp diameter", "mm")
        require_positive(self.upper_mm, "upper crimp limit", "mm")
        if not (self.lower_mm <= self.target_mm <= self.upper_mm and self.lower_mm < self.upper_mm):
            raise OutOfRange(
                f"The target {plain(self.target_mm)} mm is not between the limits {plain(self.lower_mm)} and "
                f"{plain(self.upper_mm)} mm. Compare them with the chart.",
                argument="crimp limits",
                unit="mm",
                allowed="lower limit, target, upper limit in rising order",
            )
        if self.ovality_mm is not None:
            require_not_negative(self.ovality_mm, "ovality limit", "mm")
        if self.taper_mm is not None:
            require_not_negative(self.taper_mm, "taper limit", "mm")
        if self.readings < 1:
            raise OutOfRange(
                "A crimp is judged by one reading at least.",
                argument="number of readings",
                allowed="1 or more",
                got=self.readings,
            )

    @property
    def width_mm(self) -> Decimal:
        return self.upper_mm - self.lower_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementUncertainty:
    """Of a gauge in use: expanded uncertainty U with its coverage factor k, and resolution, in mm.

    Raises `NotANumber`, or `OutOfRange` for one that is not above zero.
    """

    expanded_mm: Decimal
    resolution_mm: Decimal
    coverage_factor: Decimal = Decimal(2)

    def __post_init__(self) -> None:
        require_positive(self.expanded_mm, "expanded uncertainty", "mm")
        require_positive(self.resolution_mm, "resolution", "mm")
        require_positive(self.coverage_factor, "coverage factor", "")


@dataclass(frozen=True, slots=True)
class GaugeFit:
    fits: bool
    why: str


def gauge_fits(
    limits: CrimpLimits,
    uncertainty: MeasurementUncertainty | None,
    rule: DecisionRule,
    share: Decimal = SHARE_OF_HALF,
) -> GaugeFit:
    """Whether a gauge is fine enough to prove anything about these limits under the rule.

    Its resolution must be a tenth of the tolerance at most (common practice, no source). Plain
    acceptance wants U at most `share` of half the tolerance (the workshop's choice); the guarded rules
    want something left between the guards. A gauge of unknown uncertainty never fits. Raises `NotANumber`,
    or `OutOfRange` for a share that is not above 0 and at most 1.
    """
    _check_share(share)
    if uncertainty is None:
        return GaugeFit(False, "The uncertainty of this gauge is not known. Enter it from its calibration.")
    coarsest = limits.width_mm * RESOLUTION_SHARE
    if uncertainty.resolution_mm > coarsest:
        return GaugeFit(
            False,
            f"The gauge reads to {plain(uncertainty.resolution_mm)} mm; this tolerance of "
            f"{plain(limits.width_mm)} mm needs {plain(coarsest)} mm or finer. Take a finer gauge.",
        )
    expanded = plain(uncertainty.expanded_mm)
    if rule is DecisionRule.PLAIN:
        most = limits.width_mm / 2 * share
        if uncertainty.expanded_mm > most:
            return GaugeFit(
                False,
                f"The gauge's uncertainty of {expanded} mm is more than the {plain(most)} mm that this "
                "tolerance allows. Take a better gauge.",
            )
        return GaugeFit(True, f"Uncertainty {expanded} mm, at most {plain(most)} mm allowed.")
    guard = guard_mm(uncertainty, rule)
    if 2 * guard > limits.width_mm:
        return GaugeFit(
            False,
            f"The gauge's uncertainty of {expanded} mm leaves nothing to accept within these limits. "
            "Take a better gauge.",
        )
    low, high = plain(limits.lower_mm + guard), plain(limits.upper_mm - guard)
    return GaugeFit(True, f"Uncertainty {expanded} mm, so {low} to {high} mm is accepted.")


def finest_tolerance_mm(
    uncertainty: MeasurementUncertainty, rule: DecisionRule, share: Decimal = SHARE_OF_HALF
) -> Decimal:
    """The smallest width of limits that `gauge_fits` takes a gauge for (mm, to the next nanometre above).

    Raises `NotANumber`, or `OutOfRange` for a share that is not above 0 and at most 1.
    """
    _check_share(share)
    if rule is DecisionRule.PLAIN:
        by_uncertainty = 2 * uncertainty.expanded_mm / share
    else:
        by_uncertainty = 2 * guard_mm(uncertainty, rule)
    widest = max(by_uncertainty, uncertainty.resolution_mm / RESOLUTION_SHARE)
    return trim(widest.quantize(NANOMETRE, ROUND_CEILING))


def guard_mm(uncertainty: MeasurementUncertainty, rule: DecisionRule) -> Decimal:
    """How far inside a limit a value must lie: nothing, U, or 1.64 U / k (mm, up to the next nanometre).

    ISO 14253-1 (U, and 1.64 u in its later edition), from memory.
    """
    match rule:
        case DecisionRule.PLAIN:
            guard = Decimal(0)
        case DecisionRule.GUARDED_U:
            guard = uncertainty.expanded_mm
        case DecisionRule.GUARDED_164U:
            guard = ONE_SIDED_95 * uncertainty.expanded_mm / uncertainty.coverage_factor
    return trim(guard.quantize(NANOMETRE, ROUND_CEILING))


def _check_share(share: Decimal) -> None:
    if not 0 < require_number(share, "share of half the tolerance", "") <= 1:
        raise OutOfRange(
            f"The share of half the tolerance is above 0 and at most 1; {plain(share)} is not.",
            argument="share of half the tolerance",
            allowed="above 0, at most 1",
            got=share,
        )
