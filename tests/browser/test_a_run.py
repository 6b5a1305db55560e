"""A run at the bench as the hands know it: a tablet, a scanner and a caliper that type, and few taps."""

import sys
import time
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from shop.assemblies.points import At
from shop.assemblies.runs import cut_pieces
from shop.catalogue.services import check_chart, save_chart_line
from shop.stock.models import Lot
from shop.stock.services import receive_hose
from tests.assemblies import bench
from tests.browser.conftest import Doors, Seats
from tests.browser.hands import crimp_end_of_all, crimped_until, planned, set_up
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TOO_LARGE = ("24.5",) * 4


def test_a_run_of_fifty_takes_few_taps(
    every_tenth: World, open_the_doors: Doors, sit: Seats, capsys: pytest.CaptureFixture[str]
) -> None:
    world = every_tenth
    run = planned(world, 50)
    pieces = list(run.assemblies.order_by("serial"))
    address = open_the_doors()
    hands = sit(address, "ilse")
    begun = time.monotonic()
    hands.open(run)
    hands.scan(world.reel.code)
    hands.tick_and_press("They are cut")
    hands.reads("50 × 880 mm cut from")
    # The first, the tenth and so on to the last: six crimped together and measured, at each end.
    assert crimp_end_of_all(hands, world) == 6
    assert crimp_end_of_all(hands, world) == 6
    hands.reads("Inspect the finished assembly")
    made = time.monotonic()
    inspector = sit(address, "radu")
    inspector.open(run)
    for _ in range(2):  # twenty-five lengths on a page
        inspector.scan(world.tape.code)
        inspector.type_lengths()
        inspector.tick_and_press("They are inspected")
        inspector.reads("25 inspected and right.")
    inspector.tick_and_press("Make the tags")
    inspector.reads("50 tags are ready to print.")
    for piece in pieces:
        inspector.scan(piece.code)
        inspector.reads(f"Assembly {piece.serial} is released")  # as people look before the next
    inspector.reads("Nothing is left to do here")
    done = time.monotonic()
    with capsys.disabled():
        for who, what, seconds in (("made", hands, made - begun), ("finished", inspector, done - made)):
            sys.stdout.write(
                f"\n50 hoses {who}: {what.taps} taps, {what.scans} scans, {what.values} values typed "
                f"in {seconds:.0f} s\n"
            )
    assert hands.taps <= 120
    assert hands.scans == 1 + 2 * 6
    assert inspector.scans == 2 + 50


def test_a_wrong_part_is_refused_before_the_press_moves(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 3)
    cut_pieces(actor=world.bench, run=run, count=3, piece=world.reel, seen=bench.TICKED[At.CUT])
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    hands.scan(world.reel.code)
    hands.reads("Stopped:", "Scan the crimper")
    set_up(hands, world)
    hands.scan(world.elbow_lot.code)
    hands.reads("Stopped:", "Scan the bin of fittings")
    hands.scan(world.fitting_lot.code, world.ferrule_lot.code)
    hands.tick_and_press("They are crimped")
    hands.reads("Measure assembly")


def test_a_first_piece_that_fails_stops_the_run(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 5)
    first, *_ = crimped_until(world, run, 1)
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    hands.read(TOO_LARGE)
    hands.reads(f"Take {first} in hand.", "failed")
    hands.open(run, "?step=crimp&end=A")
    hands.reads("Stopped:", "set the crimper up once more")
    expect(hands.person.page.get_by_role("button", name="They are crimped")).to_have_count(0)


def test_a_twentieth_that_fails_holds_those_since_the_tenth(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 25)
    pieces = crimped_until(world, run, 20)
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    hands.reads(f"Take {pieces[19]} in hand.")
    hands.read(TOO_LARGE)
    standing = {
        piece.serial: hands.person.page.locator(f".pieces a[href*='{piece.code}']").inner_text()
        for piece in pieces
    }
    assert all("crimped" in standing[piece.serial] for piece in pieces[:10])
    assert all("held" in standing[piece.serial] for piece in pieces[10:19])
    assert "failed" in standing[pieces[19].serial]
    assert all("cut" in standing[piece.serial] for piece in pieces[20:])


def test_who_comes_to_the_press_of_somebody_else_sets_up_first(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 4)
    first, second, *_ = crimped_until(world, run, 1)
    bench.measure(world, first.crimps.get())
    hands = sit(open_the_doors(), "radu")
    hands.open(run)
    hands.reads("Stopped:", f"{world.bench} has set this crimper up for end A")
    hands.person.follows("Set up once more")
    set_up(hands, world)
    hands.open(run)
    hands.scan(world.fitting_lot.code, world.ferrule_lot.code)
    hands.tick_and_press("They are crimped")
    hands.reads(f"Measure {second} now.")


def test_a_chart_superseded_in_mid_run_stops_it_and_leads_to_the_order(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 4)
    first, *_ = crimped_until(world, run, 1)
    bench.measure(world, first.crimps.get())
    line = world.chart.lines.get()
    line.target += Decimal("0.05")
    save_chart_line(actor=world.bench, line=line)
    world.chart.refresh_from_db()
    check_chart(actor=world.inspector, chart=world.chart)
    address = open_the_doors()
    hands, other = sit(address, "ilse"), sit(address, "radu")
    hands.open(run)
    other.person.goes_to(f"/quality/charts/{world.chart.pk}/issue/")
    other.person.fills_in({"Issue": "2"})
    other.person.presses("Issue it")
    hands.tick_and_press("They are crimped")
    hands.reads("Stopped:", "issue 2")
    hands.open(run)
    hands.person.follows("To the order")


def test_two_benches_on_one_reel_never_take_more_than_is_on_it(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    mine, theirs = planned(world, 2), planned(world, 2)
    [short] = receive_hose(
        actor=world.bench,
        lot=Lot(hose=world.hose, batch="T-772", made_printed=world.reel.lot.made_printed),
        lengths_mm=[Decimal(3000)],
    )
    address = open_the_doors()
    hands, others = sit(address, "ilse"), sit(address, "radu")
    for bench_hands, run in ((hands, mine), (others, theirs)):
        bench_hands.open(run)
        bench_hands.scan(short.code)
    hands.tick_and_press("They are cut")
    hands.reads("2 × 880 mm cut from", "1240 mm are left on it")
    others.tick_and_press("They are cut")
    others.reads("Stopped:")
    others.person.fills_in({"How many": "1"})
    others.tick_and_press("They are cut")
    others.reads("1 × 880 mm cut from", "360 mm are left on it")
