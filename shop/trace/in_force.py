"""What was in force in the workshop on a past day, as it was known at its end, beside today."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Model

from shop.authority.models import Authority
from shop.catalogue.models import ChartIssue, CrimpChart
from shop.ledger.facts import subject_of
from shop.policy.models import Policy
from shop.policy.services import get_workshop, today
from shop.tooling.models import Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.as_of import Compared, columns_as_of, end_of

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
    then, now = _Book(day, end_of(day)), _Book(today(), None)
    return [
        _compare("Policy", then.policy(), now.policy()),
        _compare("Crimp charts", then.charts(), now.charts()),
        _compare("Gauges", then.gauges(Gauge), now.gauges(Gauge)),
        _compare("Pressure gauges", then.gauges(PressureGauge), now.gauges(PressureGauge)),
        _compare("Authorities", then.authorities(), now.authorities()),
        _compare("Crimpers, die sets and stops", then.tools(), now.tools()),
    ]


def _compare(title: str, then: Mapping[str, str], now: Mapping[str, str]) -> Compare:
    rows = [Compared(what, then.get(what, NOT_THERE), now.get(what, NOT_THERE)) for what in {**now, **then}]
    changed = tuple(one for one in rows if one.differs)
    return Compare(title, changed, len(rows) - len(changed))


@dataclass(frozen=True)
class _Book:
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

    def charts(self) -> dict[str, str]:
        """By the rule of `ChartIssue.objects.in_force`, with what was on record then."""
        zone = get_workshop().zone_info
        found = {f"chart {chart}": NOTHING for chart in CrimpChart.objects.all()}
        issues = ChartIssue.objects.filter(effective_from__lte=self.day)
        issues = issues.select_related("chart", "entry", "withdrawal__entry")
        for issue in issues.order_by("effective_from", "entry"):
            withdrawal = getattr(issue, "withdrawal", None)
            if withdrawal is not None and not self.has(withdrawal):
                withdrawal = None
            if not self.has(issue):
                continue
            if withdrawal is None:
                found[f"chart {issue.chart}"] = f"issue {issue.issue}"
            elif withdrawal.recorded_at.astimezone(zone).date() >= issue.effective_from:
                found[f"chart {issue.chart}"] = f"{NOTHING}: issue {issue.issue} withdrawn"
        return found

    def gauges(self, model: type[Gauge] | type[PressureGauge]) -> dict[str, str]:
        rows: list[Any] = list(
            model._default_manager.prefetch_related("calibrations__entry").order_by("number")
        )
        blocked = self._columns(rows, "blocked_because")
        found = {}
        for gauge in rows:
            subject = subject_of(gauge)
            if subject not in blocked:
                continue
            done = [one for one in gauge.calibrations.all() if one.done_on <= self.day and self.has(one)]
            newest = max(done, key=lambda one: (one.done_on, one.pk), default=None)
            found[gauge.number] = _usable(blocked[subject]["blocked_because"]) or self._calibrated(newest)
        return found

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
        known = self._columns(rows, "valid_from", "expires_on")
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

    def tools(self) -> dict[str, str]:
        found = {}
        for model in (Crimper, DieSet, StopPart):
            rows = list(model._default_manager.order_by("number"))
            blocked = self._columns(rows, "blocked_because")
            for tool in rows:
                if (there := blocked.get(subject_of(tool))) is not None:
                    name = f"{model._meta.verbose_name} {tool.number}"
                    found[name] = _usable(there["blocked_because"]) or "usable"
        return found

    def _columns(self, rows: Iterable[Model], *columns: str) -> Mapping[str, Mapping[str, Any]]:
        if self.moment is not None:
            return columns_as_of(rows, columns, self.moment)
        return {subject_of(row): {column: getattr(row, column) for column in columns} for row in rows}


def _usable(because: str) -> str:
    return f"not to be used: {because}" if because else ""


def _day(value: datetime.date | str | None) -> datetime.date | None:
    return datetime.date.fromisoformat(value) if isinstance(value, str) else value
