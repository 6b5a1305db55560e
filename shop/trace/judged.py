"""What a set of readings was judged with: every set of the same crimp that counted by then."""

from collections.abc import Sequence
from decimal import Decimal

from shop.assemblies.judging import finest
from shop.assemblies.models import Measurement
from shop.drawings.judgement import JudgementDrawing
from shop.engineering.crimp import DecisionRule, guard_mm


def counted_with(measurement: Measurement, sets: Sequence[Measurement]) -> list[Measurement]:
    """Of all sets of the crimp those that were judged together, this one last.

    A set counts until another one corrects it; a later correction doesn't change what was judged before.
    """
    by_then = [other for other in sets if other.number <= measurement.number]
    corrected = {other.corrects_id for other in by_then}
    return [other for other in by_then if other.pk not in corrected]


def judgement_drawing(measurement: Measurement, sets: Sequence[Measurement]) -> JudgementDrawing:
    """The judgement as it was recorded, with the limits, rule and uncertainty of that day."""
    limits = measurement.crimp.specification.limits
    counted = counted_with(measurement, sets)
    uncertainty = finest(one.calibration.uncertainty for one in counted)
    guard = guard_mm(uncertainty, DecisionRule(measurement.policy.decision_rule))
    readings: list[Decimal] = []
    for one in counted:
        readings += [*one.readings_mm, *one.other_section_mm]
    return JudgementDrawing(
        lower_mm=limits.lower_mm,
        target_mm=limits.target_mm,
        upper_mm=limits.upper_mm,
        acceptance_lower_mm=limits.lower_mm + guard,
        acceptance_upper_mm=limits.upper_mm - guard,
        readings_mm=tuple(readings),
        mean_mm=measurement.mean,
        expanded_mm=uncertainty.expanded_mm,
        outcome=measurement.outcome,
        judged=limits.judged.value,
    )
