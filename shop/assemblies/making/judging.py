"""Judging all sets of readings of one crimp together."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.assemblies.making.checks import share_of_half
from shop.assemblies.models.making import NANOMETRES
from shop.assemblies.refusals import ImplausibleReading, ReadingNotUsable, TooFewReadings
from shop.engineering.crimp import (
    CrimpLimits,
    DecisionRule,
    Judgement,
    MeasurementUncertainty,
    Outcome,
    implausible_reading,
    judge_crimp,
)
from shop.policy.models import Policy


@dataclass(frozen=True)
class Readings:
    """One set (mm): at the place that the chart names, and nearer the other end of the crimp."""

    section_mm: Sequence[Decimal]
    other_mm: Sequence[Decimal]

    @property
    def section_nm(self) -> list[int]:
        return _in_nm(self.section_mm)

    @property
    def other_nm(self) -> list[int]:
        return _in_nm(self.other_mm)


def require_readings(
    section_mm: Sequence[Decimal], other_mm: Sequence[Decimal], limits: CrimpLimits, sure: frozenset[str]
) -> Readings:
    """The set, if it is whole and plausible.

    Raises `TooFewReadings`, `ReadingNotUsable`, and the doubt `ImplausibleReading` unless it is in
    `sure`.
    """
    for section in (section_mm, other_mm) if other_mm else (section_mm,):
        if len(section) < limits.readings:
            raise TooFewReadings(wanted=limits.readings, got=len(section))
    for reading in (*section_mm, *other_mm):
        if not reading.is_finite() or reading <= 0 or reading * NANOMETRES % 1:
            raise ReadingNotUsable(reading=reading)
        question = implausible_reading(reading, limits)
        if question is not None:
            doubt = ImplausibleReading(question=question)
            if doubt.code not in sure:
                raise doubt
    return Readings(tuple(section_mm), tuple(other_mm))


def judge_sets(
    sets: Sequence[Readings], limits: CrimpLimits, uncertainty: MeasurementUncertainty, policy: Policy
) -> Judgement:
    """The judgement on all readings together, by the newest gauge's uncertainty.

    No set is averaged away: if one of them fails by itself, the crimp fails. How oval it is, is seen
    within each set, since between sets the gauge may have changed.
    """
    rule, share = DecisionRule(policy.decision_rule), share_of_half(policy)

    def judge(readings: Readings, by: CrimpLimits) -> Judgement:
        return judge_crimp(
            readings.section_mm, by, uncertainty, rule, share, other_section_mm=readings.other_mm
        )

    together = Readings(
        [reading for readings in sets for reading in readings.section_mm],
        [reading for readings in sets for reading in readings.other_mm],
    )
    judgement = judge(together, replace(limits, ovality_mm=None))
    if judgement.outcome is Outcome.FAIL:
        return judgement
    for readings in sets:
        alone = judge(readings, limits)
        if alone.outcome is Outcome.FAIL:
            return replace(judgement, outcome=Outcome.FAIL, reasons=alone.reasons)
    return judgement


def _in_nm(readings_mm: Sequence[Decimal]) -> list[int]:
    return [int(reading * NANOMETRES) for reading in readings_mm]
