"""A chart is typed, checked by a second person, issued for good, superseded and withdrawn."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction

from shop.catalogue import verbs
from shop.catalogue.models import ChartLine, CrimpChart, CrimpSpecification, Skive, StopKind
from shop.catalogue.refusals import (
    AlreadyWithdrawn,
    AnotherChartPrescribes,
    BeingTyped,
    ChartIsEmpty,
    ChartNotChecked,
    IssueStartsEarlier,
    SameLineTwice,
)
from shop.catalogue.services import (
    check_chart,
    issue_chart,
    remove_chart_line,
    save_chart,
    save_chart_line,
    withdraw_issue,
)
from shop.ledger.services import history
from shop.people.models import User
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from tests import factories
from tests.world import World

DAY = datetime.timedelta(days=1)


@pytest.fixture
def chart(world: World) -> CrimpChart:
    """A second chart with one line, for brass fittings, typed by the bench and not checked."""
    chart = CrimpChart(number="RW-12", origin="Row crimp charts, sheet 12, 2026-02")
    save_chart(actor=world.bench, chart=chart)
    save_chart_line(actor=world.bench, line=world.chart_line(chart=chart, material="brass"))
    return chart


def be_alone(world: World) -> None:
    """The workshop says that it has one person only."""
    policy = Policy(effective_from=today(), needs_second_person=False)
    set_policy(actor=world.owner, policy=policy)


def type_in(world: World, who: User, **changes: object) -> ChartLine:
    line = world.chart_line(**changes)
    save_chart_line(actor=who, line=line)
    return line


def in_force(day: datetime.date) -> list[CrimpSpecification]:
    return list(CrimpSpecification.objects.in_force(day))


def test_what_is_typed_prescribes_nothing_until_it_is_issued(world: World, chart: CrimpChart) -> None:
    before = in_force(today())
    assert [line.chart_issue.chart for line in before] == [world.chart]
    check_chart(actor=world.inspector, chart=chart)
    assert in_force(today()) == before
    issue_chart(actor=world.inspector, chart=chart, issue="A", effective_from=today())
    assert {line.chart_issue.chart for line in in_force(today())} == {world.chart, chart}


def test_an_issue_says_who_typed_and_who_checked(world: World) -> None:
    issue = world.chart_issue
    assert (issue.typed_by_number, issue.checked_by_number) == (world.bench.number, world.inspector.number)
    assert issue.independently_checked
    assert issue.origin == world.chart.origin


def test_an_issued_line_is_the_typed_line_in_every_column(world: World) -> None:
    typed, issued = world.chart.lines.get(), world.chart_issue.specifications.get()
    assert {c: getattr(typed, c) for c in ChartLine.COLUMNS} == {
        c: getattr(issued, c) for c in ChartLine.COLUMNS
    }


def test_the_person_who_typed_a_chart_cannot_check_it(world: World) -> None:
    type_in(world, world.inspector, target=Decimal("24.25"), die_type=world.die_type, material="steel")
    world.chart.refresh_from_db()
    with pytest.raises(NeedsSecondPerson) as refused:
        check_chart(actor=world.inspector, chart=world.chart)
    assert "typed this chart and can't also check it" in refused.value.what
    world.chart.refresh_from_db()
    assert world.chart.checked_by is None


def test_a_workshop_of_one_checks_its_own_chart_and_the_issue_says_so(world: World) -> None:
    be_alone(world)
    type_in(world, world.owner, material="steel")
    check_chart(actor=world.owner, chart=world.chart)
    issue = issue_chart(actor=world.owner, chart=world.chart, issue="2", effective_from=today())
    assert not issue.independently_checked


def test_two_people_cannot_take_turns_so_that_nobody_looks_over_a_line(
    world: World, chart: CrimpChart
) -> None:
    with pytest.raises(BeingTyped) as refused:
        type_in(world, world.inspector, chart=chart, material="brass")
    assert refused.value.what == f"{world.bench.name} has typed in chart RW-12 since it was last checked."
    with pytest.raises(BeingTyped):
        save_chart(actor=world.inspector, chart=chart)
    with pytest.raises(BeingTyped):
        remove_chart_line(actor=world.inspector, line=chart.lines.get())
    check_chart(actor=world.inspector, chart=chart)
    type_in(world, world.inspector, chart=chart, material="brass")
    assert chart.lines.count() == 2


def test_what_a_typist_left_behind_who_has_gone_is_taken_over(world: World, chart: CrimpChart) -> None:
    world.bench.is_active = False
    world.bench.save()
    type_in(world, world.inspector, chart=chart, material="brass")
    chart.refresh_from_db()
    assert chart.typed_by == world.inspector


@pytest.mark.parametrize("act", ["a new line", "a changed line", "a line taken off", "the head"])
def test_whatever_is_typed_after_the_check_has_to_be_checked_again(
    world: World, chart: CrimpChart, act: str
) -> None:
    type_in(world, world.bench, chart=chart, material="steel")
    check_chart(actor=world.inspector, chart=chart)
    line = chart.lines.all()[0]
    if act == "a new line":
        type_in(world, world.bench, chart=chart, material="brass")
    elif act == "a changed line":
        line.upper = Decimal("24.5")
        save_chart_line(actor=world.bench, line=line)
    elif act == "a line taken off":
        remove_chart_line(actor=world.bench, line=line)
    else:
        chart.refresh_from_db()
        chart.origin = "Row crimp charts, sheet 12, 2026-03"
        save_chart(actor=world.bench, chart=chart)
    with pytest.raises(ChartNotChecked):
        issue_chart(actor=world.inspector, chart=chart, issue="A", effective_from=today())


def test_an_empty_chart_is_neither_checked_nor_issued(world: World, chart: CrimpChart) -> None:
    remove_chart_line(actor=world.bench, line=chart.lines.get())
    with pytest.raises(ChartIsEmpty):
        check_chart(actor=world.inspector, chart=chart)


def test_two_lines_that_leave_the_choice_to_chance_are_refused(world: World, chart: CrimpChart) -> None:
    type_in(world, world.bench, chart=chart, material="brass", target=Decimal("24.3"))
    with pytest.raises(SameLineTwice) as refused:
        check_chart(actor=world.inspector, chart=chart)
    assert str(world.hose) in refused.value.what


def test_the_bench_may_type_a_chart_but_not_issue_it(world: World, chart: CrimpChart) -> None:
    with pytest.raises(NotAllowed):
        check_chart(actor=world.bench, chart=chart)
    check_chart(actor=world.inspector, chart=chart)
    with pytest.raises(NotAllowed):
        issue_chart(actor=world.bench, chart=chart, issue="A", effective_from=today())
    with pytest.raises(NotAllowed):
        save_chart(actor=world.auditor, chart=chart)


def test_an_issue_takes_the_place_of_the_one_before_from_its_day_on(world: World) -> None:
    line = world.chart.lines.get()
    line.target = Decimal("24.3")
    save_chart_line(actor=world.bench, line=line)
    later = world.issue("2", today() + 7 * DAY)
    assert in_force(today() + 6 * DAY) == [world.chart_issue.specifications.get()]
    assert in_force(today() + 7 * DAY) == [later.specifications.get()]
    assert in_force(today() - DAY) == []


def test_of_two_issues_of_one_day_the_one_issued_last_is_in_force(world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart.lines.get())
    newer = world.issue("1a")
    assert in_force(today()) == [newer.specifications.get()]


def test_an_issue_cannot_change_what_was_prescribed_yesterday(world: World) -> None:
    with pytest.raises(IssueStartsEarlier):
        issue_chart(actor=world.inspector, chart=world.chart, issue="0", effective_from=today() - DAY)


def test_a_chart_has_one_issue_by_a_name(world: World) -> None:
    with pytest.raises(ValidationError, match="This chart has an issue by that name already"):
        issue_chart(actor=world.inspector, chart=world.chart, issue="1", effective_from=today())


def test_withdrawing_an_issue_does_not_bring_the_one_before_back(world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart.lines.get())
    newer = world.issue("2")
    withdrawal = withdraw_issue(
        actor=world.inspector, chart_issue=newer, reason="The maker has recalled the sheet."
    )
    assert in_force(today()) == []
    assert withdrawal.private("reason") == "The maker has recalled the sheet."
    assert "recalled" not in withdrawal.entry.facts
    with pytest.raises(AlreadyWithdrawn):
        withdraw_issue(actor=world.inspector, chart_issue=newer, reason="Again.")


def test_an_issue_withdrawn_before_its_day_leaves_the_one_in_force_alone(world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart.lines.get())
    planned = world.issue("2", today() + 7 * DAY)
    withdraw_issue(actor=world.inspector, chart_issue=planned, reason="The maker took the sheet back.")
    there = [world.chart_issue.specifications.get()]
    assert in_force(today()) == there
    assert in_force(today() + 7 * DAY) == there


@pytest.mark.parametrize("days", [0, 7])
def test_two_charts_do_not_prescribe_for_the_same_parts(world: World, days: int) -> None:
    twin = CrimpChart(number="RW-8 bis", origin="Row crimp charts, sheet 8, reprint")
    save_chart(actor=world.bench, chart=twin)
    save_chart_line(actor=world.bench, line=world.chart_line(chart=twin, target=Decimal("24.1")))
    check_chart(actor=world.inspector, chart=twin)
    with pytest.raises(AnotherChartPrescribes) as refused:
        issue_chart(actor=world.inspector, chart=twin, issue="A", effective_from=today() + days * DAY)
    assert refused.value.what == (
        "RW-8 issue 1 prescribes for the same hose, series, material, die and stop: "
        f"{world.hose} with {world.series}."
    )
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="The reprint counts.")
    issued = issue_chart(actor=world.inspector, chart=twin, issue="A", effective_from=today())
    assert in_force(today()) == [issued.specifications.get()]


def test_a_chart_that_comes_later_counts_as_well(world: World) -> None:
    twin = CrimpChart(number="RW-8 bis", origin="Row crimp charts, sheet 8, reprint")
    save_chart(actor=world.bench, chart=twin)
    save_chart_line(actor=world.bench, line=world.chart_line(chart=twin, material="brass"))
    check_chart(actor=world.inspector, chart=twin)
    issue_chart(actor=world.inspector, chart=twin, issue="A", effective_from=today() + 7 * DAY)
    save_chart_line(actor=world.bench, line=world.chart_line(material="brass"))
    with pytest.raises(AnotherChartPrescribes):
        world.issue("2")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE catalogue_crimpspecification SET upper = upper + 100000",
        "DELETE FROM catalogue_crimpspecification",
        "UPDATE catalogue_chartissue SET effective_from = '2020-01-01'",
        "DELETE FROM catalogue_chartwithdrawal",
    ],
)
def test_what_was_issued_cannot_be_changed_by_sql(world: World, statement: str) -> None:
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="For this test.")
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_typing_a_line_again_leaves_the_issued_one_as_it_was(world: World) -> None:
    line = world.chart.lines.get()
    line.upper = Decimal("24.6")
    save_chart_line(actor=world.bench, line=line)
    assert world.chart_issue.specifications.get().upper == Decimal("24.4")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"stop_type": None}, "stop_type"),
        ({"stop_setting": "4.2"}, "stop_setting"),
        ({"stop_kind": StopKind.DIAL, "stop_type": None}, "stop_setting"),
        ({"stop_kind": StopKind.NUMERIC, "stop_setting": "241"}, "stop_type"),
        ({"skive": Skive.OUTSIDE}, "skive_length"),
        ({"skive_length": Decimal(30)}, "skive_length"),
        ({"lower": Decimal("24.3")}, "__all__"),
        ({"upper": Decimal("24.1")}, "__all__"),
        ({"lower": Decimal("24.2"), "upper": Decimal("24.2")}, "__all__"),
        ({"lower": Decimal(0)}, "__all__"),
    ],
)
def test_a_line_that_contradicts_itself_is_not_typed(
    world: World, changes: dict[str, object], field: str
) -> None:
    with pytest.raises(ValidationError) as refused:
        save_chart_line(actor=world.bench, line=world.chart_line(material="steel", **changes))
    assert set(refused.value.message_dict) == {field}


def test_a_ferrule_of_another_series_is_not_typed(world: World) -> None:
    stranger = factories.FerruleFactory()
    with pytest.raises(ValidationError, match="is not of the series"):
        save_chart_line(actor=world.bench, line=world.chart_line(ferrule=stranger))


def test_limits_hand_over_what_judging_needs(world: World) -> None:
    limits = world.chart_issue.specifications.get().limits
    assert (limits.lower_mm, limits.target_mm, limits.upper_mm) == (
        Decimal("24.0"),
        Decimal("24.2"),
        Decimal("24.4"),
    )


def test_the_ledger_tells_the_life_of_a_chart_in_order(world: World, chart: CrimpChart) -> None:
    check_chart(actor=world.inspector, chart=chart)
    issue = issue_chart(actor=world.inspector, chart=chart, issue="A", effective_from=today())
    withdraw_issue(actor=world.inspector, chart_issue=issue, reason="The sheet was withdrawn.")
    told = [(entry.verb, entry.actor_number) for entry in history(chart)]
    assert told == [
        (verbs.CHART_SAVED.name, world.bench.number),
        (verbs.CHART_CHECKED.name, world.inspector.number),
        (verbs.CHART_ISSUED.name, world.inspector.number),
        (verbs.LINE_ISSUED.name, world.inspector.number),
        (verbs.CHART_WITHDRAWN.name, world.inspector.number),
    ]
