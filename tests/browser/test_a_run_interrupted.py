"""What comes between a bench and its run: the network, the next person, another bench at the same press."""

import pytest
from playwright.sync_api import Route

from shop.people.pins import set_pin
from tests.assemblies import bench
from tests.browser.conftest import Doors, Seats
from tests.browser.hands import crimped_until, planned, set_up
from tests.browser.test_bad_habits import entries
from tests.browser.test_changing_person import ILSES, RADUS, is_there, scans_a_badge
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_crimps_of_several_whose_answer_was_lost_are_recorded_once_each(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 3)
    pieces = crimped_until(world, run, 1)
    bench.measure(world, pieces[0].crimps.get())
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    arrived: list[int] = []

    def lose_the_answer(route: Route) -> None:
        arrived.append(route.fetch().status)
        route.abort("connectionreset")

    hands.person.page.route("**/crimp/", lose_the_answer, times=1)
    hands.tick_and_press("They are crimped")
    hands.reads("That was recorded already.", f"Take {pieces[2]} in hand.")
    assert arrived == [200]
    hands.read()
    hands.reads("Set the crimper up for end B.")
    assert [entries(hands.person, piece, "crimped an end") for piece in pieces] == [1, 1, 1]


def test_crimps_of_several_that_never_left_are_sent_when_the_connection_is_back(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    run = planned(world, 3)
    pieces = crimped_until(world, run, 1)
    bench.measure(world, pieces[0].crimps.get())
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    hands.person.loses_the_connection()
    hands.tick_and_press("They are crimped")
    hands.reads("1 step waits on this tablet")
    hands.person.finds_the_connection()
    hands.reads(f"Take {pieces[2]} in hand.")
    assert [entries(hands.person, piece, "crimped an end") for piece in pieces] == [1, 1, 1]


def test_who_badges_in_at_a_run_sets_up_first_and_who_had_set_up_goes_on_when_back(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    set_pin(actor=world.bench, person=world.bench, pin=ILSES)
    set_pin(actor=world.inspector, person=world.inspector, pin=RADUS)
    run = planned(world, 4)
    first, second, *_ = crimped_until(world, run, 1)
    bench.measure(world, first.crimps.get())
    hands = sit(open_the_doors(), "ilse")
    hands.open(run)
    for who, pin, sentence in (
        (world.inspector, RADUS, f"Stopped: {world.bench} has set this crimper up for end A"),
        (world.bench, ILSES, "How many"),
    ):
        scans_a_badge(hands.person, who.code)
        hands.person.page.keyboard.type(pin)
        hands.person.page.keyboard.press("Enter")
        is_there(hands.person, who.name)
        hands.reads(sentence)
    hands.person.fills_in({"How many": "1"})
    hands.tick_and_press("They are crimped")
    hands.reads(f"End A of {second.serial} crimped.")


def test_two_benches_at_one_press_the_one_that_comes_back_is_told_and_sets_up_once_more(
    every_tenth: World, open_the_doors: Doors, sit: Seats
) -> None:
    world = every_tenth
    mine, theirs = planned(world, 2), bench.plan_and_cut(world).run
    crimped_until(world, mine, 1)
    address = open_the_doors()
    hands, others = sit(address, "ilse"), sit(address, "radu")
    hands.open(mine)
    hands.read()
    hands.reads("How many")
    others.open(theirs)
    set_up(others, world)
    others.reads("Crimp end A.")
    hands.tick_and_press("They are crimped")
    hands.reads(f"Stopped: {world.inspector} has set up {world.crimper} for", "end A ended with that.")
    hands.person.follows("Set up once more")
    set_up(hands, world)
    hands.reads("Crimp end A.", "Scan the bin of fittings")
