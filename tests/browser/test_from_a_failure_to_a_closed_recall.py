"""A hose leaks at a quarry: from the report at its tag to a closed recall that a stranger can check."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from shop.assemblies.models import Assembly
from tests.assemblies import bench
from tests.browser.beginning import sign_in
from tests.browser.conftest import Doors, Sit
from tests.browser.person import Person
from tests.documents.evidence.stranger import Answer, ask
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shipped(world: World) -> list[Assembly]:
    """Two that went out, made of the same lots."""
    return [bench.shipped(world), bench.shipped(world)]


def report_at_the_tag(stranger: Person, assembly: Assembly) -> str:
    """What the person beside the machine does; returns the reference."""
    stranger.goes_to(f"/T/{assembly.code}")
    stranger.reads("RELEASED")
    stranger.follows("It failed")
    stranger.reads("Is somebody hurt?", "A wound as small as a pinprick counts.")
    stranger.follows("No")
    stranger.fills_in(
        {
            "What happened to the hose?": "leak at the ferrule",
            "How many hours had it run?": "41",
            "What was seen?": "Oil at the lower ferrule.",
            "Whom can the workshop ask?": "the fitter, 0000 12",
        }
    )
    stranger.presses("Send it to the workshop")
    stranger.reads("Take it out of use", "Your reference")
    return stranger.page.locator(".reference").inner_text()


def find_out(inspector: Person, reference: str) -> None:
    """The inspector reads the report, and says what the part in hand shows."""
    inspector.goes_to("/quality/")
    inspector.follows("Failures in the field")
    inspector.page.get_by_role("link", name=reference).click()
    inspector.looks()
    inspector.reads("Oil at the lower ferrule.", "the fitter, 0000 12", "41")
    inspector.page.get_by_label("failed in service").check()
    inspector.fills_in(
        {"How it failed": "leak at the ferrule", "How that was found out": "Cut open: the hose sat short."}
    )
    inspector.presses("Record it")
    inspector.reads("Whoever scans its tag reads DO NOT USE.")


def recall_its_siblings(inspector: Person, world: World) -> None:
    """What it shares with others is suspected, looked at and recalled."""
    inspector.goes_to("/quality/suspect/")
    inspector.fills_in({"They were": "fitting from … (lot)", "Which": world.fitting_lot.code})
    inspector.presses("Add")
    inspector.reads("Fitting from", "Customers")
    inspector.fills_in({"Why": "One leaked: the hose was not pushed in."})
    inspector.presses("Recall 2 assemblies")
    inspector.reads("Recall 1", "Nothing heard yet")


def follow_it_up(counter: Person, shipped: list[Assembly]) -> None:
    """The customer answers, and both hoses are taken out of use."""
    counter.goes_to("/quality/recalls/1/")
    counter.page.locator("main summary").first.click()
    counter.fills_in({"What they said, and who": "Both are off, says the foreman."})
    counter.presses("Keep the answer")
    for assembly in shipped:
        counter.page.get_by_label(f"Assembly {assembly.serial}").check()
    counter.page.get_by_label("taken out of use").check()
    counter.fills_in({"In words": "in our rack"})
    counter.presses("Record it of those ticked")
    expect(counter.page.locator(".fact", has_text="Made safe")).to_contain_text("100")


def take_the_package(auditor: Person, folder: Path) -> Answer:
    """What leaves the workshop, checked by somebody who has nothing else."""
    auditor.goes_to("/quality/recalls/1/")
    auditor.follows("Evidence package")
    with auditor.page.expect_download() as download:
        auditor.page.get_by_role("button", name="Take the package").click()
    return ask(folder, Path(download.value.path()).read_bytes())


def test_from_the_report_at_the_tag_to_a_closed_recall_and_a_package_that_holds(
    world: World, shipped: list[Assembly], open_the_doors: Doors, sit_down: Sit, tmp_path: Path
) -> None:
    address = open_the_doors()
    stranger, staff = sit_down(address, "phone"), sit_down(address, "tablet")
    leaked, sibling = shipped
    reference = report_at_the_tag(stranger, leaked)
    stranger.goes_to(f"/T/{leaked.code}")
    stranger.reads("RELEASED")  # a report alone marks nothing: anybody could send one

    sign_in(staff, world.inspector.username)
    find_out(staff, reference)
    stranger.goes_to(f"/T/{leaked.code}")
    stranger.reads("DO NOT USE")
    recall_its_siblings(staff, world)
    stranger.goes_to(f"/T/{sibling.code}")
    stranger.reads("DO NOT USE", "It is recalled")

    sign_in(staff, world.counter.username)
    follow_it_up(staff, shipped)
    sign_in(staff, world.owner.username)
    staff.goes_to("/quality/recalls/1/")
    staff.fills_in({"Why it is closed": "Both are here, and are scrap."})
    staff.presses("Close the recall")
    staff.reads("It is closed.", "2 of 2 made safe")

    sign_in(staff, world.auditor.username)
    said = take_the_package(staff, tmp_path)
    assert said.code == 0, said.words
    assert said.words.startswith("Yes")
    stranger.goes_to(f"/T/{sibling.code}")
    stranger.reads("DO NOT USE")
