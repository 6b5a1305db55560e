"""Recording an inspection."""

import datetime
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.inspection.findings import (
    NOTED,
    angle_wrong,
    length_wrong,
    not_seen,
    only_to_be_put_right,
)
from shop.assemblies.making.checks import require_calibrated
from shop.assemblies.models import Assembly, Inspection, ProofOutcome, ProofTest
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.occasion import Earlier, Occasion, occasion
from shop.assemblies.points import At, Job, asked_of, ticked_of
from shop.assemblies.refusals import (
    AngleNotMeasured,
    CorrectedAlready,
    GaugeTooCoarse,
    MeasureNotUsable,
    PinNotMeasured,
    PinTooThin,
    TooLateToCorrect,
)
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, require_step
from shop.assemblies.tolerances import finished_length_limits
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.engineering.errors import EngineeringError
from shop.engineering.gauge_pin import GaugePin, gauge_pin
from shop.engineering.numbers import plain, require_positive
from shop.engineering.tolerance import LengthLimits
from shop.orders.models import Resolution
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.policy.models import Policy
from shop.tooling.models import Gauge


@dataclass(frozen=True)
class Looked:
    """What somebody measured (mm, degrees), saw (codes of `INSPECTION_POINTS`) and found wrong."""

    finished_length_mm: Decimal
    angle_deg: int | None
    gauge: Gauge
    seen: Collection[str]
    faults: Sequence[str]
    pin_mm: Decimal | None = None


def inspect(
    *,
    actor: User,
    assembly: Assembly,
    finished_length_mm: Decimal,
    angle_deg: int | None,
    gauge: Gauge,
    seen: Collection[str],
    faults: Sequence[str],
    pin_mm: Decimal | None = None,
    earlier: Earlier | None = None,
) -> Inspection:
    """Record what was seen (codes of `INSPECTION_POINTS`), found wrong and measured (mm, degrees).

    `pin_mm` is the diameter of the pin that was put through the bore, if one was.

    It passes if every point that is asked was seen, no fault was found, and length and angle are within
    tolerance. Raises `NotTheNextStep`, `HappenedTooEarly` for an `earlier` one, `NotAuthorised`,
    `GaugeOutOfCalibration`, `GaugeTooCoarse`, `AngleNotMeasured`, `MeasureNotUsable`, `NoLengthTolerance`,
    `PinNotMeasured`, `PinTooThin`, `NotAPoint`, and `NeedsSecondPerson` if who crimped it, or tested it too
    high, would pass it (rule 8).
    """
    on = occasion(actor, earlier)
    on.require(Permission.INSPECT)
    with working_on(assembly):
        require_step(assembly, Step.INSPECT)
        on.require_after(assembly)
        return _look_at(on, assembly, Looked(finished_length_mm, angle_deg, gauge, seen, faults, pin_mm))


def correct_inspection(
    *,
    actor: User,
    inspection: Inspection,
    finished_length_mm: Decimal,
    angle_deg: int | None,
    gauge: Gauge,
    seen: Collection[str],
    faults: Sequence[str],
    pin_mm: Decimal | None = None,
) -> Inspection:
    """Inspect anew, with the assembly in hand, in place of an inspection that was recorded wrong; that stays.

    A tag that was made since is made again. Raises what `inspect` raises, `CorrectedAlready`, and
    `TooLateToCorrect` if it was crimped or inspected since, or has left the bench.
    """
    on = occasion(actor, None)
    on.require(Permission.INSPECT)
    assembly = inspection.assembly
    with working_on(assembly):
        if Inspection.objects.filter(corrects=inspection).exists():
            raise CorrectedAlready
        if assembly.state not in ON_THE_ROAD:
            raise TooLateToCorrect(assembly=assembly, state=assembly.get_state_display())
        if assembly.inspections.filter(entry__gt=inspection.pk).exists():
            raise TooLateToCorrect(assembly=assembly, state="inspected again")
        if assembly.crimps.filter(entry__gt=inspection.pk).exists():
            raise TooLateToCorrect(assembly=assembly, state="crimped again")
        looked = Looked(finished_length_mm, angle_deg, gauge, seen, faults, pin_mm)
        return _look_at(on, assembly, looked, corrects=inspection)


def _look_at(
    on: Occasion, assembly: Assembly, looked: Looked, corrects: Inspection | None = None
) -> Inspection:
    require_authority(on.by, AuthorisedStep.INSPECT, assembly.series, on=on.day)
    policy, resolution = on.policy, assembly.resolution
    job = Job(assembly, policy)
    ticked = ticked_of(At.INSPECT, job, looked.seen)
    limits = finished_length_limits(resolution, policy)
    _require_fine_enough(looked.gauge, limits, policy, on.day)
    noted = [fault.strip() for fault in looked.faults if fault.strip()]
    wrong = [
        *length_wrong(_require_length(looked.finished_length_mm), limits),
        *_angle_wrong(looked.angle_deg, resolution),
        *(not_seen(point, job) for point in asked_of(At.INSPECT, job) if point.code not in ticked),
        *([NOTED] if noted else []),
    ]
    is_pinned = looked.pin_mm is not None or "bore_pin" in ticked
    pin = _pin_that_shows(looked.pin_mm, resolution) if is_pinned else None
    by_hand = (*assembly.crimps.select_related("entry"), *_to_be_cleared(assembly))
    inspection = Inspection(
        assembly=assembly,
        number=assembly.inspections.count() + 1,
        corrects=corrects,
        passed=not wrong,
        finished_length=looked.finished_length_mm,
        length_lower=limits.lower_mm,
        length_upper=limits.upper_mm,
        angle_deg=looked.angle_deg,
        gauge=looked.gauge,
        pin=looked.pin_mm,
        pin_least=None if pin is None else pin.least_mm,
        seen=ticked,
        faults=wrong,
        independently_checked=on.by.number not in {record.actor_number for record in by_hand},
    )
    if inspection.passed and policy.needs_second_person:
        _require_second_person(on.by, inspection)
    on.write(verb=verbs.INSPECTED, record=inspection, subject=assembly, private={"faults": "\n".join(noted)})
    settle(assembly)
    return inspection


def _to_be_cleared(assembly: Assembly) -> QuerySet[ProofTest]:
    """Tests that went too high: who made one doesn't say afterwards that the assembly is right."""
    return assembly.proof_tests.filter(outcome=ProofOutcome.OVER).select_related("entry")


def _require_fine_enough(gauge: Gauge, limits: LengthLimits, policy: Policy, day: datetime.date) -> None:
    """Raise unless the tape is calibrated, and fine enough for the length's tolerance (rule 5).

    A length is accepted plainly at its limits, so the policy's share of half the tolerance is asked for
    whatever rule it has for crimps.
    """
    calibration = require_calibrated(gauge, day)
    most = policy.gauge_share * (limits.upper_mm - limits.lower_mm) / 2
    if calibration.expanded_uncertainty > most:
        raise GaugeTooCoarse(
            gauge=gauge,
            why=f"Its expanded uncertainty is {plain(calibration.expanded_uncertainty)} mm; for "
            f"{plain(limits.lower_mm)} to {plain(limits.upper_mm)} mm it may be {plain(most)} mm. "
            "Take a finer one.",
        )


def bore_pin(resolution: Resolution) -> GaugePin:
    """The pin that shows that no bore of the assembly is narrowed too far; fittings count as far as known."""
    return gauge_pin(resolution.hose.bore, resolution.fitting_a.bore, resolution.fitting_b.bore)


def _pin_that_shows(pin_mm: Decimal | None, resolution: Resolution) -> GaugePin:
    """What a pin has to be that went through. Raises `PinNotMeasured`, `PinTooThin`, `MeasureNotUsable`."""
    pin = bore_pin(resolution)
    least = plain(pin.least_mm)
    if pin_mm is None:
        raise PinNotMeasured(least=least, narrowest=pin.narrowest)
    try:
        shows = pin.shows(pin_mm)
    except EngineeringError as error:
        raise MeasureNotUsable(why=str(error)) from error
    if not shows:
        raise PinTooThin(pin=plain(pin_mm), least=least, narrowest=pin.narrowest)
    return pin


def _require_length(finished_mm: Decimal) -> Decimal:
    try:
        return require_positive(finished_mm, "finished length", "mm")
    except EngineeringError as error:
        raise MeasureNotUsable(why=str(error)) from error


def _angle_wrong(angle_deg: int | None, resolution: Resolution) -> list[str]:
    if resolution.angle_deg is None:
        return []
    if angle_deg is None:
        raise AngleNotMeasured(wanted=resolution.angle_deg)
    try:
        return angle_wrong(Decimal(angle_deg), resolution)
    except EngineeringError as error:
        raise MeasureNotUsable(why=str(error)) from error


def _require_second_person(actor: User, inspection: Inspection) -> None:
    """Refuse who crimped it, and who would turn an own failed inspection, be it the last or not, to passed.

    What only had to be put right (cleaned, capped) may be shown to the same person again.
    """
    if not inspection.independently_checked:
        raise NeedsSecondPerson(name=actor.name, did="crimped or tested this assembly", act="pass it")
    newest_crimp = inspection.assembly.crimps.order_by("-entry").first()
    assert newest_crimp is not None, "what is inspected is crimped"
    since = inspection.assembly.inspections.filter(entry__gt=newest_crimp.entry_id, passed=False)
    for before in since.select_related("entry"):
        if before.actor_number == actor.number and not only_to_be_put_right(before):
            raise NeedsSecondPerson(name=actor.name, did="found this assembly not right", act="pass it")
