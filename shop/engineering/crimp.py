"""Whether a crimp is right: passes, is held because it is not proven, or fails.

A value outside the chart's limits fails whatever the uncertainty of the gauge. One inside passes only
if the decision rule proves it. That ovality is the spread of the readings round a section and taper the
difference of two sections' means: common practice, no source. The decision rules: see `decision`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from shop.engineering.decision import (
    SHARE_OF_HALF,
    CrimpLimits,
    DecisionRule,
    GaugeFit,
    Judged,
    MeasurementUncertainty,
    gauge_fits,
    guard_mm,
)
from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_positive, rounded, trim

__all__ = [
    "CrimpLimits",
    "DecisionRule",
    "GaugeFit",
    "Judged",
    "Judgement",
    "MeasurementUncertainty",
    "Outcome",
    "gauge_fits",
    "guard_mm",
    "implausible_reading",
    "judge_crimp",
]

DOUBTED_FROM = Decimal("0.2")  # of the target, and ten tolerances: common practice, no source
MM_PER_INCH = Decimal("25.4")
_NANOMETRE_PLACES = 6


class Outcome(StrEnum):
    PASS = "pass"  # noqa: S105 the word of the trade, no password
    HELD = "held"
    FAIL = "fail"


@dataclass(frozen=True, slots=True)
class Judgement:
    """How a crimp was judged, with all that was compared (mm), and why in sentences.

    `readings` are those of the section that the chart names, `mean_mm` and `spread_mm` (largest less
    smallest) are theirs, the mean rounded once to the nanometre. `judged_low` and `judged_high` are the
    extremes of what was judged. The acceptance zone is the limits less the guard at each side; it is
    empty if its lower end is above its upper one.
    """

    outcome: Outcome
    readings: tuple[Decimal, ...]
    mean_mm: Decimal
    spread_mm: Decimal
    taper_mm: Decimal | None
    judged_low: Decimal
    judged_high: Decimal
    guard_mm: Decimal
    acceptance_lower: Decimal
    acceptance_upper: Decimal
    reasons: tuple[str, ...]


def judge_crimp(
    readings_mm: Sequence[Decimal],
    limits: CrimpLimits,
    uncertainty: MeasurementUncertainty | None,
    rule: DecisionRule,
    share: Decimal = SHARE_OF_HALF,
    *,
    other_section_mm: Sequence[Decimal] = (),
) -> Judgement:
    """Judge the crimp's outside diameter by its readings (mm) at the section that the chart names.

    `other_section_mm` are readings nearer the other end of the crimp, for a chart that limits taper (the
    difference of the two means); without them such a crimp can't pass. Raises `OutOfRange` if a
    section has fewer readings than the chart asks for, `NotANumber` for one that is no number.
    """
    sections = [tuple(readings_mm)] + ([tuple(other_section_mm)] if other_section_mm else [])
    for section in sections:
        _check_readings(section, limits)
    fit = gauge_fits(limits, uncertainty, rule, share)
    guard = Decimal(0) if uncertainty is None else guard_mm(uncertainty, rule)
    means = [sum(map(Fraction, section), Fraction(0)) / len(section) for section in sections]
    judged = means if limits.judged is Judged.MEAN else [Fraction(r) for s in sections for r in s]
    taper = abs(means[0] - means[1]) if len(means) > 1 else None

    low, high = limits.lower_mm + guard, limits.upper_mm - guard
    failings = _failings(sections, judged, taper, limits)
    doubts = [] if fit.fits else [fit.why]
    if limits.taper_mm is not None and taper is None:
        doubts.append(
            f"The chart limits taper to {plain(limits.taper_mm)} mm. Measure the other section too."
        )
    if fit.fits and not Fraction(low) <= min(judged) <= max(judged) <= Fraction(high):
        doubts.append(_not_proven(low, high))
    outcome = Outcome.FAIL if failings else Outcome.HELD if doubts else Outcome.PASS
    return Judgement(
        outcome=outcome,
        readings=sections[0],
        mean_mm=_shown(means[0]),
        spread_mm=max(sections[0]) - min(sections[0]),
        taper_mm=None if taper is None else _shown(taper),
        judged_low=_shown(min(judged)),
        judged_high=_shown(max(judged)),
        guard_mm=guard,
        acceptance_lower=low,
        acceptance_upper=high,
        reasons=tuple(failings or doubts or [f"Within {plain(low)} to {plain(high)} mm, which is accepted."]),
    )


def implausible_reading(reading_mm: Decimal, limits: CrimpLimits) -> str | None:
    """A question if the reading looks like a slip (inches, a lost decimal point), else None.

    Asked if it is further from the target than ten tolerances and than a fifth of the target (common
    practice, no source). A reading may be wrong and plausible: this judges nothing. Raises `NotANumber`, or
    `OutOfRange` for a reading that is not above zero.
    """
    require_positive(reading_mm, "reading", "mm")
    if not _doubted(reading_mm, limits):
        return None
    shown, target = plain(reading_mm), plain(limits.target_mm)
    in_mm = reading_mm * MM_PER_INCH
    if not _doubted(in_mm, limits):
        return f"{shown} would be {plain(in_mm)} mm if it were inches. Is it really {shown} mm?"
    for power in (-3, -2, -1, 1, 2, 3):
        if not _doubted(moved := reading_mm.scaleb(power), limits):
            return (
                f"Is the decimal point of {shown} in the wrong place? {plain(moved)} mm is near {target} mm."
            )
    return f"{shown} mm is far from the target of {target} mm. Is it read and typed right?"


def _check_readings(section: tuple[Decimal, ...], limits: CrimpLimits) -> None:
    if len(section) < limits.readings:
        raise OutOfRange(
            f"The chart asks for {limits.readings} readings and there are {len(section)}. Measure the rest.",
            argument="number of readings",
            allowed=f"{limits.readings} or more",
            got=len(section),
        )
    for reading in section:
        require_positive(reading, "reading", "mm")


def _failings(
    sections: list[tuple[Decimal, ...]], judged: list[Fraction], taper: Fraction | None, limits: CrimpLimits
) -> list[str]:
    said = []
    if min(judged) < Fraction(limits.lower_mm):
        said.append(
            f"{_what(limits, 'smallest')} is {plain(_shown(min(judged)))} mm, below the lower limit of "
            f"{plain(limits.lower_mm)} mm."
        )
    if max(judged) > Fraction(limits.upper_mm):
        said.append(
            f"{_what(limits, 'largest')} is {plain(_shown(max(judged)))} mm, above the upper limit of "
            f"{plain(limits.upper_mm)} mm."
        )
    ovality = max(max(section) - min(section) for section in sections)
    if limits.ovality_mm is not None and ovality > limits.ovality_mm:
        said.append(f"The crimp is oval: {plain(ovality)} mm, at most {plain(limits.ovality_mm)} mm allowed.")
    if limits.taper_mm is not None and taper is not None and taper > Fraction(limits.taper_mm):
        said.append(
            f"The crimp tapers: {plain(_shown(taper))} mm, at most {plain(limits.taper_mm)} mm allowed."
        )
    return said


def _not_proven(low: Decimal, high: Decimal) -> str:
    return (
        f"Only {plain(low)} to {plain(high)} mm is proven to be within the limits, with this gauge. "
        "Measure more, take a better gauge, or treat it as failed."
    )


def _doubted(value_mm: Decimal, limits: CrimpLimits) -> bool:
    off = abs(value_mm - limits.target_mm)
    return off > max(10 * limits.width_mm, DOUBTED_FROM * limits.target_mm)


def _what(limits: CrimpLimits, extreme: str) -> str:
    return "The mean diameter" if limits.judged is Judged.MEAN else f"The {extreme} reading"


def _shown(value: Fraction) -> Decimal:
    return trim(rounded(value, _NANOMETRE_PLACES))
