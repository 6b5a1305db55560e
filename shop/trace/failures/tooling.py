"""The tools and gauges of an assembly: what was known of each that day, and what turned out since."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from shop.assemblies.models import Measurement, ProofTest
from shop.assemblies.wear import checks_of
from shop.ledger.models import Record
from shop.policy.services import get_workshop
from shop.tooling.models import (
    Calibration,
    Gauge,
    GaugeCheck,
    PressureCalibration,
    PressureGauge,
    ToolCheck,
    WornTool,
)
from shop.trace.dossier import AssemblyRecord, MadeCrimp


@dataclass(frozen=True)
class ToolThen:
    """A tool or a gauge: what it did, how it was known to be then, and what was found next.

    `in_doubt` if the next look at it found it not fit: then nobody knows since when.
    """

    tool: WornTool | Gauge | PressureGauge
    did: str
    then: str
    since: str
    in_doubt: bool


def tools_then(record: AssemblyRecord) -> tuple[ToolThen, ...]:
    """Every tool and gauge that made or proved it, each for what it did, in the order in which it did it."""
    return tuple(dict.fromkeys(_tools(record)))


def _tools(record: AssemblyRecord) -> Iterator[ToolThen]:
    for end in record.ends:
        for made in end.crimps:
            yield from _of_a_crimp(made)
    for inspected in record.inspections:
        it = inspected.record
        calibration = _in_force(it.gauge, it)
        yield _gauge(it.gauge, "measured the finished length", calibration, it)
    for tested in record.proof_tests:
        yield _pressure_gauge(tested.record)


def _of_a_crimp(made: MadeCrimp) -> Iterator[ToolThen]:
    crimp, set_up = made.written.record, made.set_up.record
    for tool in (set_up.crimper, set_up.die_set, set_up.stop_part):
        if tool is not None:
            yield _worn(tool, f"crimped {crimp.get_end_display()}", crimp)
    for measured in made.measurements:
        it: Measurement = measured.written.record
        yield _gauge(it.gauge, f"measured {crimp.get_end_display()}", it.calibration, it)


def _worn(tool: WornTool, did: str, at: Record) -> ToolThen:
    checks = checks_of(tool).select_related("entry")
    before = checks.filter(entry__lt=at.pk).order_by("-entry").first()
    after = checks.filter(entry__gt=at.pk).order_by("entry").first()
    return ToolThen(
        tool,
        did,
        "never looked at before" if before is None else _looked_at(before),
        "not looked at since" if after is None else _looked_at(after),
        in_doubt=after is not None and not after.passed,
    )


def _looked_at(check: ToolCheck) -> str:
    fit = "found fit" if check.passed else "found not fit"
    return f"{fit} on {_day(check.happened_at)}, after {check.uses} crimps"


def _gauge(gauge: Gauge, did: str, calibration: Calibration | None, at: Record) -> ToolThen:
    looks: list[Calibration | GaugeCheck] = [
        *gauge.calibrations.filter(entry__gt=at.pk).select_related("entry"),
        *gauge.checks.filter(entry__gt=at.pk).select_related("entry"),
    ]
    after = min(looks, key=lambda look: look.pk, default=None)
    return ToolThen(
        gauge,
        did,
        "not calibrated" if calibration is None else _calibrated(calibration),
        "not looked at since" if after is None else _right_or_not(after),
        in_doubt=after is not None and not after.passed,
    )


def _in_force(gauge: Gauge, at: Record) -> Calibration | None:
    return gauge.calibrations.filter(entry__lt=at.pk).order_by("-entry").first()


def _calibrated(calibration: Calibration | PressureCalibration) -> str:
    return f"calibrated on {calibration.done_on}, due again on {calibration.due_on}"


def _right_or_not(look: Calibration | GaugeCheck | PressureCalibration) -> str:
    day = _day(look.happened_at) if isinstance(look, GaugeCheck) else f"{look.done_on}"
    return f"{'found right' if look.passed else 'found wrong'} on {day}"


def _pressure_gauge(test: ProofTest) -> ToolThen:
    after = (
        test.gauge.calibrations.filter(entry__gt=test.pk).select_related("entry").order_by("entry").first()
    )
    return ToolThen(
        test.gauge,
        "told the proof pressure",
        _calibrated(test.calibration),
        "not calibrated since" if after is None else _right_or_not(after),
        in_doubt=after is not None and not after.passed,
    )


def _day(moment: datetime) -> str:
    return f"{moment.astimezone(get_workshop().zone_info):%Y-%m-%d}"
