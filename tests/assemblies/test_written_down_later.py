"""Work that was done without the program is written down from its job card, as of the day it was done."""

import datetime
from collections.abc import Iterator
from decimal import Decimal
from unittest.mock import patch

import pytest
from django.utils import timezone

from shop.assemblies.models import Assembly, Crimp, Cut, End, SetUp
from shop.assemblies.occasion import Earlier
from shop.assemblies.refusals import (
    ChartMovedOn,
    GaugeOutOfCalibration,
    HappenedTooEarly,
    HoseTooOld,
    LongAgo,
    SetUpOfAnotherShift,
    SetUpOfSomebodyElse,
)
from shop.authority.models import AuthorisedStep, Authority
from shop.authority.refusals import NotAuthorised
from shop.authority.services import save_authority
from shop.catalogue.services import withdraw_issue
from shop.ledger.checking import check_ledger
from shop.ledger.refusals import HappenedInTheFuture
from shop.people.models import User
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_hose
from shop.trace.dossier import record_of
from tests.assemblies import bench
from tests.world import World

MINUTE = datetime.timedelta(minutes=1)
DAY = datetime.timedelta(days=1)


@pytest.fixture
def planned(world: World) -> Assembly:
    return bench.plan(world)


@pytest.fixture
def on_the_day(planned: Assembly) -> datetime.datetime:
    """A minute after the assembly was planned."""
    return timezone.now() + MINUTE


@pytest.fixture(autouse=True)
def two_days_later(on_the_day: datetime.datetime) -> Iterator[datetime.datetime]:
    """When the job card is written down, unless a test does something else first."""
    later = on_the_day + 2 * DAY
    with patch("django.utils.timezone.now", lambda: later):
        yield later


def cut(world: World, assembly: Assembly, by: User, at: datetime.datetime, **changes: object) -> Cut:
    return bench.cut(world, assembly, **{"actor": world.inspector, "earlier": Earlier(by, at)} | changes)


def crimped_end(world: World, assembly: Assembly, end: End, by: User, at: datetime.datetime) -> Crimp:
    """Set up, crimped and measured, as the inspector writes it down."""
    told = {"actor": world.inspector, "earlier": Earlier(by, at)}
    bench.tool_up(world, assembly, end, **told)
    crimp = bench.crimp_as_set_up(world, assembly, end, **told)
    bench.measure(world, crimp, **told)
    return crimp


def test_it_tells_both_times_and_both_people(
    world: World, planned: Assembly, on_the_day: datetime.datetime, two_days_later: datetime.datetime
) -> None:
    written = cut(world, planned, world.bench, on_the_day)
    assert (written.happened_at, written.recorded_at) == (on_the_day, two_days_later)
    assert (written.actor_number, written.entry.actor_number) == (world.bench.number, world.inspector.number)
    taken_off = written.movement
    assert (taken_off.happened_at, taken_off.actor_number) == (on_the_day, world.bench.number)
    told = record_of(planned).cut
    assert told is not None
    assert (told.told.by.name, str(told.told.entered_by)) == (world.bench.name, f"{world.inspector.name} (4)")
    assert check_ledger().is_right


def test_who_writes_down_the_own_work_is_named_once(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    written = cut(world, planned, world.bench, on_the_day, actor=world.bench)
    assert written.entry.done_by is None
    told = record_of(planned).cut
    assert told is not None
    assert told.told.entered_by is None


def test_the_whole_road_up_to_the_inspection(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    cut(world, planned, world.bench, on_the_day)
    for end in End:
        crimped_end(world, planned, end, world.bench, on_the_day)
    looked = bench.look_over(
        world, planned, actor=world.owner, earlier=Earlier(world.inspector, on_the_day + MINUTE)
    )
    assert looked.passed
    assert looked.independently_checked
    planned.refresh_from_db()
    assert planned.state == "inspected"


def test_what_has_not_come_yet_did_not_happen(
    world: World, planned: Assembly, two_days_later: datetime.datetime
) -> None:
    with pytest.raises(HappenedInTheFuture):
        cut(world, planned, world.bench, two_days_later + MINUTE)


def test_nothing_is_cut_before_its_line_was_confirmed(world: World, planned: Assembly) -> None:
    at = planned.resolution.happened_at - MINUTE
    with pytest.raises(HappenedTooEarly) as refused:
        cut(world, planned, world.bench, at)
    assert "its line was confirmed" in refused.value.what


def test_no_step_comes_before_the_one_before_it(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    cut(world, planned, world.bench, on_the_day + 2 * MINUTE)
    told = {"actor": world.inspector, "earlier": Earlier(world.bench, on_the_day)}
    with pytest.raises(HappenedTooEarly) as refused:
        bench.tool_up(world, planned, **told)
    assert "what was done to it before" in refused.value.what


def test_a_card_tells_minutes_and_no_seconds(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    cut(world, planned, world.bench, on_the_day.replace(second=59))
    told = {"actor": world.inspector, "earlier": Earlier(world.bench, on_the_day.replace(second=0))}
    assert bench.tool_up(world, planned, **told).pk


def test_what_is_long_ago_is_asked_about(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    much_later = on_the_day + 15 * DAY
    with patch("django.utils.timezone.now", lambda: much_later):
        with pytest.raises(LongAgo) as doubted:
            cut(world, planned, world.bench, on_the_day)
        told = Earlier(world.bench, on_the_day, frozenset({doubted.value.code}))
        assert bench.cut(world, planned, actor=world.inspector, earlier=told).happened_at == on_the_day


def test_hose_is_not_cut_before_it_came_in(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    lot = Lot(hose=world.hose, made_printed=f"1Q{today().year}")
    [reel] = receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(9000)])
    with pytest.raises(HappenedTooEarly) as refused:
        cut(world, planned, world.bench, on_the_day, piece=reel)
    assert f"{lot} came in" in refused.value.what


def test_the_chart_of_that_day_prescribes(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    bench.reissue(world, "2", upper=Decimal("24.3"))
    with pytest.raises(ChartMovedOn):
        bench.cut(world, planned)
    assert cut(world, planned, world.bench, on_the_day).pk


def test_a_chart_that_was_withdrawn_since_counts_as_withdrawn(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="a misprint")
    with pytest.raises(ChartMovedOn):
        cut(world, planned, world.bench, on_the_day)


def test_the_calibration_of_that_day_counts(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    world.calibrate(world.caliper, passed=False, done_on=today())
    cut(world, planned, world.bench, on_the_day)
    told = {"actor": world.inspector, "earlier": Earlier(world.bench, on_the_day)}
    assert bench.tool_up(world, planned, **told).calibration.passed
    with pytest.raises(GaugeOutOfCalibration):
        bench.tool_up(world, planned)


def test_hose_is_as_old_as_it_was_that_day(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    much_later = on_the_day + 3000 * DAY
    told = Earlier(world.bench, on_the_day, frozenset({"long_ago"}))
    with patch("django.utils.timezone.now", lambda: much_later):
        with pytest.raises(HoseTooOld):
            bench.cut(world, planned)
        assert bench.cut(world, planned, actor=world.inspector, earlier=told).pk


def test_the_policy_of_that_day_is_applied(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    bench.choose(world, measured_every=3)
    cut(world, planned, world.bench, on_the_day)
    crimp = crimped_end(world, planned, End.A, world.bench, on_the_day)
    assert crimp.measurements.get().policy == world.policy


def test_the_authority_of_that_day_counts_and_it_is_the_doers(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    day = on_the_day.astimezone(world.workshop.zone_info).date()
    ended = Authority(person=world.bench, step=AuthorisedStep.SET_UP, valid_from=day - DAY, expires_on=day)
    save_authority(actor=world.owner, authority=ended)
    cut(world, planned, world.bench, on_the_day)
    with pytest.raises(NotAuthorised):
        bench.tool_up(world, planned)
    told = {"actor": world.inspector, "earlier": Earlier(world.inspector, on_the_day)}
    with pytest.raises(NotAuthorised) as refused:
        bench.tool_up(world, planned, **told)
    assert f"on {day}" in refused.value.what
    told = {"actor": world.inspector, "earlier": Earlier(world.bench, on_the_day)}
    assert bench.tool_up(world, planned, **told).pk


def test_both_have_to_be_allowed_who_did_it_and_who_says_so(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    with pytest.raises(NotAllowed) as refused:
        cut(world, planned, world.counter, on_the_day)
    assert world.counter.name in refused.value.what
    with pytest.raises(NotAllowed) as refused:
        cut(world, planned, world.bench, on_the_day, actor=world.auditor)
    assert world.auditor.name in refused.value.what


def test_a_set_up_is_of_who_made_it_and_of_its_shift(
    world: World, planned: Assembly, on_the_day: datetime.datetime, two_days_later: datetime.datetime
) -> None:
    cut(world, planned, world.bench, on_the_day)
    told = {"actor": world.inspector, "earlier": Earlier(world.bench, on_the_day)}
    made: SetUp = bench.tool_up(world, planned, **told)
    assert made.actor_number == world.bench.number
    with pytest.raises(SetUpOfSomebodyElse):
        bench.crimp_as_set_up(
            world, planned, actor=world.inspector, earlier=Earlier(world.inspector, on_the_day)
        )
    with pytest.raises(SetUpOfAnotherShift):
        bench.crimp_as_set_up(world, planned, actor=world.bench)
    assert bench.crimp_as_set_up(world, planned, **told).pk


def test_nobody_passes_the_own_work_by_letting_somebody_else_write_it_down(
    world: World, planned: Assembly, on_the_day: datetime.datetime
) -> None:
    cut(world, planned, world.inspector, on_the_day)
    for end in End:
        crimped_end(world, planned, end, world.inspector, on_the_day)
    with pytest.raises(NeedsSecondPerson):
        bench.look_over(
            world, planned, actor=world.owner, earlier=Earlier(world.inspector, on_the_day + MINUTE)
        )
