"""What was in force in the workshop on a past day, as it was known at its end, beside today."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Model, QuerySet

from shop.authority.models import Authority
from shop.catalogue.models import ChartIssue, ChartWithdrawal, CrimpChart
from shop.ledger.facts import subject_of
from shop.policy.models import Policy
from shop.policy.services import today
from shop.tooling.models import Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.as_of import Compared, columns_as_of, day_of, end_of

NOT_THERE = "not in the book"
NOTHING = "none in force"


@dataclass(frozen=True)
class Compare:
    """Things of one kind: those that stood otherwise, and how many stood as they do today."""

    title: str
    changed: tuple[Compared, ...]
    unchanged: int


def workshop_as_of(day: datetime.date) -> list[Compare]:
    """Policy, charts, gauges, authorities and tools on that day, in a fixed number of queries."""
    then, now = Book(day, end_of(day)), Book(today(), None)
    charts = CrimpChart.objects.all()
    gauges, pressure_gauges = Gauge.objects.all(), PressureGauge.objects.all()
    tools = Crimper.objects.all(), DieSet.objects.all(), StopPart.objects.all()
    return [
        _compare("Policy", then.policy(), now.policy()),
        _compare("Crimp charts", then.charts(charts), now.charts(charts)),
        _compare("Gauges", then.gauges(gauges), now.gauges(gauges)),
        _compare("Pressure gauges", then.gauges(pressure_gauges), now.gauges(pressure_gauges)),
        _compare("Authorities", then.authorities(), now.authorities()),
        _compare("Crimpers, die sets and stops", then.tools(*tools), now.tools(*tools)),
    ]


def _compare(title: str, then: Mapping[str, str], now: Mapping[str, str]) -> Compare:
    rows = [Compared(what, then.get(what, NOT_THERE), now.get(what, NOT_THERE)) for what in {**now, **then}]
    changed = tuple(one for one in rows if one.differs)
    return Compare(title, changed, len(rows) - len(changed))


@dataclass(frozen=True)
class Book:
    """The workshop's book on a day, as it was known at that moment; None is now."""

    day: datetime.date
    moment: datetime.datetime | None

    def has(self, record: Any) -> bool:
        """Whether it was on record by then."""
        return self.moment is None or record.recorded_at <= self.moment

    def policy(self) -> dict[str, str]:
        begun = Policy.objects.filter(effective_from__lte=self.day).select_related("entry")
        known = [policy for policy in begun.order_by("effective_from", "number") if self.has(policy)]
        return {"Policy": f"policy {known[-1].number}" if known else NOTHING}

    def charts(self, charts: QuerySet[CrimpChart]) -> dict[str, str]:
        """What of each chart is in force."""
        found = {f"chart {chart}": NOTHING for chart in charts}
        for issue, withdrawal in self.newest_issues(charts).values():
            said = f"issue {issue.issue}"
            found[f"chart {issue.chart}"] = said if withdrawal is None else f"{NOTHING}: {said} withdrawn"
        return found

    def newest_issues(
        self, charts: QuerySet[CrimpChart]
    ) -> dict[int, tuple[ChartIssue, ChartWithdrawal | None]]:
        """By chart, the newest issue that had begun, and its withdrawal if that was on record.

        By the rule of `ChartIssue.objects.begun`, with what was on record then.
        """
        found: dict[int, tuple[ChartIssue, ChartWithdrawal | None]] = {}
        issues = ChartIssue.objects.filter(chart__in=charts, effective_from__lte=self.day)
        issues = issues.select_related("chart", "entry", "withdrawal__entry")
        for issue in issues.order_by("effective_from", "entry"):
            withdrawal = self.withdrawal_of(issue)
            has_begun = withdrawal is None or day_of(withdrawal.recorded_at) >= issue.effective_from
            if self.has(issue) and has_begun:
                found[issue.chart_id] = issue, withdrawal
        return found

    def withdrawal_of(self, issue: ChartIssue) -> ChartWithdrawal | None:
        """Its withdrawal, if that was on record."""
        withdrawal: ChartWithdrawal | None = getattr(issue, "withdrawal", None)
        return withdrawal if withdrawal is not None and self.has(withdrawal) else None

    def gauges(self, gauges: QuerySet[Any]) -> dict[str, str]:
        """Whether each gauge, of lengths or of pressure, may be used and judge."""
        rows: list[Any] = list(gauges.prefetch_related("calibrations__entry").order_by("number"))
        blocked = self.columns(rows, "blocked_because")
        found = {}
        for gauge in rows:
            if (there := blocked.get(subject_of(gauge))) is not None:
                newest = self.newest_calibration(gauge.calibrations.all())
                found[gauge.number] = _usable(there["blocked_because"]) or self._calibrated(newest)
        return found

    def newest_calibration(self, calibrations: Iterable[Any]) -> Any:
        """The newest that was done by that day and on record; None without one."""
        done = [one for one in calibrations if one.done_on <= self.day and self.has(one)]
        return max(done, key=lambda one: (one.done_on, one.pk), default=None)

    def _calibrated(self, newest: Any) -> str:
        if newest is None:
            return "never calibrated"
        if not newest.passed:
            return f"found unfit on {newest.done_on}"
        if newest.due_on < self.day:
            return f"was due on {newest.due_on}"
        return f"in calibration until {newest.due_on}"

    def authorities(self) -> dict[str, str]:
        rows = list(Authority.objects.select_related("person", "series", "crimper"))
        known = self.columns(rows, "valid_from", "expires_on")
        found = {}
        for authority in rows:
            there = known.get(subject_of(authority))
            if there is None:
                continue
            begins, ends = _day(there["valid_from"]), _day(there["expires_on"])
            holds = begins is not None and begins <= self.day and (ends is None or self.day <= ends)
            until = f" until {ends}" if ends else ""
            found[str(authority)] = f"holds{until}" if holds else f"doesn't hold: {begins} to {ends or '…'}"
        return found

    def tools(self, *kinds: QuerySet[Any]) -> dict[str, str]:
        """Whether each tool may be used."""
        found = {}
        for tools in kinds:
            rows = list(tools.order_by("number"))
            blocked = self.columns(rows, "blocked_because")
            for tool in rows:
                if (there := blocked.get(subject_of(tool))) is not None:
                    name = f"{tool._meta.verbose_name} {tool.number}"
                    found[name] = _usable(there["blocked_because"]) or "usable"
        return found

    def columns(self, rows: Iterable[Model], *columns: str) -> Mapping[str, Mapping[str, Any]]:
        """Columns of rows that may change, by subject; a row that was not there yet is left out."""
        if self.moment is not None:
            return columns_as_of(rows, columns, self.moment)
        return {subject_of(row): {column: getattr(row, column) for column in columns} for row in rows}


def _usable(because: str) -> str:
    return f"not to be used: {because}" if because else ""


def _day(value: datetime.date | str | None) -> datetime.date | None:
    return datetime.date.fromisoformat(value) if isinstance(value, str) else value
