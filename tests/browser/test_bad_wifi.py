"""A step that finds no connection waits on the tablet, and is in the record once when there is one again."""

import re

import pytest
from playwright.sync_api import Route, expect

from shop.assemblies.models import Assembly
from shop.catalogue.services import check_chart, save_chart_line
from tests.assemblies.bench import GOOD, crimp, crimped, plan, ready_to_crimp
from tests.browser.beginning import sign_in
from tests.browser.conftest import Doors, Sit
from tests.browser.person import Person
from tests.browser.test_bad_habits import at_the_bench, entries
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TOO_LARGE = ("24.5",) * 4


def read_the_caliper(person: Person) -> None:
    """The last Enter sends the readings; there may be no answer."""
    person.page.get_by_label("Reading 1").focus()
    for reading in GOOD:
        person.page.keyboard.type(reading)
        person.page.keyboard.press("Enter")


def bar(person: Person, *texts: str) -> None:
    """The bar above the page tells that of the steps on this tablet."""
    for text in texts:
        expect(person.page.get_by_role("status", name="Steps on this tablet")).to_contain_text(text)


def no_bar(person: Person) -> None:
    expect(person.page.get_by_role("status", name="Steps on this tablet")).to_have_count(0)


@pytest.fixture
def unread(world: World) -> Assembly:
    """An assembly whose end A is crimped and waits for the caliper."""
    assembly = ready_to_crimp(world)
    crimp(world, assembly)
    return assembly


def test_a_step_that_never_left_waits_and_is_sent_when_the_connection_is_back(
    unread: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, unread)
    person.loses_the_connection()
    read_the_caliper(person)
    bar(person, f"1 step waits on this tablet: measured {unread} at end A.")
    bar(person, "It will be sent when the connection is back.")
    expect(person.page.get_by_role("button", name="Judge")).to_be_disabled()
    person.looks()
    person.finds_the_connection()
    person.reads("End A passes", "mean 24.20")
    no_bar(person)
    assert entries(person, unread, "measured") == 1


def test_a_step_that_arrived_but_whose_answer_was_lost_is_recorded_once(
    unread: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, unread)
    arrived: list[int] = []

    def lose_the_answer(route: Route) -> None:
        arrived.append(route.fetch().status)
        route.abort("connectionreset")

    person.page.route("**/measure/", lose_the_answer, times=1)
    read_the_caliper(person)
    person.reads("That was recorded already.")
    assert arrived == [200]
    assert entries(person, unread, "measured") == 1


def test_a_step_outlives_a_closed_tab_and_a_server_that_is_down(
    unread: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "phone")
    person.page.clock.install()
    at_the_bench(person, unread)
    person.page.context.route("**/measure/", lambda route: route.fulfill(status=503))
    read_the_caliper(person)
    bar(person, "1 step waits on this tablet")
    tab = person.page
    person.page = tab.context.new_page()
    tab.close()
    person.goes_to("/bench/")
    bar(person, f"1 step waits on this tablet: measured {unread} at end A.")
    person.page.get_by_text("What was typed").click()
    bar(person, "Reading 1 in mm", GOOD[0])
    person.looks()
    for _ in range(4):  # in vain, and each pause is twice the last: the button comes long before the next
        with person.page.expect_response("**/measure/"):
            person.page.clock.fast_forward("01:00")
    person.page.context.unroute("**/measure/")
    person.page.get_by_role("button", name="Send now").click()
    bar(person, f"Sent and recorded: measured {unread} at end A.")
    person.follows("Go on with it")
    person.reads("End A passes")
    assert entries(person, unread, "measured") == 1


def test_what_the_world_has_overtaken_is_told_with_all_that_was_typed(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    """While a decision waits on one tablet, somebody else scraps the assembly on another."""
    assembly, _ = crimped(world, TOO_LARGE)
    address = open_the_doors()
    person, other = sit_down(address, "tablet"), sit_down(address, "tablet")
    at_the_bench(person, assembly)
    person.fills_in({"Scrap": True, "In your own words": "the press slipped"})
    person.loses_the_connection()
    person.page.get_by_role("button", name="Decide").click()
    bar(person, f"1 step waits on this tablet: decided about {assembly}")
    sign_in(other, "radu")
    other.goes_to(f"/bench/{assembly.code}/")
    other.fills_in({"Scrap": True, "In your own words": "seen from here"})
    other.presses("Decide")
    other.reads("recorded.")
    person.finds_the_connection()
    bar(person, f"Not recorded: decided about {assembly}", "Scrapped", "the press slipped")
    person.looks()
    person.follows("Look at it as it is now")
    bar(person, "Not recorded", "the press slipped")
    person.page.get_by_role("button", name=re.compile("take it off")).click()
    no_bar(person)
    assert entries(person, assembly, "decided") == 1


def test_a_crimp_on_a_chart_that_was_superseded_meanwhile_is_refused_by_a_sentence(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = ready_to_crimp(world)
    line = world.chart.lines.get()
    line.target += line.target / 1000
    save_chart_line(actor=world.bench, line=line)
    world.chart.refresh_from_db()
    check_chart(actor=world.inspector, chart=world.chart)
    address = open_the_doors()
    person, other = sit_down(address, "tablet"), sit_down(address, "desktop")
    at_the_bench(person, assembly)
    person.scans(world.fitting_lot.code)
    person.scans(world.ferrule_lot.code)
    person.ticks_everything()
    person.loses_the_connection()
    person.page.get_by_role("button", name="It is crimped").click()
    bar(person, f"1 step waits on this tablet: crimped {assembly} at end A.")
    sign_in(other, "radu")
    other.goes_to(f"/quality/charts/{world.chart.pk}/issue/")
    other.fills_in({"Issue": "2"})
    other.presses("Issue it")
    person.finds_the_connection()
    bar(person, f"Not recorded: crimped {assembly} at end A.", "issue 2")
    assert entries(person, assembly, "crimped an end") == 0


def test_a_step_of_somebody_else_waits_until_that_person_is_back(
    unread: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    person.page.clock.install()
    at_the_bench(person, unread)
    person.page.route("**/measure/", lambda route: route.abort("connectionfailed"))
    read_the_caliper(person)
    bar(person, "1 step waits on this tablet")
    sign_in(person, "radu")
    person.page.unroute("**/measure/")
    bar(person, "1 step waits on this tablet", "is sent once", "is signed in here")
    person.goes_to(f"/bench/{unread.code}/")
    person.page.clock.fast_forward("01:00")  # as long as the longest pause before a step is sent again
    bar(person, "is sent once")
    assert entries(person, unread, "measured") == 0
    sign_in(person, "ilse")
    bar(person, f"Sent and recorded: measured {unread} at end A.")
    assert entries(person, unread, "measured") == 1


def test_a_step_of_a_session_that_has_ended_is_sent_once_its_person_is_signed_in_again(
    unread: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, unread)
    person.page.context.clear_cookies(name="sessionid")
    read_the_caliper(person)
    bar(person, "1 step waits on this tablet", "You are not signed in any more.")
    person.looks()
    sign_in(person, "ilse")
    bar(person, f"Sent and recorded: measured {unread} at end A.")
    assert entries(person, unread, "measured") == 1


def test_a_scan_without_a_connection_stays_in_its_box(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = plan(world)
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, assembly)
    person.loses_the_connection()
    person.page.keyboard.type(world.reel.code)
    person.page.keyboard.press("Enter")
    bar(person, "No connection: what you scanned was not looked up.")
    expect(person.page.get_by_label("Scan the piece of hose")).to_have_value(world.reel.code)
    person.finds_the_connection()
    person.presses("Take it")
    person.reads(f"piece {world.reel.printed_code}")
