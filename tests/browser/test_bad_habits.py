"""What people and networks do to pages that record something: it is in the record once."""

import pytest
from playwright.sync_api import expect

from shop.assemblies.models import Assembly
from tests.assemblies.bench import plan, ready_to_crimp
from tests.browser.beginning import sign_in
from tests.browser.conftest import Doors, Sit
from tests.browser.person import Person
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def at_the_bench(person: Person, assembly: Assembly) -> None:
    """The bench person has the assembly before him."""
    sign_in(person, "ilse")
    person.goes_to(f"/bench/{assembly.code}/")


def look_at_the_reel(person: Person, world: World) -> None:
    """880 mm were cut off 50 m, once: what came in and one cut are all that ever moved."""
    person.goes_to(f"/stores/pieces/{world.reel.pk}/")
    person.reads("49120 mm")
    expect(person.page.locator("tbody tr")).to_have_count(2)


def entries(person: Person, assembly: Assembly, words: str) -> int:
    """How many entries of the ledger say that of the assembly."""
    person.goes_to(f"/assembly/{assembly.code}/")
    return person.page.get_by_role("region", name="Entries of the ledger").get_by_text(words).count()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_double_tap_cuts_once(world: World, open_the_doors: Doors, sit_down: Sit, script: bool) -> None:
    assembly = plan(world)
    person = sit_down(open_the_doors(), "tablet", script=script)
    at_the_bench(person, assembly)
    person.fills_in({"Scan the piece of hose": world.reel.code})
    person.presses("Take it")
    person.ticks_everything()
    person.page.get_by_role("button", name="It is cut").dblclick(delay=0)
    person.reads("Set the crimper up for end A")
    look_at_the_reel(person, world)


def test_two_taps_that_reach_the_server_together_cut_once(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = plan(world)
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, assembly)
    person.scans(world.reel.code)
    person.ticks_everything()
    answers = person.page.evaluate(
        """async () => {
            const form = document.querySelector("form.bench");
            const sent = new URLSearchParams(new FormData(form));
            sent.append("take", "1");
            const taps = [1, 2, 3, 4].map(() => fetch(form.action, { method: "POST", body: sent }));
            return (await Promise.all(taps)).map((answer) => answer.status);
        }"""
    )
    assert answers == [200] * 4
    look_at_the_reel(person, world)


def test_reloading_a_page_that_was_sent_records_nothing_more(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = plan(world)
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, assembly)
    person.scans(world.reel.code)
    person.page.reload()
    person.reads(f"piece {world.reel.printed_code}")
    person.ticks_everything()
    person.presses("It is cut")
    person.page.reload()
    person.reads("Set the crimper up for end A")
    look_at_the_reel(person, world)


def test_going_back_and_sending_once_more_does_not_crimp_the_other_end(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = ready_to_crimp(world)
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, assembly)
    person.scans(world.fitting_lot.code)
    person.scans(world.ferrule_lot.code)
    person.ticks_everything()
    person.presses("It is crimped")
    person.reads("End A is crimped")
    person.goes_back()
    person.ticks_everything()
    person.presses("It is crimped")
    person.reads("recorded already")
    assert entries(person, assembly, "crimped an end") == 1


def test_an_address_that_leads_nowhere_says_what_to_do(open_the_doors: Doors, sit_down: Sit) -> None:
    person = sit_down(open_the_doors(), "phone")
    person.goes_to("/bench/nothing/of/the/kind/")
    person.reads("There is no such page", "Nothing was changed")


def test_a_form_left_open_by_somebody_who_signed_out_is_not_taken_in_another_name(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    assembly = plan(world)
    person = sit_down(open_the_doors(), "phone")
    at_the_bench(person, assembly)
    person.scans(world.reel.code)
    person.ticks_everything()
    sign_in(Person(person.page.context.new_page(), person.address), "radu")
    person.presses("It is cut")
    person.reads("too old to send", "Nothing was changed")
    assert entries(person, assembly, "cut the hose") == 0
