"""The proof test: a finished assembly stands proof pressure, or it is scrap (rule 7)."""

import datetime
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import require_parts_stand, resolved_today
from shop.assemblies.making.checks import require_usable
from shop.assemblies.models import Assembly, ProofFluid, ProofOutcome, ProofTest, State
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.occasion import Earlier, Occasion, occasion
from shop.assemblies.points import At, Job, asked_of, points_at, ticked_of
from shop.assemblies.refusals import (
    AdaptorsTooWeak,
    BelowProofPressure,
    BothWays,
    CorrectedAlready,
    CurveDamaged,
    CurveNotUsable,
    CurveSaysOtherwise,
    GasForTest,
    GaugeOutOfCalibration,
    HeldTooShort,
    ImplausiblePeak,
    NotLookedAtAfterTest,
    NotReadyForTest,
    PressureGaugeUnfit,
    ProofTestStands,
    TooLateToCorrect,
)
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, next_step, require_step
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.core.kept import Shelf
from shop.core.refusals import Doubt
from shop.engineering.errors import EngineeringError
from shop.engineering.numbers import plain
from shop.engineering.pressures import Pressure, PressureUnit, exceeds, lowest
from shop.engineering.proof_test import PressureCurve, highest_allowed, pressure_gauge_fits, read_curve
from shop.orders.models import Resolution
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.tooling.models import PressureCalibration, PressureGauge

CURVES = Shelf("curves", ".csv")
READY: dict[str, str] = {point.code: point.words for point in points_at(At.BEFORE_TEST)}
FOUND: dict[str, str] = {
    "leak": "It leaked.",
    "slip": "The line at a ferrule moved: the fitting slips.",
    "burst": "It burst, bulged or was damaged.",
}
SEEN: dict[str, str] = {point.code: point.words for point in points_at(At.AFTER_TEST)}
# What can't be ticked together.
AGAINST = {"leak": "dry", "slip": "line_unmoved", "burst": "undamaged"}
# Beyond these the curve is asked about; common practice, no source.
PEAK_OFF = Fraction(2, 100)  # of proof pressure
HOLD_OFF_S = 2


@dataclass(frozen=True)
class Limits:
    """What a test has to reach, and what it may."""

    required: Pressure
    highest: Pressure
    hold_s: int


@dataclass(frozen=True)
class Observed:
    """What somebody did and saw at a test. `found` is what was wrong, `words` are a note in their own.

    Seconds are whole; `curve` is the text of a test bench's CSV, or empty.
    """

    fluid: ProofFluid
    adaptors: Pressure
    ready: Collection[str]
    raised_in_s: int
    peak: Pressure
    held_s: int
    found: Collection[str] = ()
    seen: Collection[str] = ()
    words: str = ""
    curve: str = ""


def proof_limits(resolution: Resolution, policy: Policy) -> Limits:
    """Proof pressure as confirmed, and how far above it and how long by the policy."""
    required = resolution.proof
    return Limits(required, highest_allowed(required, Decimal(policy.over_percent)), policy.hold_s)


def require_pressure_gauge(
    gauge: PressureGauge, resolution: Resolution, policy: Policy, day: datetime.date
) -> PressureCalibration:
    """Its calibration, if it may tell the test of such an assembly that day (rule 5).

    Raises `ToolBlocked`, `GaugeOutOfCalibration`, `PressureGaugeUnfit`.
    """
    require_usable(gauge)
    calibration = gauge.calibration_on(day)
    if calibration is None:
        newest = gauge.calibration
        why = "it was never calibrated"
        if newest is not None:
            why = f"it was due on {newest.due_on}" if newest.passed else "it was found unfit for use"
        raise GaugeOutOfCalibration(gauge=gauge, why=why)
    limits = proof_limits(resolution, policy)
    fit = pressure_gauge_fits(
        gauge.end_of_scale, calibration.expanded, limits.required, limits.highest, policy.gauge_share
    )
    if not fit.fits:
        raise PressureGaugeUnfit(gauge=gauge, why=fit.why)
    return calibration


def prove_assembly(
    *,
    actor: User,
    assembly: Assembly,
    gauge: PressureGauge,
    observed: Observed,
    sure: frozenset[str] = frozenset(),
    earlier: Earlier | None = None,
) -> ProofTest:
    """Record a proof test: passed, held since it went too high, or failed, which is scrap.

    What stayed below proof pressure or was held too short is no test, and is refused. Of a curve and what
    was typed the worse counts. Raises `NotTheNextStep`, `HappenedTooEarly` for an `earlier` one, the
    refusals of `refusals.testing`, and its doubts if their codes are not in `sure`.
    """
    on = occasion(actor, earlier)
    on.require(Permission.MAKE)
    with working_on(assembly):
        require_step(assembly, Step.TEST)
        on.require_after(assembly)
        return _prove(on, assembly, gauge, observed, sure)


def correct_proof_test(
    *,
    actor: User,
    test: ProofTest,
    gauge: PressureGauge,
    observed: Observed,
    sure: frozenset[str] = frozenset(),
) -> ProofTest:
    """Test anew, in place of a test that was recorded wrong; that stays.

    Only one that stands as passed: what failed is scrap, what went too high is inspected by somebody else.
    Raises what `prove_assembly` raises, `CorrectedAlready`, `TooLateToCorrect`, `ProofTestStands`.
    """
    on = occasion(actor, None)
    on.require(Permission.MAKE)
    assembly = test.assembly
    with working_on(assembly):
        if ProofTest.objects.filter(corrects=test).exists():
            raise CorrectedAlready
        if assembly.state not in ON_THE_ROAD:
            raise TooLateToCorrect(assembly=assembly, state=assembly.get_state_display())
        if assembly.proof_tests.filter(entry__gt=test.pk).exists():
            raise TooLateToCorrect(assembly=assembly, state="tested again")
        if assembly.state not in (State.TESTED, State.TAGGED):
            raise ProofTestStands(assembly=assembly, next=next_step(assembly).words)
        return _prove(on, assembly, gauge, observed, sure, corrects=test)


def _prove(
    on: Occasion,
    assembly: Assembly,
    gauge: PressureGauge,
    observed: Observed,
    sure: frozenset[str],
    corrects: ProofTest | None = None,
) -> ProofTest:
    require_authority(on.by, AuthorisedStep.TEST, assembly.series, on=on.day)
    now = resolved_today(assembly, on.day)
    require_parts_stand(assembly, now)
    resolution, policy = assembly.resolution, now.policy
    calibration = require_pressure_gauge(gauge, resolution, policy, now.day)
    limits = proof_limits(resolution, policy)
    job = Job(assembly, policy)
    _require_ready(observed, limits)
    curve = _curve_of(observed)
    outcome = _outcome(observed, curve, limits, job, sure)
    content = observed.curve.encode()
    test = ProofTest(
        assembly=assembly,
        number=assembly.proof_tests.count() + 1,
        corrects=corrects,
        policy=policy,
        gauge=gauge,
        calibration=calibration,
        required=plain(limits.required.value),
        highest=plain(limits.highest.value),
        unit=limits.required.unit.value,
        hold_s=limits.hold_s,
        fluid=observed.fluid,
        adaptors=plain(observed.adaptors.value),
        adaptors_unit=observed.adaptors.unit.value,
        ready=[code for code in READY if code in observed.ready],
        raised_in_s=observed.raised_in_s,
        peak=plain(observed.peak.value),
        peak_unit=observed.peak.unit.value,
        held_s=observed.held_s,
        found=[code for code in FOUND if code in observed.found],
        seen=ticked_of(At.AFTER_TEST, job, observed.seen),
        outcome=outcome,
        curve_sha256=CURVES.keep(content) if curve else "",
        curve_size=len(content) if curve else None,
    )
    on.write(verb=verbs.TESTED, record=test, subject=assembly, private={"words": observed.words.strip()})
    settle(assembly)
    return test


def damage_of_curve(test: ProofTest) -> str:
    """'missing' or 'not what was kept'; empty if the kept curve is as it was."""
    assert test.curve_size is not None, "the test has a curve"
    return CURVES.damage_of(test.curve_sha256, test.curve_size)


def kept_curve(test: ProofTest) -> bytes:
    """The curve's lines as they came. Raises `CurveDamaged` if they are gone or changed."""
    damage = damage_of_curve(test)
    if damage:
        raise CurveDamaged(test=test, damage=damage)
    return CURVES.path(test.curve_sha256).read_bytes()


def _require_ready(observed: Observed, limits: Limits) -> None:
    if observed.fluid == ProofFluid.GAS:
        raise GasForTest
    if exceeds(limits.highest, observed.adaptors):
        raise AdaptorsTooWeak(adaptors=observed.adaptors, highest=limits.highest)
    missing = [words for code, words in READY.items() if code not in observed.ready]
    if missing:
        raise NotReadyForTest(missing=" ".join(missing))


def _curve_of(observed: Observed) -> PressureCurve | None:
    if not observed.curve.strip():
        return None
    try:
        return read_curve(observed.curve)
    except EngineeringError as error:
        raise CurveNotUsable(why=str(error)) from error


def _outcome(
    observed: Observed,
    curve: PressureCurve | None,
    limits: Limits,
    job: Job,
    sure: frozenset[str],
) -> ProofOutcome:
    """What was found wrong comes first: it failed, however high and long it was pumped."""
    for wrong, right in AGAINST.items():
        if wrong in observed.found and right in observed.seen:
            raise BothWays(wrong=FOUND[wrong], right=SEEN[right])
    if observed.found:
        return ProofOutcome.FAILED
    asked = asked_of(At.AFTER_TEST, job)
    missing = [point.words_for(job) for point in asked if point.code not in observed.seen]
    if missing:
        raise NotLookedAtAfterTest(missing=" ".join(missing))
    for doubt in _doubts(observed, curve, limits, job.ordered):
        if doubt.code not in sure:
            raise doubt
    peaks = [observed.peak, *([curve.peak] if curve else [])]
    if exceeds(limits.required, lowest(peaks)):
        raise BelowProofPressure(peak=lowest(peaks), required=limits.required, highest=limits.highest)
    held = min([Decimal(observed.held_s), *([curve.held_s(limits.required)] if curve else [])])
    if held < limits.hold_s:
        raise HeldTooShort(held=plain(held), wanted=limits.hold_s)
    is_over = any(exceeds(peak, limits.highest) for peak in peaks)
    return ProofOutcome.OVER if is_over else ProofOutcome.PASSED


def _doubts(
    observed: Observed, curve: PressureCurve | None, limits: Limits, resolution: Resolution
) -> Iterator[Doubt]:
    if resolution.burst_value is not None:
        burst = Pressure(Decimal(resolution.burst_value), PressureUnit(resolution.rating_unit))
        if exceeds(observed.peak, burst):
            yield ImplausiblePeak(peak=observed.peak, burst=burst)
    if curve is None:
        return
    held_s = curve.held_s(limits.required)
    if abs(curve.peak.exact_pascals - observed.peak.exact_pascals) > limits.required.exact_pascals * PEAK_OFF:
        yield CurveSaysOtherwise(curve=f"a peak of {curve.peak}", typed=observed.peak)
    elif abs(held_s - observed.held_s) > HOLD_OFF_S:
        yield CurveSaysOtherwise(curve=f"held for {plain(held_s)} s", typed=f"{observed.held_s} s")
