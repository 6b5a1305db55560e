"""Crimp charts: typed, checked by a second person, issued, withdrawn (rules 1 and 8)."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.db.models import Q

from shop.catalogue import verbs
from shop.catalogue.models import (
    ChartIssue,
    ChartLine,
    ChartWithdrawal,
    CrimpChart,
    CrimpSpecification,
    CrimpValues,
)
from shop.catalogue.refusals import (
    AlreadyWithdrawn,
    AnotherChartPrescribes,
    BeingTyped,
    ChartIsEmpty,
    ChartNotChecked,
    IssueStartsEarlier,
    SameLineTwice,
)
from shop.ledger.services import note, save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.policy.services import policy_in_force, today


@transaction.atomic
def save_chart(*, actor: User, chart: CrimpChart) -> CrimpChart:
    """Open a chart in the binder, or change its head; it has to be checked (again).

    Raises `BeingTyped` while somebody else's typing waits for its check.
    """
    require(actor, Permission.TYPE_CHARTS)
    return _typed_again(actor, chart)


@transaction.atomic
def save_chart_line(*, actor: User, line: ChartLine) -> ChartLine:
    """Type a line, or type it again; its chart has to be checked (again).

    Lines that were issued stand as specifications of their issue and are not touched. Raises
    `BeingTyped` while somebody else's typing waits for its check.
    """
    require(actor, Permission.TYPE_CHARTS)
    _typed_again(actor, line.chart)
    return save_noted(actor=actor, verb=verbs.CHART_LINE_SAVED, instance=line)


@transaction.atomic
def remove_chart_line(*, actor: User, line: ChartLine) -> CrimpChart:
    """Take a typed line off the chart: the next issue won't have it. Raises `BeingTyped`."""
    require(actor, Permission.TYPE_CHARTS)
    _typed_again(actor, line.chart)
    note(
        actor=actor,
        verb=verbs.CHART_LINE_REMOVED,
        subject=line.chart,
        facts={"hose": line.hose_id, "series": line.series_id, "die_type": line.die_type_id},
    )
    chart = line.chart
    line.delete()
    return chart


@transaction.atomic
def check_chart(*, actor: User, chart: CrimpChart) -> CrimpChart:
    """Record that the actor has compared every line with the maker's document.

    Raises `ChartIsEmpty`, `SameLineTwice`, and `NeedsSecondPerson` for the person who typed it,
    unless the policy says that the workshop has only one.
    """
    require(actor, Permission.ISSUE_CHARTS)
    chart = CrimpChart.objects.select_for_update(no_key=True).get(pk=chart.pk)
    if not chart.lines.exists():
        raise ChartIsEmpty(chart=chart)
    _refuse_doubles(chart)
    if chart.typed_by_id == actor.pk and policy_in_force().needs_second_person:
        raise NeedsSecondPerson(name=actor.name, did="typed this chart", act="check it")
    chart.checked_by = actor
    return save_noted(actor=actor, verb=verbs.CHART_CHECKED, instance=chart)


@transaction.atomic
def issue_chart(*, actor: User, chart: CrimpChart, issue: str, effective_from: datetime.date) -> ChartIssue:
    """Put the chart's lines in force, for good, as specifications of this issue.

    From `effective_from` on it takes the place of the issue before. Raises `ChartNotChecked`,
    `ChartIsEmpty`, `IssueStartsEarlier`, `AnotherChartPrescribes`.
    """
    require(actor, Permission.ISSUE_CHARTS)
    chart = CrimpChart.objects.select_for_update(no_key=True, of=("self",)).get(pk=chart.pk)
    if chart.typed_by is None or chart.checked_by is None:
        raise ChartNotChecked(chart=chart)
    if effective_from < today():
        raise IssueStartsEarlier(issue=issue, day=effective_from)
    lines = list(chart.lines.all())
    if not lines:
        raise ChartIsEmpty(chart=chart)
    _refuse_doubles_elsewhere(chart, lines, effective_from)
    chart_issue = write_record(
        actor=actor,
        verb=verbs.CHART_ISSUED,
        record=ChartIssue(
            chart=chart,
            issue=issue,
            effective_from=effective_from,
            origin=chart.origin,
            typed_by_number=chart.typed_by.number,
            checked_by_number=chart.checked_by.number,
        ),
        subject=chart,
    )
    for line in lines:
        values = {column: getattr(line, column) for column in CrimpValues.COLUMNS}
        write_record(
            actor=actor,
            verb=verbs.LINE_ISSUED,
            record=CrimpSpecification(chart_issue=chart_issue, **values),
            subject=chart,
        )
    return chart_issue


@transaction.atomic
def withdraw_issue(*, actor: User, chart_issue: ChartIssue, reason: str) -> ChartWithdrawal:
    """Take an issue out of force at once. The issue before it does not come back."""
    require(actor, Permission.ISSUE_CHARTS)
    if ChartWithdrawal.objects.filter(chart_issue=chart_issue).exists():
        raise AlreadyWithdrawn(issue=chart_issue)
    return write_record(
        actor=actor,
        verb=verbs.CHART_WITHDRAWN,
        record=ChartWithdrawal(chart_issue=chart_issue),
        subject=chart_issue.chart,
        private={"reason": reason},
    )


def _typed_again(actor: User, chart: CrimpChart) -> CrimpChart:
    """Make the actor the one who typed the chart since it was last checked.

    One person at a time: with two typists each could check the chart as the second person of the
    other, and nobody would have looked over either one's lines.
    """
    rows = CrimpChart.objects.select_for_update(no_key=True, of=("self",)).select_related("typed_by")
    there = rows.filter(pk=chart.pk).first()
    typist = there.typed_by if there and there.checked_by_id is None else None
    if typist is not None and typist != actor and typist.is_active:
        raise BeingTyped(chart=there, name=typist.name)
    chart.typed_by, chart.checked_by = actor, None
    return save_noted(actor=actor, verb=verbs.CHART_SAVED, instance=chart)


def _refuse_doubles(chart: CrimpChart) -> None:
    """Two lines that differ only in their figures would leave the choice to chance."""
    seen = set()
    for line in chart.lines.select_related("hose", "series"):
        key = _chosen_by(line)
        if key in seen:
            raise SameLineTwice(chart=chart, line=f"{line.hose} with {line.series}")
        seen.add(key)


def _refuse_doubles_elsewhere(chart: CrimpChart, lines: Iterable[ChartLine], day: datetime.date) -> None:
    """The same choice would be left to chance between two charts, in force now or from a later day on."""
    issues = ChartIssue.objects.exclude(chart=chart)
    elsewhere = CrimpSpecification.objects.filter(
        Q(chart_issue__in=issues.in_force(day))
        | Q(chart_issue__in=issues.filter(effective_from__gt=day, withdrawal=None))
    ).select_related("chart_issue__chart")
    taken = {_chosen_by(line): line.chart_issue for line in elsewhere}
    for line in lines:
        other = taken.get(_chosen_by(line))
        if other is not None:
            raise AnotherChartPrescribes(other=other, line=f"{line.hose} with {line.series}")


def _chosen_by(line: CrimpValues) -> tuple[object, ...]:
    """All that a line is chosen by for an end; two that agree in it differ in their figures at most."""
    return (
        line.hose_id,
        line.series_id,
        line.ferrule_id is None,
        line.material,
        line.die_type_id,
        line.stop_kind,
        line.stop_type_id,
    )
