"""What was known at the end of a past day stands beside what is known now."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from unittest.mock import patch

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.assemblies.making import correct_lots, correct_measurement
from shop.assemblies.models import Assembly
from shop.assemblies.occasion import Earlier
from shop.catalogue.services import withdraw_issue
from shop.policy.services import get_workshop, today
from shop.stock.models import Lot
from shop.stock.services import condemn_lot, receive_lot
from shop.tooling.services import report_damage, save_gauge
from shop.trace.as_of import AsOf, assembly_as_of
from shop.trace.dossier import record_of
from tests.assemblies import bench
from tests.assemblies.test_recalls import recall
from tests.world import World


@contextmanager
def the_next_day() -> Iterator[None]:
    """Everything in it is recorded at noon of the next day, which 24 hours miss when clocks change."""
    tomorrow = today() + datetime.timedelta(days=1)
    noon = datetime.datetime.combine(tomorrow, datetime.time(12), get_workshop().zone_info)
    with patch("django.utils.timezone.now", lambda: noon):
        yield


def as_of(assembly: Assembly, day: datetime.date) -> AsOf:
    return assembly_as_of(record_of(assembly), day)


def changed(assembly: Assembly, day: datetime.date) -> dict[str, tuple[str, str]]:
    """What was known otherwise then."""
    return {one.what: (one.then, one.now) for one in as_of(assembly, day).compared if one.differs}


@pytest.fixture
def assembly(world: World) -> Assembly:
    """Crimped and measured at end A, yesterday as it were."""
    world.caliper.permitted_error = Decimal("0.02")
    save_gauge(actor=world.bench, gauge=world.caliper)
    made, _ = bench.crimped(world)
    return made


def test_a_day_on_which_nothing_was_known_otherwise_shows_no_difference(
    world: World, assembly: Assembly
) -> None:
    assert changed(assembly, today()) == {}
    assert as_of(assembly, today()).written_later == ()


def test_before_it_was_made_nothing_was_known(world: World, assembly: Assembly) -> None:
    before = changed(assembly, today() - datetime.timedelta(days=1))
    assert before["Hose"] == ("nothing known", str(world.reel.lot))
    assert before["Last on record"][0] == "nothing known"


def test_a_chart_that_was_withdrawn_later_was_in_force_then(world: World, assembly: Assembly) -> None:
    day = today()
    with the_next_day():
        withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="a misprint")
        issue = world.chart_issue
        assert changed(assembly, day) == {"Chart of end A": (f"{issue}, in force", f"{issue}, withdrawn")}


def test_a_gauge_that_was_found_wrong_later_was_right_as_far_as_known(
    world: World, assembly: Assembly
) -> None:
    day = today()
    with the_next_day():
        world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.05"))
        then, now = changed(assembly, day)["Gauge of end A"]
        assert then == f"{world.caliper}, right as far as known"
        assert now == f"{world.caliper}: in question. The calibration of {today()} found it wrong."


def test_a_lot_that_was_corrected_later_was_the_one_that_was_named(world: World) -> None:
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=5))
    assembly, made = bench.crimped(world)
    day = today()
    with the_next_day():
        correct_lots(
            actor=world.inspector,
            crimp=made,
            fitting_lot=other,
            ferrule_lot=world.ferrule_lot,
            reason="mixed up",
        )
        condemn_lot(actor=world.bench, lot=other, reason="cracked")
        then, now = changed(assembly, day)["Parts of end A"]
        assert then == f"{world.fitting_lot} and {world.ferrule_lot}"
        assert now == f"{then}; corrected to {other}, condemned and {world.ferrule_lot}"


def test_a_recall_and_a_damaged_tool_of_later_were_not_known(world: World, assembly: Assembly) -> None:
    day = today()
    with the_next_day():
        made = recall(world, assembly)
        report_damage(actor=world.bench, tool=world.die_set, what="die 3 chipped")
        found = changed(assembly, day)
        assert found["Recalls"] == ("none", f"{made}: nothing found yet")
        then, now = found["Tools of end A"]
        assert f"{world.die_set}, usable" in then
        assert f"{world.die_set}, not to be used: die 3 chipped" in now


def test_what_was_written_down_later_had_happened_and_was_not_known(world: World) -> None:
    """A job card of that day, typed the next."""
    assembly = bench.plan(world)
    day, happened = today(), timezone.now()
    with the_next_day():
        bench.cut(world, assembly, actor=world.inspector, earlier=Earlier(world.bench, happened))
        found = as_of(assembly, day)
        assert changed(assembly, day)["Hose"] == ("nothing known", str(world.reel.lot))
        [told] = found.written_later
        assert told.by.number == world.bench.number


def test_the_page_asks_for_a_day_and_shows_both_columns(
    client: Client, world: World, assembly: Assembly
) -> None:
    day = today()
    client.force_login(world.auditor)
    page = f"/assembly/{assembly.code}/"
    assert "Known now" not in client.get(page).content.decode()
    assert "Known now" not in client.get(page, {"as_of": "nonsense"}).content.decode()
    text = client.get(page, {"as_of": str(day)}).content.decode()
    assert f"Known on {day}" in text
    assert "Known now" in text


def test_much_on_record_asks_no_more_than_little(world: World, assembly: Assembly) -> None:
    def asked() -> int:
        record = record_of(assembly)
        with CaptureQueriesContext(connection) as queries:
            assembly_as_of(record, today())
        return len(queries)

    few = asked()
    measurement = assembly.crimps.get().measurements.get()
    for _ in range(3):
        measurement = correct_measurement(
            actor=world.inspector, measurement=measurement, readings_mm=bench.mm(*bench.GOOD)
        )
    assert asked() == few
