"""Readings of a crimp, and what they prove (rules 5, 6 and 9)."""

from collections.abc import Sequence
from decimal import Decimal

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.judging import Readings, counted_sets, judge_sets, require_readings
from shop.assemblies.making.checks import require_caliper
from shop.assemblies.models import Assembly, Crimp, End, Measurement, Sampling
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.occasion import Earlier, Occasion, occasion
from shop.assemblies.refusals import CorrectedAlready, NotTheNewestCrimp, TooLateToCorrect
from shop.assemblies.sampling import say_of_the_run
from shop.assemblies.standing import Standing, settle, standing_of
from shop.assemblies.steps import Step, require_step
from shop.engineering.crimp import Outcome
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.policy.services import policy_in_force
from shop.tooling.models import Gauge

NOBODY_SURE: frozenset[str] = frozenset()


def measure_crimp(
    *,
    actor: User,
    crimp: Crimp,
    readings_mm: Sequence[Decimal],
    other_section_mm: Sequence[Decimal] = (),
    gauge: Gauge | None = None,
    sure: frozenset[str] = NOBODY_SURE,
    earlier: Earlier | None = None,
) -> Measurement:
    """Record a set of readings (mm) and judge the crimp by it and every set before it.

    `other_section_mm` are readings nearer the other end of the crimp, for a chart that limits taper;
    without a `gauge` the set-up's was used. Raises `NotTheNextStep`, `NotTheNewestCrimp`,
    `HappenedTooEarly` for `earlier` ones, `TooFewReadings`, `ReadingNotUsable`, the doubt
    `ImplausibleReading`, and what `require_caliper` refuses.
    """
    on = occasion(actor, earlier)
    on.require(Permission.MAKE)
    assembly = crimp.assembly
    with working_on(assembly):
        if _is_unmeasured_of_a_run(assembly, crimp):
            standing = standing_of(assembly)
        else:
            standing = require_step(assembly, Step.MEASURE, End(crimp.end))
        _require_newest(assembly, standing, crimp)
        on.require_after(assembly)
        require_readings(readings_mm, other_section_mm, crimp.specification.limits, sure)
        measurement = _judged(
            on, crimp, readings_mm, other_section_mm, gauge or crimp.set_up.gauge, corrects=None
        )
        on.write(verb=verbs.MEASURED, record=measurement, subject=assembly)
        settle(assembly)
        say_of_the_run(on, crimp)
        return measurement


def correct_measurement(
    *,
    actor: User,
    measurement: Measurement,
    readings_mm: Sequence[Decimal],
    other_section_mm: Sequence[Decimal] = (),
    gauge: Gauge | None = None,
    sure: frozenset[str] = NOBODY_SURE,
) -> Measurement:
    """Record new readings (mm), taken with the part in hand, that count instead of a set's; that set stays.

    Without a `gauge` the same one was used. Raises what `measure_crimp` raises, `CorrectedAlready`,
    `TooLateToCorrect` once something was decided or the assembly is released, and `NeedsSecondPerson`
    if somebody who measured this crimp would turn it from failed (rule 8).
    """
    on = occasion(actor, None)
    on.require(Permission.MAKE)
    crimp = measurement.crimp
    assembly = crimp.assembly
    with working_on(assembly):
        _require_newest(assembly, standing_of(assembly), crimp)
        if Measurement.objects.filter(corrects=measurement).exists():
            raise CorrectedAlready
        _require_open(assembly, crimp)
        require_readings(readings_mm, other_section_mm, crimp.specification.limits, sure)
        correction = _judged(
            on, crimp, readings_mm, other_section_mm, gauge or measurement.gauge, corrects=measurement
        )
        _require_second_person(actor, crimp, correction)
        on.write(verb=verbs.MEASURED, record=correction, subject=assembly)
        settle(assembly)
        say_of_the_run(on, crimp)
        return correction


def _judged(
    on: Occasion,
    crimp: Crimp,
    readings_mm: Sequence[Decimal],
    other_section_mm: Sequence[Decimal],
    gauge: Gauge,
    corrects: Measurement | None,
) -> Measurement:
    """The measurement, not saved, with the judgement on all sets that count now."""
    specification, policy = crimp.specification, on.policy
    calibration = require_caliper(gauge, specification, policy, on.day)
    readings = Readings(tuple(readings_mm), tuple(other_section_mm), calibration.uncertainty)
    sets = [*counted_sets(crimp, without=corrects), readings]
    judgement = judge_sets(sets, specification.limits, policy)
    return Measurement(
        crimp=crimp,
        number=crimp.measurements.count() + 1,
        corrects=corrects,
        gauge=gauge,
        calibration=calibration,
        policy=policy,
        readings_nm=readings.section_nm,
        other_section_nm=readings.other_nm,
        mean=judgement.mean_mm,
        outcome=judgement.outcome.value,
        reasons=list(judgement.reasons),
    )


def _is_unmeasured_of_a_run(assembly: Assembly, crimp: Crimp) -> bool:
    """Whether other pieces are measured for it: then it may be measured itself at any time on the road."""
    return (
        assembly.state in ON_THE_ROAD
        and crimp.sampling == Sampling.BETWEEN
        and not crimp.measurements.exists()
    )


def _require_newest(assembly: Assembly, standing: Standing, crimp: Crimp) -> None:
    if standing.end(End(crimp.end)).crimp != crimp:
        raise NotTheNewestCrimp(assembly=assembly, end=crimp.end)


def _require_open(assembly: Assembly, crimp: Crimp) -> None:
    if assembly.state not in ON_THE_ROAD:
        raise TooLateToCorrect(assembly=assembly, state=assembly.get_state_display())
    decision = crimp.decisions.order_by("-entry").first()
    if decision is not None:
        words = f"decided about ({decision.get_kind_display()})"
        raise TooLateToCorrect(assembly=assembly, state=words)


def _require_second_person(actor: User, crimp: Crimp, correction: Measurement) -> None:
    newest = crimp.measurements.order_by("-number").first()
    assert newest is not None, "something is corrected"
    out_of_failed = newest.outcome == Outcome.FAIL and correction.outcome != Outcome.FAIL
    measured_by = {measurement.actor_number for measurement in crimp.measurements.select_related("entry")}
    if out_of_failed and actor.number in measured_by and policy_in_force().needs_second_person:
        raise NeedsSecondPerson(
            name=actor.name, did="measured this crimp", act="turn it from failed by correcting the readings"
        )
