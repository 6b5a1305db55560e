"""Judging all sets of readings of one crimp together."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.assemblies.models import Crimp, Measurement
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
    uncertainty: MeasurementUncertainty

    @property
    def section_nm(self) -> list[int]:
        return _in_nm(self.section_mm)

    @property
    def other_nm(self) -> list[int]:
        return _in_nm(self.other_mm)


def require_readings(
    section_mm: Sequence[Decimal], other_mm: Sequence[Decimal], limits: CrimpLimits, sure: frozenset[str]
) -> None:
    """Refuse a set (mm) that is not whole or not plausible.

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


def counted_sets(crimp: Crimp, without: Measurement | None = None) -> list[Readings]:
    """The sets of the crimp that nothing corrects, oldest first, each with the uncertainty of its gauge.

    `without` is one that is just being corrected.
    """
    every = crimp.measurements.select_related("calibration__gauge").order_by("number")
    corrected = {measurement.corrects_id for measurement in every}
    return [
        Readings(measurement.readings_mm, measurement.other_section_mm, measurement.calibration.uncertainty)
        for measurement in every
        if measurement.pk not in corrected and measurement != without
    ]


def judge_sets(sets: Sequence[Readings], limits: CrimpLimits, policy: Policy) -> Judgement:
    """The judgement on all readings together.

    No set is averaged away: if one of them fails by itself, the crimp fails. What proves it are the
    readings of the finest gauge: a coarser one's may keep a crimp from passing, and never carry it
    over a guard that only the finer one has earned. How oval it is, is seen within each set, since
    between sets the gauge may have changed.
    """
    rule, share = DecisionRule(policy.decision_rule), policy.gauge_share

    def judge(readings: Readings, by: CrimpLimits) -> Judgement:
        return judge_crimp(
            readings.section_mm, by, readings.uncertainty, rule, share, other_section_mm=readings.other_mm
        )

    but_oval = replace(limits, ovality_mm=None)
    judgement = judge(_pooled(sets), but_oval)
    if judgement.outcome is Outcome.FAIL:
        return judgement
    for readings in sets:
        alone = judge(readings, limits)
        if alone.outcome is Outcome.FAIL:
            return replace(judgement, outcome=Outcome.FAIL, reasons=alone.reasons)
    proof = judge(_pooled(_of_the_finest_gauge(sets)), but_oval)
    if proof.outcome is not Outcome.PASS:
        return replace(judgement, outcome=proof.outcome, reasons=proof.reasons)
    return judgement


def finest(uncertainties: Iterable[MeasurementUncertainty]) -> MeasurementUncertainty:
    """The smallest expanded uncertainty of those that sets of readings were taken with."""
    return min(uncertainties, key=lambda uncertainty: uncertainty.expanded_mm)


def _pooled(sets: Sequence[Readings]) -> Readings:
    return Readings(
        [reading for readings in sets for reading in readings.section_mm],
        [reading for readings in sets for reading in readings.other_mm],
        finest(readings.uncertainty for readings in sets),
    )


def _of_the_finest_gauge(sets: Sequence[Readings]) -> list[Readings]:
    smallest = finest(readings.uncertainty for readings in sets).expanded_mm
    return [readings for readings in sets if readings.uncertainty.expanded_mm == smallest]


def _in_nm(readings_mm: Sequence[Decimal]) -> list[int]:
    return [int(reading * NANOMETRES) for reading in readings_mm]
