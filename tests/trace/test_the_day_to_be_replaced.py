"""The last day in service: by the policy of the day on which the line was confirmed."""

import datetime

import pytest

from shop.assemblies.models import Assembly
from shop.assemblies.release import retire
from shop.assemblies.release.tagging import month_made_of
from shop.engineering.lengths import LengthUnit
from shop.policy.services import today
from shop.trace.dossier import record_of
from shop.trace.public import PublicRecord, public_record_of
from tests.assemblies import bench
from tests.world import World

DAY = datetime.timedelta(days=1)


def seen(assembly: Assembly, day: datetime.date) -> PublicRecord:
    """What a stranger sees on that day."""
    record = public_record_of(assembly.code, today=day, unit=LengthUnit.MM)
    assert record is not None
    return record


def last_day(assembly: Assembly) -> datetime.date:
    limit = record_of(assembly).service_limit
    assert limit is not None
    return limit.last_day


@pytest.fixture
def shipped(world: World) -> Assembly:
    """An assembly in service that is to be replaced after six years."""
    bench.choose(world, service_months=72)
    return bench.shipped(world)


def test_it_is_counted_from_the_first_day_of_the_month_on_the_tag(world: World, shipped: Assembly) -> None:
    year, month = (int(digits) for digits in month_made_of(shipped, world.workshop).split("-"))
    assert last_day(shipped) == datetime.date(year + 6, month, 1) - DAY


def test_a_stranger_reads_by_when_it_is_to_be_replaced(shipped: Assembly) -> None:
    record = seen(shipped, today())
    assert not record.state.do_not_use
    assert record.replace_by == last_day(shipped)
    assert f"To be replaced by {last_day(shipped)}." in record.state.sentence


def test_on_the_day_itself_it_may_still_be_used_and_the_day_after_not(shipped: Assembly) -> None:
    last = last_day(shipped)
    assert seen(shipped, last).state.headline == "RELEASED"
    after = seen(shipped, last + DAY).state
    assert (after.do_not_use, after.headline) == (True, "DO NOT USE")
    assert after.sentence.startswith(f"It is past its day to be replaced, {last}.")


def test_without_a_limit_in_the_policy_there_is_no_day(world: World) -> None:
    assembly = bench.shipped(world)
    in_twenty_years = today() + 20 * 366 * DAY
    assert record_of(assembly).service_limit is None
    record = seen(assembly, in_twenty_years)
    assert (record.replace_by, record.state.headline) == (None, "RELEASED")


def test_a_later_policy_moves_no_day(world: World, shipped: Assembly) -> None:
    before = last_day(shipped)
    bench.choose(world, service_months=12)
    assert last_day(shipped) == before
    assert seen(shipped, before).state.headline == "RELEASED"


def test_what_is_not_released_has_no_day_yet(world: World) -> None:
    bench.choose(world, service_months=72)
    for assembly in (bench.made(world), bench.tagged(world)):
        assert record_of(assembly).service_limit is None
        assert seen(assembly, today()).replace_by is None


def test_what_was_taken_out_of_service_says_that_and_not_its_age(world: World, shipped: Assembly) -> None:
    past = last_day(shipped) + DAY
    retire(actor=world.counter, assembly=shipped, reason="worn")
    record = seen(shipped, past)
    assert record.state.sentence.startswith("It was taken out of service.")
    assert record.replace_by is None
