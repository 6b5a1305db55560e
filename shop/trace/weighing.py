"""What still stands when a gauge was wrong: its readings judged anew with its error allowed for.

An error as found is the largest; where in its range a reading was, and how far the gauge had drifted by
then, nobody knows. So a reading may be off by anything from nought to that error, and stands only if it
does at both ends of that: what is right at two values is right between them, since limits have no gaps.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Exists, OuterRef, QuerySet

from shop.assemblies.judging import Readings, judge_sets
from shop.assemblies.models import Assembly, Crimp, Inspection, Measurement, ProofOutcome, ProofTest
from shop.engineering.crimp import Outcome
from shop.engineering.pressures import Pressure, PressureUnit, exceeds
from shop.tooling.models import Calibration, Gauge, GaugeCheck, PressureCalibration, PressureGauge
from shop.trace.judged import counted_with
from shop.trace.made_with import (
    measured_with,
    span_before_fault,
    span_before_pressure_fault,
    tested_with,
    used_within,
)
from shop.trace.suspicion import resting_on


@dataclass(frozen=True)
class Weighed:
    """Assemblies (their keys) that rest on a gauge: those right in spite of its error, and the others."""

    proven: frozenset[int]
    in_question: frozenset[int]

    def standing(self) -> QuerySet[Assembly]:
        """Those that are right in spite of it."""
        return Assembly.objects.filter(pk__in=self.proven)

    def doubtful(self) -> QuerySet[Assembly]:
        """Those of which nobody knows any more."""
        return Assembly.objects.filter(pk__in=self.in_question)


def weigh(gauge: Gauge, fault: Calibration | GaugeCheck) -> Weighed:
    """What rests on the gauge in the span before the fault, judged anew."""
    span = span_before_fault(fault, gauge)
    readings = used_within(Measurement, "gauge", gauge, span)
    inspections = used_within(Inspection, "gauge", gauge, span)
    shifts = shifts_of(fault)
    wrong = set(_wrong_crimps(readings, shifts)) | set(_wrong_lengths(inspections, shifts))
    return _weighed(measured_with(gauge, span), wrong)


def weigh_tests(gauge: PressureGauge, fault: PressureCalibration) -> Weighed:
    """The tests told by the gauge in the span before the fault: proof pressure still reached, and no more."""
    span = span_before_pressure_fault(fault, gauge)
    tests = used_within(ProofTest, "gauge", gauge, span)
    error = Decimal(fault.error_as_found)
    unit = PressureUnit(fault.unit)
    wrong = {test.assembly_id for test in tests if not _still_proves(test, _shifts(error), unit)}
    return _weighed(tested_with(gauge, span), wrong)


def shifts_of(fault: Calibration | GaugeCheck) -> tuple[Decimal, ...]:
    """What may have to be added to a reading (mm) to come to what it was.

    A certificate's largest error is often typed without its sign: if it has no minus, both are tried.
    """
    if isinstance(fault, GaugeCheck):
        return Decimal(0), fault.nominal - fault.reading
    return _shifts(fault.error_as_found)


def _shifts(error: Decimal) -> tuple[Decimal, ...]:
    return (Decimal(0), -error) if error < 0 else (Decimal(0), -error, error)


def _weighed(touched: QuerySet[Assembly], wrong: set[int]) -> Weighed:
    keys = set(touched.order_by().values_list("pk", flat=True))
    return Weighed(frozenset(keys - wrong), frozenset(keys & wrong))


def _wrong_crimps(readings: QuerySet[Measurement], shifts: Sequence[Decimal]) -> Iterator[int]:
    """The assemblies of which an end isn't proven any more, by readings of which some are these."""
    doubted = set(readings.values_list("pk", flat=True))
    crimps = _with_what_proves_them(_newest_of_their_ends(Crimp.objects.filter(pk__in=resting_on(readings))))
    beside = {
        measurement.crimp_id
        for crimp in crimps
        for coverage in crimp.coverages.all()
        for measurement in (coverage.before, coverage.after)
        if measurement is not None
    }
    measured = [crimp for crimp in crimps if crimp.measurements.all()]
    measured += _with_what_proves_them(Crimp.objects.filter(pk__in=beside - {one.pk for one in measured}))
    right = {crimp.pk for crimp in measured if _is_right(crimp, doubted, shifts)}
    for crimp in crimps:
        if crimp.pk not in right and not _is_covered(crimp, right):
            yield crimp.assembly_id


def _newest_of_their_ends(crimps: QuerySet[Crimp]) -> QuerySet[Crimp]:
    """Without those that another crimp followed on the same end: they say nothing any more."""
    later = Crimp.objects.filter(
        assembly=OuterRef("assembly"), end=OuterRef("end"), attempt__gt=OuterRef("attempt")
    )
    return crimps.filter(~Exists(later))


def _with_what_proves_them(crimps: QuerySet[Crimp]) -> list[Crimp]:
    return list(
        crimps.select_related("specification").prefetch_related(
            "measurements__calibration__gauge",
            "measurements__policy",
            "coverages__before",
            "coverages__after",
        )
    )


def _is_right(crimp: Crimp, doubted: Collection[int], shifts: Sequence[Decimal]) -> bool:
    """Whether its own readings prove it whatever those in doubt were off by."""
    sets = sorted(crimp.measurements.all(), key=lambda measurement: measurement.number)
    counted = counted_with(sets[-1], sets)
    return all(
        judge_sets(
            [_shifted(one, shift if one.pk in doubted else Decimal(0)) for one in counted],
            crimp.specification.limits,
            sets[-1].policy,
        ).outcome
        is Outcome.PASS
        for shift in shifts
    )


def _shifted(measurement: Measurement, shift: Decimal) -> Readings:
    return Readings(
        [reading + shift for reading in measurement.readings_mm],
        [reading + shift for reading in measurement.other_section_mm],
        measurement.calibration.uncertainty,
    )


def _is_covered(crimp: Crimp, right: Collection[int]) -> bool:
    """Whether it was not measured itself, and what covers it still stands."""
    newest = max(crimp.coverages.all(), key=lambda coverage: coverage.pk, default=None)
    if crimp.measurements.all() or newest is None or not newest.covered:
        return False
    return all(one.crimp_id in right for one in (newest.before, newest.after) if one is not None)


def _wrong_lengths(inspections: QuerySet[Inspection], shifts: Sequence[Decimal]) -> Iterator[int]:
    """The assemblies whose newest inspection said that the length is right, which nobody knows any more."""
    newer = Inspection.objects.filter(assembly=OuterRef("assembly"), number__gt=OuterRef("number"))
    for one in inspections.filter(~Exists(newer)):
        lengths = [one.finished_length + shift for shift in shifts]
        if not one.length_lower <= min(lengths) <= max(lengths) <= one.length_upper:
            yield one.assembly_id


def _still_proves(test: ProofTest, shifts: Sequence[Decimal], unit: PressureUnit) -> bool:
    """Whether proof pressure was reached, and the highest allowed not passed, whatever it was off by."""
    peak = test.peak_pressure.in_unit(unit)
    peaks = [Pressure(peak + shift, unit) for shift in shifts]
    return test.outcome == ProofOutcome.PASSED and not any(
        exceeds(test.required_pressure, peak) or exceeds(peak, test.highest_pressure) for peak in peaks
    )
