"""Badge and PIN at the tablet: who is there changes on the same page, and an idle screen asks."""

import re
from collections.abc import Callable, Iterator
from html import unescape
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client

from shop.assemblies.models import Cut
from shop.people.models import User
from shop.people.pins import set_pin
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from shop.web.door import idle
from shop.web.door.throttle import PIN_TRIES, TooManyPins
from tests.assemblies.bench import plan
from tests.world import World

PASSWORD = "a hose is not a rope"  # noqa: S105  # of invented people
ILSES, RADUS = "2580", "7391"
PERSON = "/person/"
Clock = Callable[[float], None]


@pytest.fixture(autouse=True)
def _nobody_has_tried() -> Iterator[None]:
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def tablet(client: Client, world: World) -> Client:
    """Ilse has signed in; she and Radu have PINs."""
    set_pin(actor=world.bench, person=world.bench, pin=ILSES)
    set_pin(actor=world.inspector, person=world.inspector, pin=RADUS)
    world.bench.refresh_from_db()
    client.post("/sign-in/", {"username": world.bench.username, "password": PASSWORD})
    return client


@pytest.fixture
def pass_minutes(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """Turns the clock of the lock on."""
    passed = [0.0]
    started = idle.now()
    monkeypatch.setattr(idle, "now", lambda: started + passed[0])

    def turn(minutes: float) -> None:
        passed[0] += minutes * 60

    return turn


def there(client: Client) -> str:
    """Whose name stands in the head of the page; empty if nobody is let in."""
    page = client.get("/bench/").content.decode()
    found = re.search(r'<span class="name">(.*?)</span>', page)
    return found[1] if found else ""


def come(client: Client, badge: str, pin: str, onward: str = "/bench/", **more: str) -> int:
    sent = {"tablet-badge": badge, "tablet-pin": pin, "next": onward}
    return client.post(PERSON, sent, **more).status_code  # type: ignore[arg-type]  # headers of the request


def test_badge_and_pin_put_another_person_on_the_same_page(tablet: Client, world: World) -> None:
    answer = tablet.post(
        PERSON, {"tablet-badge": world.inspector.code, "tablet-pin": RADUS, "next": "/bench/?page=1"}
    )
    assert answer.headers["Location"] == "/bench/?page=1"
    assert there(tablet) == world.inspector.name


@pytest.mark.parametrize("pin", ["", ILSES, "0000"])
def test_a_badge_without_its_pin_changes_nobody(tablet: Client, world: World, pin: str) -> None:
    assert come(tablet, world.inspector.code, pin) == 422
    assert there(tablet) == world.bench.name


def test_it_sends_nobody_out_of_the_workshop(tablet: Client, world: World) -> None:
    sent = {"tablet-badge": world.inspector.code, "tablet-pin": RADUS, "next": "//elsewhere.example/"}
    assert tablet.post(PERSON, sent).headers["Location"] == "/"


def test_badge_and_pin_open_the_door_of_a_tablet_that_nobody_is_at(client: Client, world: World) -> None:
    set_pin(actor=world.bench, person=world.bench, pin=ILSES)
    assert come(client, "", ILSES) == 422
    assert come(client, world.bench.code, ILSES) == 302
    assert there(client) == world.bench.name


def test_a_badge_in_the_box_for_codes_asks_for_its_pin(tablet: Client, world: World) -> None:
    scanned = {"code": world.inspector.printed_code}
    page = tablet.get("/scan/", scanned, headers={"Referer": "http://testserver/bench/?page=1"}, follow=True)
    text = page.content.decode()
    assert page.redirect_chain[-1][0].startswith(PERSON)
    assert f'value="{world.inspector.code}"' in text
    assert 'name="next" value="/bench/?page=1"' in text


def test_after_some_wrong_pins_only_the_password_helps(tablet: Client, world: World) -> None:
    for _ in range(PIN_TRIES):
        assert come(tablet, world.inspector.code, "1111") == 422
    assert come(tablet, world.inspector.code, RADUS) == 422
    sent = {"tablet-badge": world.inspector.code, "tablet-pin": RADUS}
    assert TooManyPins.says in tablet.post(PERSON, sent).content.decode()
    tablet.post("/sign-in/", {"username": world.inspector.username, "password": PASSWORD})
    assert come(tablet, world.bench.code, ILSES) == 302
    assert come(tablet, world.inspector.code, RADUS) == 302


def test_wrong_pins_count_for_one_badge_on_one_device(tablet: Client, world: World) -> None:
    for _ in range(PIN_TRIES):
        come(tablet, world.inspector.code, "1111")
    assert come(tablet, world.bench.code, ILSES) == 302
    assert come(tablet, world.inspector.code, RADUS, REMOTE_ADDR="192.168.1.8") == 302


def test_the_right_pin_forgets_the_slips_before(tablet: Client, world: World) -> None:
    for _ in range(2):
        for _ in range(PIN_TRIES - 1):
            come(tablet, world.inspector.code, "1111")
        assert come(tablet, world.inspector.code, RADUS) == 302
        come(tablet, world.bench.code, ILSES)


def test_a_pin_brings_no_owner_to_people_and_policy(tablet: Client, world: World) -> None:
    set_pin(actor=world.owner, person=world.owner, pin="8462")
    come(tablet, world.owner.code, "8462")
    for path in (f"/quality/people/{world.bench.pk}/password/", "/quality/policy/new/"):
        page = tablet.get(path)
        assert page.status_code == 403
        assert "asks for your password" in page.content.decode()
    tablet.post("/sign-in/", {"username": world.owner.username, "password": PASSWORD})
    assert tablet.get("/quality/policy/new/").status_code == 200


@pytest.mark.parametrize(("minutes", "status"), [(14, 200), (16, 423)])
def test_a_screen_that_nobody_touches_is_locked(
    tablet: Client, pass_minutes: Clock, minutes: int, status: int
) -> None:
    tablet.get("/bench/")
    pass_minutes(minutes)
    assert tablet.get("/bench/").status_code == status


def test_a_screen_that_is_touched_is_not(tablet: Client, pass_minutes: Clock) -> None:
    for _ in range(4):
        pass_minutes(14)
        assert tablet.get("/bench/").status_code == 200


@pytest.mark.parametrize(("minutes", "status"), [(4, 200), (6, 423)])
def test_the_policy_says_after_how_many_minutes(
    tablet: Client, world: World, pass_minutes: Clock, minutes: int, status: int
) -> None:
    set_policy(actor=world.owner, policy=Policy(effective_from=today(), idle_minutes=5))
    tablet.get("/bench/")
    pass_minutes(minutes)
    assert tablet.get("/bench/").status_code == status


def test_a_locked_screen_shows_nothing_and_stays_locked(
    tablet: Client, world: World, pass_minutes: Clock
) -> None:
    job = plan(world)
    path = f"/bench/{job.code}/"
    tablet.get(path)
    pass_minutes(16)
    for _ in range(2):
        page = tablet.get(path)
        assert page.status_code == 423
        assert str(job.resolution.hose) not in page.content.decode()
    del tablet.cookies[idle.COOKIE]
    assert tablet.get(path).status_code == 423


def test_the_pin_alone_goes_on_where_it_was(tablet: Client, world: World, pass_minutes: Clock) -> None:
    path = f"/bench/{plan(world).code}/"
    pass_minutes(16)
    page = tablet.get(path).content.decode()
    assert f'action="{PERSON}"' in page
    assert f'name="next" value="{path}"' in page
    assert come(tablet, "", RADUS, path) == 422
    assert tablet.get(path).status_code == 423
    assert come(tablet, "", ILSES, path) == 302
    assert tablet.get(path).status_code == 200
    assert there(tablet) == world.bench.name


def test_somebody_else_comes_to_a_locked_screen(tablet: Client, world: World, pass_minutes: Clock) -> None:
    pass_minutes(16)
    assert come(tablet, world.inspector.code, RADUS) == 302
    assert there(tablet) == world.inspector.name


def test_who_has_no_pin_unlocks_with_the_password(client: Client, world: World, pass_minutes: Clock) -> None:
    client.force_login(world.counter)
    pass_minutes(16)
    assert "Password" in client.get("/counter/").content.decode()
    assert come(client, "", "wrong", "/counter/") == 422
    assert come(client, "", PASSWORD, "/counter/") == 302
    assert client.get("/counter/").status_code == 200


def hidden(page: str) -> dict[str, str]:
    """What the page keeps of a form."""
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page)
    return {name: unescape(value) for name, value in found}


def test_a_step_sent_while_locked_is_taken_once_the_pin_is_typed(
    tablet: Client, world: World, pass_minutes: Clock
) -> None:
    job = plan(world)
    path = f"/bench/{job.code}/cut/"
    nonce = re.search(r'name="nonce" value="([^"]+)"', tablet.get(f"/bench/{job.code}/").content.decode())
    assert nonce
    ticks = re.findall(
        r'name="seen" value="([^"]+)"',
        tablet.post(path, {"nonce": nonce[1], "scan": world.reel.code}).content.decode(),
    )
    step: dict[str, Any] = {"nonce": nonce[1], "have": world.reel.code, "seen": ticks, "take": "1"}
    pass_minutes(16)
    locked = tablet.post(path, step)
    text = locked.content.decode()
    assert locked.status_code == 423
    assert "What you have just sent is kept" in text
    assert not Cut.objects.exists()
    assert {name: hidden(text)[name] for name in ("nonce", "have", "take")} == {
        name: step[name] for name in ("nonce", "have", "take")
    }
    wrong = tablet.post(path, step | {"tablet-pin": RADUS})
    assert wrong.status_code == 423
    assert not Cut.objects.exists()
    taken = tablet.post(path, step | {"tablet-pin": ILSES})
    assert taken.status_code == 302
    assert Cut.objects.get().actor_number == world.bench.number
    again = tablet.post(path, step, follow=True)
    assert Cut.objects.count() == 1
    assert "recorded already" in again.content.decode()


def test_what_one_person_sent_is_never_taken_from_another(
    tablet: Client, world: World, pass_minutes: Clock
) -> None:
    job = plan(world)
    step = {"have": world.reel.code, "take": "1"}
    pass_minutes(16)
    sent = step | {"tablet-badge": world.inspector.code, "tablet-pin": RADUS}
    assert tablet.post(f"/bench/{job.code}/cut/", sent).status_code == 423
    assert there(tablet) == ""
    page = tablet.post(f"/bench/{job.code}/cut/", step).content.decode()
    assert f"?next=/bench/{job.code}/" in page


def test_no_password_lies_in_the_page_of_a_lock(client: Client, world: World, pass_minutes: Clock) -> None:
    client.force_login(world.owner)
    pass_minutes(16)
    page = client.post(f"/quality/people/{world.bench.pk}/password/", {"password": "read the layline"})
    assert page.status_code == 423
    assert "read the layline" not in page.content.decode()


def test_a_part_of_a_page_lets_the_whole_page_ask(tablet: Client, pass_minutes: Clock) -> None:
    pass_minutes(16)
    assert tablet.get("/bench/", headers={"HX-Request": "true"}).headers["HX-Refresh"] == "true"


def test_a_person_sets_the_own_pin_with_the_own_password(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = client.post("/pin/", {"password": "wrong", "pin": "2580"}).content.decode()
    assert "Name and password" in page
    page = client.post("/pin/", {"password": PASSWORD, "pin": "1234"}).content.decode()
    assert "first that anybody tries" in page
    assert not User.objects.get(pk=world.bench.pk).has_pin
    assert client.post("/pin/", {"password": PASSWORD, "pin": "2580"}).status_code == 302
    assert come(Client(), world.bench.code, "2580") == 302


def test_the_owner_sets_the_pin_of_somebody(client: Client, world: World) -> None:
    client.force_login(world.owner)
    client.post(f"/quality/people/{world.bench.pk}/pin/", {"pin": "2580"})
    assert User.objects.get(pk=world.bench.pk).has_pin
