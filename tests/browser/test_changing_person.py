"""Who is at the tablet changes on the page at hand, an idle screen asks who is there: in a real browser."""

import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from django.core import signing
from playwright.sync_api import expect

from shop.people.pins import set_pin
from shop.web.door.idle import COOKIE, HERE_SINCE
from tests.assemblies.bench import plan
from tests.browser.beginning import sign_in
from tests.browser.conftest import SIZES, Doors, Sit
from tests.browser.person import Person
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

ILSES, RADUS = "2580", "7391"
SESSION_SALT = "django.contrib.sessions.backends.signed_cookies"
DIALOG = "dialog[data-tablet]"


@pytest.fixture
def pins(world: World) -> None:
    set_pin(actor=world.bench, person=world.bench, pin=ILSES)
    set_pin(actor=world.inspector, person=world.inspector, pin=RADUS)


def is_there(person: Person, name: str) -> None:
    expect(person.page.locator(".masthead .name")).to_have_text(name)


def taps(person: Person, pin: str) -> None:
    """On the large keys, as with gloves."""
    for digit in pin:
        person.page.locator(DIALOG).get_by_role("button", name=digit, exact=True).click()
    person.page.locator(DIALOG).get_by_role("button", name="Go on", exact=True).click()


def scans_a_badge(person: Person, code: str) -> None:
    """The scanner types into whatever has the focus, then Enter; no page is left."""
    person.page.keyboard.type(code)
    person.page.keyboard.press("Enter")
    expect(person.page.locator(DIALOG)).to_be_visible()


def timed(what: str, act: Callable[[], None]) -> None:
    began = time.monotonic()
    act()
    sys.stdout.write(f"{what}: {time.monotonic() - began:.2f} s\n")


@pytest.mark.usefixtures("pins")
@pytest.mark.parametrize("size", SIZES)
def test_a_badge_and_its_pin_change_the_person_on_the_page_at_hand(
    world: World, open_the_doors: Doors, sit_down: Sit, size: str
) -> None:
    job = plan(world)
    person = sit_down(open_the_doors(), size)
    sign_in(person, "ilse")
    person.goes_to(f"/bench/{job.code}/")
    asked: list[str] = []
    person.page.on("request", lambda sent: asked.append(sent.resource_type))
    for badge, pin, name in (
        (world.inspector.code, RADUS, world.inspector.name),
        (world.bench.code, ILSES, world.bench.name),
    ):

        def change(badge: str = badge, pin: str = pin, name: str = name) -> None:
            scans_a_badge(person, badge)
            person.page.keyboard.type(pin)
            person.page.keyboard.press("Enter")
            is_there(person, name)

        asked.clear()
        timed(f"{size}: badge scanned and PIN typed, {name} is there", change)
        # How many seconds it takes is the machine's: the server is asked for the change, and for the page.
        assert [kind for kind in asked if kind in ("fetch", "document")] == ["fetch", "document"]
        assert person.path == f"/bench/{job.code}/"
        person.looks()


@pytest.mark.usefixtures("pins")
@pytest.mark.parametrize("size", SIZES)
def test_the_button_and_the_large_keys_do_it_too(
    world: World, open_the_doors: Doors, sit_down: Sit, size: str
) -> None:
    job = plan(world)
    person = sit_down(open_the_doors(), size)
    sign_in(person, "ilse")
    person.goes_to(f"/bench/{job.code}/")
    person.page.get_by_role("link", name="Change person").click()
    person.looks()
    scans_a_badge(person, world.inspector.code)
    taps(person, "1111")
    expect(person.page.locator(DIALOG)).to_contain_text("Badge and PIN don't go together.")
    person.looks()
    taps(person, RADUS)
    is_there(person, world.inspector.name)
    assert person.path == f"/bench/{job.code}/"


@pytest.mark.usefixtures("pins")
def test_a_badge_scanned_into_an_answer_leaves_the_answer_as_it_was(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    sign_in(person, "ilse")
    person.goes_to("/reference/worksheets/routing/")
    answer = person.page.locator("#id_outside")
    answer.press_sequentially("23")
    scans_a_badge(person, world.inspector.code)
    person.page.get_by_role("button", name="Stay as you are").click()
    expect(answer).to_have_value("23")
    is_there(person, world.bench.name)


@pytest.mark.usefixtures("pins")
def test_it_works_without_a_script(world: World, open_the_doors: Doors, sit_down: Sit) -> None:
    job = plan(world)
    person = sit_down(open_the_doors(), "tablet", script=False)
    sign_in(person, "ilse")
    person.goes_to(f"/bench/{job.code}/")
    person.follows("Change person")
    person.fills_in({"Badge": world.inspector.code, "PIN": RADUS})
    person.presses("Go on")
    is_there(person, world.inspector.name)
    assert person.path == f"/bench/{job.code}/"


@pytest.mark.usefixtures("pins")
def test_an_idle_screen_asks_for_the_pin_and_what_was_typed_stays(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "tablet")
    page = person.page
    page.clock.install()
    sign_in(person, "ilse")
    person.goes_to("/stores/receive/hose/")
    typed = page.get_by_label("Batch")
    typed.fill("T-772, as it")
    page.clock.fast_forward("14:00")  # and as long as it took to get here
    expect(page.locator(DIALOG)).to_be_hidden()
    page.clock.fast_forward("01:10")
    expect(page.locator(DIALOG)).to_be_visible()
    expect(page.locator(DIALOG)).to_contain_text("Locked: Ilse Novak")
    assert not typed.is_visible()
    person.looks()
    page.keyboard.press("Escape")
    expect(page.locator(DIALOG)).to_be_visible()
    page.keyboard.type(ILSES)
    page.keyboard.press("Enter")
    expect(page.locator(DIALOG)).to_be_hidden()
    expect(typed).to_have_value("T-772, as it")
    page.reload()
    is_there(person, world.bench.name)


def grow_old(person: Person, data_folder: Path) -> None:
    """As if nobody had touched the tablet for an hour, while its script slept."""
    key = (data_folder / "secret_key").read_text()
    cookies = {cookie["name"]: cookie["value"] for cookie in person.page.context.cookies()}
    session = signing.loads(
        cookies["sessionid"], key=key, salt=SESSION_SALT, serializer=signing.JSONSerializer
    )
    session[HERE_SINCE] -= 3600
    old = signing.dumps(session, key=key, salt=SESSION_SALT, serializer=signing.JSONSerializer, compress=True)
    person.page.context.clear_cookies(name=COOKIE)
    person.page.context.add_cookies([{"name": "sessionid", "value": old, "url": person.address}])


@pytest.mark.usefixtures("pins")
@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_step_sent_to_a_screen_that_was_locked_is_taken_with_the_pin(
    world: World, open_the_doors: Doors, sit_down: Sit, data_folder: Path, script: bool
) -> None:
    job = plan(world)
    person = sit_down(open_the_doors(), "tablet", script=script)
    sign_in(person, "ilse")
    person.goes_to(f"/bench/{job.code}/")
    person.fills_in({"Scan the piece of hose": world.reel.code})
    person.presses("Take it")
    person.ticks_everything()
    grow_old(person, data_folder)
    person.page.get_by_role("button", name="It is cut").click()
    if script:
        expect(person.page.locator(DIALOG)).to_contain_text("Locked: Ilse Novak")
        taps(person, ILSES)
    else:
        person.reads("What you have just sent is kept.")
        person.fills_in({"PIN": ILSES})
        person.presses("Go on")
    person.reads("Set the crimper up for end A")
    person.goes_to(f"/stores/pieces/{world.reel.pk}/")
    person.reads("49120 mm")
