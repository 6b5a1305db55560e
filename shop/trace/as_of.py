"""What was known of an assembly, and of what it was made with, at the end of a past day, beside now.

Two times count: what happened by then but was written down later was not known. Pure reading: the queries
grow with the faults of the gauges that judged the assembly, and with nothing else.
"""

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from django.db.models import Model

from shop.assemblies.models import Crimp, LotCorrection, Measurement, ProofTest
from shop.catalogue.models import ChartIssue
from shop.ledger.facts import subject_of
from shop.ledger.models import Entry, Record
from shop.policy.services import get_workshop
from shop.stock.models import Lot, LotCondemnation
from shop.tooling.models import Tool
from shop.trace.dossier import AssemblyRecord, MadeCrimp, MadeEnd
from shop.trace.made_with import (
    faults_of,
    pressure_faults_of,
    span_before_fault,
    span_before_pressure_fault,
    within,
)
from shop.trace.models import FailureFinding, Verdict
from shop.trace.story import Told

NOT_YET = "nothing known"


@dataclass(frozen=True)
class Compared:
    """One thing as it was known then and as it is known now."""

    what: str
    then: str
    now: str

    @property
    def differs(self) -> bool:
        """Whether it was another one then."""
        return self.then != self.now


@dataclass(frozen=True)
class AsOf:
    """An assembly at the end of a day. `written_later` happened by then and was not on record yet."""

    day: datetime.date
    compared: tuple[Compared, ...]
    written_later: tuple[Told, ...]


def end_of(day: datetime.date) -> datetime.datetime:
    """The last moment of the day in the workshop's zone."""
    return datetime.datetime.combine(day, datetime.time.max, tzinfo=get_workshop().zone_info)


def day_of(moment: datetime.datetime) -> datetime.date:
    """The day that it was in the workshop's zone."""
    return moment.astimezone(get_workshop().zone_info).date()


def assembly_as_of(record: AssemblyRecord, day: datetime.date) -> AsOf:
    """What of the record was known at the end of that day, beside now."""
    moment = end_of(day)
    then, now = _Known(record, moment), _Known(record, None)
    rows = zip(then.rows(), now.rows(), strict=True)
    return AsOf(
        day=day,
        compared=tuple(Compared(what, before, after) for (what, before), (_, after) in rows),
        written_later=tuple(told for told in _acts(record) if told.happened_at <= moment < told.recorded_at),
    )


def columns_as_of(
    rows: Iterable[Model], columns: Sequence[str], moment: datetime.datetime
) -> dict[str, dict[str, Any]]:
    """Columns of rows that may change, as they were at that moment: by subject, from what the ledger notes.

    A row of which nothing was noted by then is left out: it was not there yet. In one query.
    """
    subjects = [subject_of(row) for row in rows]
    entries = Entry.objects.filter(subject__in=subjects, recorded_at__lte=moment).order_by("pk")
    found: dict[str, dict[str, Any]] = {}
    for subject, facts in ((entry.subject, entry.told) for entry in entries):
        after = facts.get("after")
        if isinstance(after, dict):
            there = found.setdefault(subject, dict.fromkeys(columns))
            there.update({column: after[column] for column in columns if column in after})
    return found


class _Known:
    """What was known at a moment; None is now."""

    def __init__(self, record: AssemblyRecord, moment: datetime.datetime | None) -> None:
        self.record, self.moment = record, moment
        crimps = [crimp for end in record.ends for crimp in end.crimps]
        lots = {lot.pk for crimp in crimps for lot in _lots_in(crimp)}
        if record.cut is not None:
            lots.add(record.cut.record.movement.piece.lot_id)
        self.condemned = {
            one.lot_id
            for one in LotCondemnation.objects.filter(lot__in=lots).select_related("entry")
            if self.has(one)
        }
        charts = {crimp.written.record.specification.chart_issue.chart_id for crimp in crimps}
        self.issues = list(
            ChartIssue.objects.filter(chart__in=charts)
            .select_related("entry", "withdrawal__entry")
            .order_by("effective_from", "entry")
        )
        every = [tool for crimp in crimps for tool in _tools_of(crimp)]
        self.blocked: Mapping[str, Any] = {subject_of(tool): tool.blocked_because for tool in every}
        if moment is not None:
            noted = columns_as_of(every, ["blocked_because"], moment)
            self.blocked = {subject: there["blocked_because"] for subject, there in noted.items()}

    def has(self, record: Record) -> bool:
        """Whether it was on record by then."""
        return self.moment is None or record.recorded_at <= self.moment

    def rows(self) -> Iterator[tuple[str, str]]:
        """Each thing with what was known of it."""
        acts = [told for told in _acts(self.record) if self.moment is None or told.recorded_at <= self.moment]
        yield "Last on record", acts[-1].entry.says if acts else NOT_YET
        yield "Hose", self._hose()
        for end in self.record.ends:
            made = next((one for one in reversed(end.crimps) if self.has(one.written.record)), None)
            yield from self._end(end, made)
        yield "Proof test told by", self._tests()
        yield "Recalls", self._recalls()
        yield "Failed in service", self._failed()

    def _hose(self) -> str:
        cut = self.record.cut
        return self._lot(cut.record.movement.piece.lot) if cut and self.has(cut.record) else NOT_YET

    def _end(self, end: MadeEnd, made: MadeCrimp | None) -> Iterator[tuple[str, str]]:
        where = end.end.label
        yield f"Parts of {where}", NOT_YET if made is None else self._parts(made)
        yield f"Chart of {where}", NOT_YET if made is None else self._chart(made)
        yield f"Tools of {where}", NOT_YET if made is None else self._tools(made)
        yield f"Gauge of {where}", NOT_YET if made is None else self._gauges(made)

    def _lot(self, lot: Lot) -> str:
        return f"{lot}, condemned" if lot.pk in self.condemned else str(lot)

    def _parts(self, made: MadeCrimp) -> str:
        named = made.written.record
        said = self._both(named)
        for written, _ in made.lot_corrections:
            if self.has(written.record):
                said = f"{said}; corrected to {self._both(written.record)}"
        return said

    def _both(self, named: Crimp | LotCorrection) -> str:
        lots = [lot for lot in (named.fitting_lot, named.ferrule_lot) if lot is not None]
        return " and ".join(self._lot(lot) for lot in lots)

    def _chart(self, made: MadeCrimp) -> str:
        issue = made.written.record.specification.chart_issue
        day = None if self.moment is None else self.moment.date()
        later = [
            one
            for one in self.issues
            if one.chart_id == issue.chart_id
            and (one.effective_from, one.pk) > (issue.effective_from, issue.pk)
            and self.has(one)
            and (day is None or one.effective_from <= day)
        ]
        known = next(one for one in self.issues if one.pk == issue.pk)
        withdrawal = getattr(known, "withdrawal", None)
        if withdrawal is not None and self.has(withdrawal):
            return f"{issue}, withdrawn"
        return f"{issue}, replaced by issue {later[-1].issue}" if later else f"{issue}, in force"

    def _tools(self, made: MadeCrimp) -> str:
        return "; ".join(
            f"{tool}, not to be used: {because}"
            if (because := self.blocked.get(subject_of(tool)))
            else f"{tool}, usable"
            for tool in _tools_of(made)
        )

    def _gauges(self, made: MadeCrimp) -> str:
        known = [one.written.record for one in made.measurements if self.has(one.written.record)]
        if not known:
            return "measured by its run" if made.coverages else NOT_YET
        gauge = known[-1].gauge
        readings = Measurement.objects.filter(pk__in=[one.pk for one in known if one.gauge_id == gauge.pk])
        for fault, says in faults_of(gauge):
            if self.has(fault) and within(readings, span_before_fault(fault, gauge)).exists():
                return f"{gauge}: in question. {says}"
        return f"{gauge}, right as far as known"

    def _tests(self) -> str:
        known = [test.record for test in self.record.proof_tests if self.has(test.record)]
        if not known:
            return NOT_YET
        gauge = known[-1].gauge
        tests = ProofTest.objects.filter(pk=known[-1].pk)
        for fault, says in pressure_faults_of(gauge):
            if self.has(fault) and within(tests, span_before_pressure_fault(fault, gauge)).exists():
                return f"{gauge}: in question. {says}"
        return f"{gauge}, right as far as known"

    def _recalls(self) -> str:
        known = [one for one in self.record.recalls if self.has(one.written.record)]
        said = []
        for one in known:
            found = [
                finding
                for finding in one.findings
                if self.moment is None or finding.told.recorded_at <= self.moment
            ]
            newest = found[-1].what if found else "nothing found yet"
            said.append(f"{one.written.record}: {newest}")
        return "; ".join(said) or "none"

    def _failed(self) -> str:
        findings = FailureFinding.objects.filter(report__assembly=self.record.assembly)
        newest: dict[int, FailureFinding] = {}
        for finding in findings.select_related("entry").order_by("entry"):
            if self.has(finding):
                newest[finding.report_id] = finding
        failed = [finding for finding in newest.values() if finding.verdict == Verdict.FAILED]
        return "; ".join(finding.get_mode_display() for finding in failed) or "not that anybody found"


def _acts(record: AssemblyRecord) -> list[Told]:
    """What was done to the assembly itself, in the order in which it was recorded."""
    single = [one.told for one in (record.cut, record.release, record.shipment) if one is not None]
    crimps = [crimp for end in record.ends for crimp in end.crimps]
    several = chain(
        (crimp.written.told for crimp in crimps),
        (one.written.told for crimp in crimps for one in crimp.measurements),
        (one.told for one in record.inspections),
        (one.told for one in record.proof_tests),
        (one.told for one in record.tags),
        (one.told for one in record.decisions),
        [] if record.retirement is None else [record.retirement.told],
    )
    return sorted([*single, *several], key=lambda told: told.entry.pk)


def _lots_in(made: MadeCrimp) -> Iterator[Lot]:
    every: list[Crimp | LotCorrection] = [made.written.record]
    for named in [*every, *(written.record for written, _ in made.lot_corrections)]:
        yield from (lot for lot in (named.fitting_lot, named.ferrule_lot) if lot is not None)


def _tools_of(made: MadeCrimp) -> list[Tool]:
    set_up = made.set_up.record
    return [tool for tool in (set_up.crimper, set_up.die_set, set_up.stop_part) if tool is not None]
