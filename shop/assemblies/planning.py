"""From a confirmed line to assemblies on the bench, and what to do when a chart has moved on."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, Cause, Decision, DecisionKind, End, Run, State
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.records import with_records
from shop.assemblies.refusals import (
    AlreadyPlanned,
    AlreadyReplaced,
    ChartMovedOn,
    NotScrapped,
    SettledAlready,
)
from shop.assemblies.remedies import require_cause
from shop.assemblies.standing import settle
from shop.catalogue.comparing import changed_columns
from shop.catalogue.models import ChartIssue, CrimpSpecification, Fitting
from shop.ledger.services import save_noted, write_record
from shop.orders.models import OrderLine, Resolution
from shop.orders.refusals import NothingChanged
from shop.orders.services import confirm_line
from shop.orders.specifications import find_specification, is_prescribed
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.numbering import next_number
from shop.policy.services import today

# Scrapped, or taken out of service before it left the workshop.
LOST = Q(state=State.SCRAPPED) | Q(state=State.RETIRED, shipment=None)


@transaction.atomic
def start_line(*, actor: User, line: OrderLine) -> list[Assembly]:
    """Confirm the line, unless it is confirmed as it stands, and plan its assemblies as one run.

    Raises what `confirm_line` refuses, `AlreadyPlanned`.
    """
    require(actor, Permission.CONFIRM_ORDERS)
    # Numbering locks the workshop's row, which comes before the ledger's head that confirming locks.
    serial = next_number(Assembly.objects.all(), "serial")
    if line.runs.exists():
        raise AlreadyPlanned(line=line)
    resolution = _confirmed(actor, line)
    run = _plan_run(actor, resolution, 1)
    return [_plan(actor, run, serial + number) for number in range(resolution.quantity)]


@transaction.atomic
def resolve_again(*, actor: User, line: OrderLine) -> Resolution:
    """Confirm the line again and put what is unfinished of its runs on what it comes to now (rule 1).

    What is finished stays as it was confirmed: the rest of its run goes on as a run of its own.

    Raises what `confirm_line` refuses, `NothingChanged` if every run is on the newest already.
    """
    require(actor, Permission.CONFIRM_ORDERS)
    runs = list(Run.objects.filter(line=line).select_for_update(no_key=True).order_by("pk"))
    every = Assembly.objects.filter(run__in=runs).select_for_update(no_key=True).order_by("pk")
    unfinished: dict[int, list[Assembly]] = {}
    finished = set()
    for assembly in every:
        if assembly.state in ON_THE_ROAD:
            unfinished.setdefault(assembly.run_id, []).append(assembly)
        else:
            finished.add(assembly.run_id)
    before = line.resolution
    resolution = _confirmed(actor, line)
    behind = [run for run in runs if run.pk in unfinished and run.resolution_id != resolution.pk]
    if resolution == before and not behind:
        raise NothingChanged(line=line)
    for run in behind:
        if run.pk in finished:
            _go_on_as_another_run(actor, unfinished[run.pk], resolution)
        else:
            run.resolution = resolution
            save_noted(actor=actor, verb=verbs.RUN_RESOLVED_AGAIN, instance=run)
        _settle(unfinished[run.pk])
    return resolution


def plan_replacement(*, actor: User, assembly: Assembly) -> Assembly:
    """Plan a new assembly, in a run of its own, for one that was lost in the workshop.

    It may have been decided before that it is not replaced: customers change their minds. Raises
    `NotScrapped`, `AlreadyReplaced`.
    """
    require(actor, Permission.MAKE)
    with working_on(assembly):
        _require_lost(assembly)
        serial = next_number(Assembly.objects.all(), "serial")
        resolution = assembly.run.line.resolution
        assert resolution is not None, "its own run has one"
        return _plan(actor, _plan_next_run(actor, resolution), serial, replaces=assembly)


def leave_unreplaced(
    *, actor: User, assembly: Assembly, cause: Cause = Cause.OTHER, reason: str = ""
) -> Decision:
    """Record that the customer does without one that was lost in the workshop: nothing is owed for it.

    Raises `ReasonMissing`, `CauseOfAnotherAct`, `NotScrapped`, `AlreadyReplaced`, `SettledAlready`.
    """
    require(actor, Permission.CONFIRM_ORDERS)
    with working_on(assembly):
        require_cause(DecisionKind.NOT_REPLACED, cause, reason)
        _require_lost(assembly)
        if not to_be_replaced().filter(pk=assembly.pk).exists():
            raise SettledAlready(assembly=assembly)
        return write_record(
            actor=actor,
            verb=verbs.DECIDED,
            record=Decision(
                assembly=assembly,
                kind=DecisionKind.NOT_REPLACED,
                about=None,
                independently_checked=True,
                cause=cause,
            ),
            subject=assembly,
            private={"reason": reason.strip()},
        )


def to_be_replaced() -> QuerySet[Assembly]:
    """What was lost in the workshop, and neither replaced nor done without."""
    settled = Decision.objects.filter(assembly=OuterRef("pk"), kind=DecisionKind.NOT_REPLACED)
    return Assembly.objects.filter(LOST, ~Exists(settled), replaced_by=None)


def chart_has_moved(assembly: Assembly, end: End) -> ChartMovedOn | None:
    """The refusal if the chart's line that this end was confirmed on does not prescribe for it today.

    Its issue may have been superseded or withdrawn, another chart may name the fitting's own material,
    or the fitting's entry in the catalogue was corrected.
    """
    hose, fitting = assembly.resolution.hose, assembly.fitting(end)
    if is_prescribed(assembly.specification_id(end), hose, fitting, today()):
        return None
    return chart_moved_on(assembly, end, today())


def chart_moved_on(assembly: Assembly, end: End, day: datetime.date) -> ChartMovedOn:
    """The refusal for that end, which says what became of its chart and what prescribed for it that day."""
    old, fitting = assembly.specification(end), assembly.fitting(end)
    now, _ = find_specification(assembly.resolution.hose, fitting, day)
    return ChartMovedOn(
        end=end.value,
        old=old.chart_issue,
        became=_what_became_of(old.chart_issue, fitting, day),
        changes=_changes(old, now),
    )


def _require_lost(assembly: Assembly) -> None:
    if not Assembly.objects.filter(LOST, pk=assembly.pk).exists():
        raise NotScrapped(assembly=assembly, state=assembly.get_state_display())
    replacement = Assembly.objects.filter(replaces=assembly).first()
    if replacement is not None:
        raise AlreadyReplaced(assembly=assembly, replacement=replacement)


def _confirmed(actor: User, line: OrderLine) -> Resolution:
    try:
        return confirm_line(actor=actor, line=line)
    except NothingChanged:
        resolution = line.resolution
        assert resolution is not None, "nothing changed since it"
        return resolution


def _plan_run(actor: User, resolution: Resolution, number: int) -> Run:
    run = Run(line=resolution.line, resolution=resolution, number=number)
    return save_noted(actor=actor, verb=verbs.RUN_PLANNED, instance=run)


def _plan_next_run(actor: User, resolution: Resolution) -> Run:
    return _plan_run(actor, resolution, next_number(Run.objects.filter(line=resolution.line), "number"))


def _go_on_as_another_run(actor: User, assemblies: Iterable[Assembly], resolution: Resolution) -> None:
    run = _plan_next_run(actor, resolution)
    for assembly in assemblies:
        assembly.run = run
        save_noted(actor=actor, verb=verbs.ASSEMBLY_MOVED, instance=assembly)


def _settle(assemblies: Iterable[Assembly]) -> None:
    """Where they stand may be another: a proof test is wanted now, or one at a higher pressure."""
    keys = [assembly.pk for assembly in assemblies]
    for assembly in with_records(Assembly.objects.filter(pk__in=keys)):
        settle(assembly)


def _plan(actor: User, run: Run, serial: int, replaces: Assembly | None = None) -> Assembly:
    return save_noted(
        actor=actor,
        verb=verbs.ASSEMBLY_PLANNED,
        instance=Assembly(run=run, serial=serial, replaces=replaces),
    )


def _what_became_of(issue: ChartIssue, fitting: Fitting, day: datetime.date) -> str:
    newest = ChartIssue.objects.begun(day).filter(chart=issue.chart).first()
    assert newest is not None, "the issue itself has begun"
    is_withdrawn = hasattr(newest, "withdrawal")
    gone = " It was withdrawn since." if is_withdrawn else ""
    if newest == issue:
        return (
            f"{issue} was withdrawn."
            if is_withdrawn
            else f"It is in force, but its line is no longer the one for {fitting}."
        )
    return f"{newest} has taken its place, in force from {newest.effective_from}.{gone}"


def _changes(old: CrimpSpecification, now: CrimpSpecification | None) -> str:
    if now is None:
        return "No chart in force names these parts together any more."
    elsewhere = (
        f"Now {now.chart_issue} prescribes. " if now.chart_issue.chart != old.chart_issue.chart else ""
    )
    told = [f"{change.label}: {' → '.join(change.words)}" for change in changed_columns(old, now)]
    return f"{elsewhere}Before → now: {'; '.join(told)}." if told else f"{elsewhere}Its figures are the same."
