"""What was known and in force of one chart, tool, gauge or lot at the end of a past day, beside now."""

import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.db.models import Model
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.assemblies.making import correct_lots
from shop.assemblies.occasion import Earlier
from shop.assemblies.wear import record_tool_check
from shop.catalogue.services import withdraw_issue
from shop.policy.services import today
from shop.stock.models import Lot, MovementKind
from shop.stock.services import condemn_lot, move_piece, receive_hose, receive_lot
from shop.tooling.models import Gauge, PressureGauge
from shop.tooling.services import check_gauge, report_damage, save_die_set, save_gauge
from shop.trace.reaching import on_record_with, reached_by
from shop.trace.thing_as_of import thing_as_of
from tests import factories
from tests.assemblies import bench, proving
from tests.assemblies.test_runs import cut_run, make
from tests.trace.test_as_of_a_day import the_next_day
from tests.trace.test_what_was_in_force import noted_die_set
from tests.world import World


def changed(thing: Model, day: datetime.date) -> dict[str, tuple[str, str]]:
    """What was known otherwise then."""
    return {one.what: (one.then, one.now) for one in thing_as_of(thing, day) if one.differs}


def known(thing: Model, day: datetime.date) -> dict[str, str]:
    return {one.what: one.then for one in thing_as_of(thing, day)}


def test_a_chart_that_was_withdrawn_later_was_in_force_then(world: World) -> None:
    bench.crimped(world)
    day = today()
    with the_next_day():
        withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="a misprint")
        withdrawn = f"withdrawn on {today()}"
        assert changed(world.chart, day) == {
            "In force": ("issue 1", "none in force: issue 1 withdrawn"),
            "Issue 1": ("in force", withdrawn),
        }
        assert changed(world.chart_issue, day)["This issue"] == ("in force", withdrawn)
        assert known(world.chart, day)["Assemblies crimped to it"] == "1"


def test_an_issue_that_came_later_was_not_in_the_book_and_replaced_the_one_before(world: World) -> None:
    day = today()
    with the_next_day():
        later = world.issue("2")
        assert changed(world.chart, day) == {
            "In force": ("issue 1", "issue 2"),
            "Issue 1": ("in force", "replaced by issue 2"),
            "Issue 2": ("not in the book", "in force"),
        }
        assert changed(later, day)["This issue"] == ("not in the book", "in force")


def test_an_issue_whose_day_had_not_come_was_still_to_begin(world: World) -> None:
    begins = today() + datetime.timedelta(days=1)
    world.issue("2", begins)
    assert known(world.chart, today())["Issue 2"] == f"to begin on {begins}"
    assert known(world.chart, today())["In force"] == "issue 1"


def test_a_die_set_that_was_damaged_and_looked_at_later(world: World) -> None:
    dies = noted_die_set(world)
    record_tool_check(actor=world.bench, tool=dies, passed=True, condition="clean")
    day = today()
    with the_next_day():
        report_damage(actor=world.bench, tool=dies, what="die 3 chipped")
        record_tool_check(actor=world.bench, tool=dies, passed=False, condition="chipped")
        found = changed(dies, day)
        assert found["May it be used"] == ("usable", "not to be used: die 3 chipped")
        assert found["Last looked at"] == (f"{day}: fit for use", f"{today()}: not fit for use")


def test_what_was_typed_of_a_die_set_then_and_its_crimps_until_it_is_looked_at(world: World) -> None:
    world.die_set.condition, world.die_set.check_every_uses = "as new", 5
    save_die_set(actor=world.bench, die_set=world.die_set)
    bench.crimped(world)
    day = today()
    with the_next_day():
        world.die_set.condition = "worn"
        save_die_set(actor=world.bench, die_set=world.die_set)
        bench.crimped(world)
        record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean")
        found = changed(world.die_set, day)
        assert found["Condition"] == ("as new", "worn")
        assert found["Crimps made"] == ("1", "2")
        assert found["Next look"] == ("1 of 5 crimps made", "0 of 5 crimps made")
        assert found["Assemblies made with it"] == ("1", "2")


def test_a_tool_that_was_added_later_was_not_in_the_book(world: World) -> None:
    day = today()
    with the_next_day():
        dies = noted_die_set(world)
        assert changed(dies, day)["May it be used"] == ("not in the book", "usable")


def test_a_gauge_that_was_found_wrong_later_was_in_calibration_then(world: World) -> None:
    world.caliper.permitted_error = Decimal("0.02")
    save_gauge(actor=world.bench, gauge=world.caliper)
    bench.crimped(world)
    day, due = today(), world.caliper.calibration.due_on
    with the_next_day():
        world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.05"), passed=False)
        found = changed(world.caliper, day)
        assert found["May it judge"] == (f"in calibration until {due}", f"found unfit on {today()}")
        assert found["Found wrong"] == (
            "never, as far as known",
            f"The calibration of {today()} found it wrong.",
        )
        assert found["Last calibrated"][1].startswith(f"{today()}, U ± ")
        assert "Assemblies that rest on it" not in found


def test_a_gauge_was_due_on_a_day_after_its_calibration_ran_out(world: World) -> None:
    due = world.caliper.calibration.due_on
    save_gauge(actor=world.bench, gauge=changed_mark(world.caliper))
    after = due + datetime.timedelta(days=1)
    assert known(world.caliper, after)["May it judge"] == f"was due on {due}"


def changed_mark(gauge: Gauge) -> Gauge:
    """Noted by that in the ledger."""
    gauge.mark = "red tape"
    return gauge


def test_a_gauge_that_was_tried_later_had_not_been(world: World) -> None:
    world.caliper.permitted_error = Decimal("0.02")
    save_gauge(actor=world.bench, gauge=world.caliper)
    piece = factories.CheckPieceFactory(nominal=Decimal(25), uncertainty=Decimal("0.001"))
    day = today()
    with the_next_day():
        check_gauge(actor=world.bench, gauge=world.caliper, piece=piece, reading=Decimal("25.01"))
        tried = changed(world.caliper, day)["Last tried on a check piece"]
        assert tried == ("never", f"{today()}: right on {piece}")


def test_a_pressure_gauge_that_was_found_unfit_later(world: World) -> None:
    test = proving.prove(world, proving.ready_to_test(world))
    gauge: PressureGauge = test.gauge
    day = today()
    with the_next_day():
        proving.calibrate(world, gauge, done_on=today(), passed=False)
        found = changed(gauge, day)
        assert found["May it judge"][1] == f"found unfit on {today()}"
        assert found["Found wrong"][0] == "never, as far as known"
        assert known(gauge, day)["Assemblies that rest on it"] == "1"


def test_a_lot_that_was_condemned_and_corrected_to_later(world: World) -> None:
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=5))
    _, crimp = bench.crimped(world)
    day = today()
    with the_next_day():
        correct_lots(
            actor=world.inspector,
            crimp=crimp,
            fitting_lot=other,
            ferrule_lot=world.ferrule_lot,
            reason="mixed up",
        )
        condemn_lot(actor=world.bench, lot=other, reason="cracked")
        assert changed(other, day) == {
            "Condemned": ("no", f"on {today()}: nothing is made from it"),
            "Corrections": ("none", "1 to it, 0 away from it"),
            "Assemblies that it may be in": ("0", "1"),
        }
        assert changed(world.fitting_lot, day) == {"Corrections": ("none", "0 to it, 1 away from it")}
        assert changed(world.ferrule_lot, day) == {}


def test_what_was_left_of_a_lot_of_hose(world: World) -> None:
    first, _ = receive_hose(
        actor=world.bench,
        lot=Lot(hose=world.hose, made_printed=world.reel.lot.made_printed),
        lengths_mm=[Decimal(8000), Decimal(2000)],
        sure=frozenset({"undated_hose", "may_be_older_edition"}),
    )
    day = today()
    with the_next_day():
        move_piece(actor=world.bench, piece=first, kind=MovementKind.SCRAPPED, change_mm=-first.length_left)
        assert changed(first.lot, day) == {"Hose left": ("10000 mm on 2 pieces", "2000 mm on 1 piece")}
    before = known(first.lot, day - datetime.timedelta(days=1))
    assert before["Received"] == before["Hose left"] == before["Condemned"] == "not in the book"


def test_what_was_written_down_later_had_touched_nothing_yet(world: World) -> None:
    """A job card of that day, typed the next."""
    assembly = bench.plan(world)
    day, happened = today(), timezone.now()
    with the_next_day():
        bench.cut(world, assembly, actor=world.inspector, earlier=Earlier(world.bench, happened))
        assert changed(world.reel.lot, day)["Assemblies that it may be in"] == ("0", "1")


def test_a_crimp_rests_on_a_gauge_once_a_piece_after_it_was_measured_too(world: World) -> None:
    first, between, third, _ = cut_run(world, 4, every=3)
    save_gauge(actor=world.bench, gauge=changed_mark(world.caliper))
    make(world, first, between)
    crimp, day = bench.crimp(world, third), today()
    with the_next_day():
        bench.measure(world, crimp)
        assert changed(world.caliper, day) == {"Assemblies that rest on it": ("1", "3")}


@pytest.mark.parametrize(
    "name", ["chart_issue", "crimper", "die_set", "stop_part", "caliper", "fitting_lot", "ferrule_lot", "lot"]
)
def test_now_it_touched_what_a_look_up_says(world: World, name: str) -> None:
    bench.shipped(world)
    bench.crimped(world)
    thing: Any = world.reel.lot if name == "lot" else getattr(world, name)
    found = set(on_record_with([thing], None))
    assert found == set(reached_by(thing))
    assert found == set(on_record_with([thing], timezone.now()))
    assert not on_record_with([thing], timezone.now() - datetime.timedelta(days=1))


def test_much_that_was_done_with_a_tool_asks_no_more_than_little(world: World) -> None:
    things = (world.chart, world.die_set, world.caliper, world.fitting_lot, world.reel.lot)

    def asked() -> list[int]:
        counts = []
        for thing in things:
            with CaptureQueriesContext(connection) as queries:
                thing_as_of(thing, today())
            counts.append(len(queries))
        return counts

    def work() -> None:
        bench.crimped(world)
        record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean")

    work()
    asked()  # what a row is asked for once
    few = asked()
    for _ in range(3):
        work()
    assert asked() == few
