"""What the page of one chart shows."""

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.assemblies.stops import stop_hints
from shop.catalogue.models import ChartIssue, ChartLine, CrimpChart
from shop.people.models import User
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.services import policy_in_force, today
from shop.web.quality.charts.changes import PARTS, ChangedLine, changed_lines, filled_columns, lines_of


class Step(StrEnum):
    """What the chart needs next."""

    TYPE = "type"
    CHECK = "check"
    ASK_SECOND = "ask"  # the person who looks at it typed it
    ISSUE = "issue"
    NONE = "none"


@dataclass(frozen=True)
class IssueRow:
    """One issue, how it stands today, and by whom."""

    issue: ChartIssue
    standing: str
    is_withdrawn: bool
    reason: str | None  # why it was withdrawn; None also once erased
    typed_by: str
    checked_by: str


@dataclass(frozen=True)
class HintRow:
    """What the workshop's own crimps say against the stop of a line: something to look at, never a stop."""

    line: str
    says: str


@dataclass(frozen=True)
class ChartPage:
    """A chart with its lines, its issues, and what the next issue would change."""

    chart: CrimpChart
    lines: Sequence[ChartLine]
    issues: Sequence[IssueRow]
    in_force: ChartIssue | None
    changes: Sequence[ChangedLine]
    hints: Sequence[HintRow]
    step: Step

    @property
    def compared(self) -> tuple[str, str]:
        """What the two sides of the comparison are called."""
        return "In force", "As typed"

    @property
    def compared_title(self) -> str:
        """What the comparison shows."""
        return f"What the next issue would change in {self.in_force}"

    @property
    def in_force_since(self) -> str:
        """Since when the issue in force is, in words; empty without one."""
        return "" if self.in_force is None else f"since {self.in_force.effective_from}"

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns of the table that at least one line fills."""
        return filled_columns(self.lines)


def chart_page(chart: CrimpChart, viewer: User) -> ChartPage:
    """Gather the page, in a constant number of queries."""
    day = today()
    lines = list(chart.lines.select_related(*PARTS))
    issues = list(
        chart.issues.select_related("entry", "withdrawal__entry")
        .prefetch_related("withdrawal__entry__private_texts")
        .order_by("-effective_from", "-entry")
    )
    for issue in issues:
        issue.chart = chart
    in_force = chart.issues.in_force(day).first()
    newest = max(issues, key=lambda issue: issue.pk, default=None)
    changes = _changes(in_force, lines)
    is_issued = newest is not None and newest.origin == chart.origin and not _is_withdrawn(newest)
    if is_issued:
        is_issued = not (changes if newest == in_force else _changes(newest, lines))
    return ChartPage(
        chart=chart,
        lines=lines,
        issues=_issue_rows(issues, in_force, day),
        in_force=in_force,
        changes=changes,
        hints=list(_hint_rows(lines)),
        step=_step(chart, bool(lines), is_issued, viewer),
    )


def _changes(issue: ChartIssue | None, lines: Sequence[ChartLine]) -> list[ChangedLine]:
    """What the lines as typed would change in the issue; nothing if there is none."""
    return [] if issue is None else changed_lines(lines_of(issue), lines)


def _hint_rows(lines: Sequence[ChartLine]) -> Iterator[HintRow]:
    for place, hints in stop_hints(lines).items():
        for hint in hints:
            line = f"{lines[place].hose} with {lines[place].series}"
            yield HintRow(line, f"{hint.check.reason} So say {hint.crimps} crimps of {hint.crimper}.")


def _is_withdrawn(issue: ChartIssue) -> bool:
    return hasattr(issue, "withdrawal")


def _issue_rows(
    issues: Sequence[ChartIssue], in_force: ChartIssue | None, day: datetime.date
) -> list[IssueRow]:
    numbers = {n for issue in issues for n in (issue.typed_by_number, issue.checked_by_number)}
    names = names_of(numbers)
    return [
        IssueRow(
            issue=issue,
            standing=_standing(issue, in_force, day),
            is_withdrawn=_is_withdrawn(issue),
            reason=issue.withdrawal.private("reason") if _is_withdrawn(issue) else None,
            typed_by=names[issue.typed_by_number],
            checked_by=names[issue.checked_by_number],
        )
        for issue in issues
    ]


def _standing(issue: ChartIssue, in_force: ChartIssue | None, day: datetime.date) -> str:
    if _is_withdrawn(issue):
        return "withdrawn"
    if issue == in_force:
        return "in force"
    return "not yet in force" if issue.effective_from > day else "superseded"


def _step(chart: CrimpChart, has_lines: bool, is_issued: bool, viewer: User) -> Step:
    if not has_lines:
        return Step.TYPE
    if chart.checked_by_id is None:
        may = viewer.may(Permission.ISSUE_CHARTS) and (
            chart.typed_by_id != viewer.pk or not policy_in_force().needs_second_person
        )
        return Step.CHECK if may else Step.ASK_SECOND
    return Step.NONE if is_issued else Step.ISSUE
