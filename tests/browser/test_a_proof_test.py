"""The proof test as it is walked at the bench: cautions before the pump starts, then what came of it."""

import pytest
from playwright.sync_api import expect

from shop.assemblies.models import Assembly
from shop.assemblies.testing import READY
from shop.tooling.models import PressureGauge
from shop.web.bench.forms.testing import CAUTIONS
from tests.assemblies import proving
from tests.browser.beginning import sign_in
from tests.browser.conftest import Doors, Sit
from tests.browser.person import Person
from tests.browser.test_bad_habits import at_the_bench
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

READY_GROUP, SEEN, WRONG = "Ready", "Looked at with the pressure off, and right", "Or found wrong"


@pytest.fixture
def gauge(world: World) -> PressureGauge:
    return proving.calibrated_gauge(world)


@pytest.fixture
def inspected(world: World) -> Assembly:
    """Inspected, and to be proof tested at 550 bar: 577.5 is the highest allowed."""
    return proving.ready_to_test(world)


def before_the_pump(person: Person, gauge: PressureGauge) -> None:
    """The gauge is scanned; fluid, adaptors and everything that has to be ready are told."""
    person.scans(gauge.code)
    person.fills_in({"hydraulic fluid": True, "Rating of the weakest adaptor": "700 bar"})
    for box in person.page.get_by_role("group", name=READY_GROUP).get_by_role("checkbox").all():
        box.check()


def after_the_pump(person: Person, peak: str, found: str = "") -> None:
    """What the gauge showed and what was seen, with the pressure off."""
    person.fills_in(
        {
            "Raised within": "10",
            "Highest pressure reached": peak,
            "Held at proof pressure or above for": "32",
        }
    )
    around = person.page.get_by_role("group", name=WRONG if found else SEEN)
    boxes = [around.get_by_label(found)] if found else around.get_by_role("checkbox").all()
    for box in boxes:
        box.check()
    person.presses("It is tested")


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_the_cautions_are_seen_before_the_pump_starts_and_the_tag_comes_after(
    inspected: Assembly, gauge: PressureGauge, open_the_doors: Doors, sit_down: Sit, size: str
) -> None:
    person = sit_down(open_the_doors(), size)
    at_the_bench(person, inspected)
    person.reads("Proof test it at 550 bar", *CAUTIONS)
    caution = person.page.get_by_text(CAUTIONS[0])
    expect(caution).to_be_visible()
    scan = person.page.get_by_label("Scan the pressure gauge")
    there, after = caution.bounding_box(), scan.bounding_box()
    assert there is not None
    assert after is not None
    assert there["y"] < after["y"], "a caution under the question comes too late"
    before_the_pump(person, gauge)
    person.reads(CAUTIONS[0])
    after_the_pump(person, "555")
    person.reads("it stood its proof test", "Make the tag")


def test_a_step_before_the_pump_that_was_left_out_is_asked_for_and_nothing_is_recorded(
    inspected: Assembly, gauge: PressureGauge, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, inspected)
    before_the_pump(person, gauge)
    left_out = list(READY.values())[-1]
    person.page.get_by_label(left_out).uncheck()
    after_the_pump(person, "555")
    person.reads(left_out, "What you typed is still here.")
    expect(person.page.get_by_label("Highest pressure reached")).to_have_value("555")
    person.page.get_by_label(left_out).check()
    person.presses("It is tested")
    person.reads("it stood its proof test")


def test_one_that_went_too_high_is_held_until_somebody_else_has_inspected_it(
    world: World, inspected: Assembly, gauge: PressureGauge, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, inspected)
    before_the_pump(person, gauge)
    after_the_pump(person, "600")
    person.reads("it is held", "went above the highest pressure allowed")
    person.does_not_read("Make the tag")
    sign_in(person, "radu")
    person.goes_to(f"/bench/{inspected.code}/")
    person.follows("Inspect again")
    person.scans(world.tape.code)
    person.fills_in({"Finished length": "932"})
    person.ticks_everything()
    person.presses("It is inspected")
    person.reads("Make the tag")


def test_one_that_leaked_is_scrap_and_nothing_else(
    inspected: Assembly, gauge: PressureGauge, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    at_the_bench(person, inspected)
    before_the_pump(person, gauge)
    after_the_pump(person, "555", found="leak")
    person.reads("it failed its proof test", "scrap it")
    person.does_not_read("Inspect again")
    what_is_done = person.page.locator("main").get_by_role("group", name="What is done about it")
    expect(what_is_done.get_by_role("radio")).to_have_count(1)
    person.fills_in({"Scrap": True, "In your own words": "leaked at end A"})
    person.presses("Decide")
    person.reads("Scrapped: nothing more is done with it.")
