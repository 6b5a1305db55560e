"""Badge and PIN: which PINs are taken, who may set one, and that neither is enough alone."""

import pytest

from shop.ledger.services import history
from shop.people import verbs
from shop.people.models import User
from shop.people.permissions import Role
from shop.people.pins import person_with, set_pin
from shop.people.refusals import NotAllowed, NotTheirPin, PinNotUsable
from shop.people.services import save_person
from tests.world import World

PIN = "2580"


@pytest.fixture
def ilse(world: World) -> User:
    """Stands at the bench and has a PIN."""
    return set_pin(actor=world.bench, person=world.bench, pin=PIN)


def test_badge_and_pin_together_are_the_person(ilse: User) -> None:
    assert person_with(ilse.code, PIN) == ilse
    assert person_with(ilse.printed_code.lower(), PIN) == ilse


@pytest.mark.parametrize("pin", ["", "2581", "25800", " 2580"])
def test_a_badge_alone_is_nobody(ilse: User, pin: str) -> None:
    with pytest.raises(NotTheirPin):
        person_with(ilse.code, pin)


@pytest.mark.parametrize("badge", ["", "not a code", "B000-0000-0000-00"])
def test_a_pin_alone_is_nobody(ilse: User, badge: str) -> None:
    with pytest.raises(NotTheirPin):
        person_with(badge, PIN)


def test_who_has_no_pin_is_not_let_in_by_an_empty_one(world: World) -> None:
    assert not world.inspector.has_pin
    with pytest.raises(NotTheirPin):
        person_with(world.inspector.code, "")


def test_the_label_of_a_tool_is_no_badge(ilse: User, world: World) -> None:
    with pytest.raises(NotTheirPin):
        person_with(world.crimper.code, PIN)


def test_who_has_left_is_not_let_in(ilse: User, world: World) -> None:
    ilse.is_active = False
    save_person(actor=world.owner, person=ilse)
    with pytest.raises(NotTheirPin):
        person_with(ilse.code, PIN)


@pytest.mark.parametrize(
    "pin", ["", "258", "258025802", "12a4", "²580", "0000", "7777", "1234", "7890", "4321", "0123", "0003"]
)
def test_a_pin_that_anybody_would_try_is_not_taken(world: World, pin: str) -> None:
    with pytest.raises(PinNotUsable):
        set_pin(actor=world.bench, person=world.bench, pin=pin)
    assert not User.objects.get(pk=world.bench.pk).has_pin


@pytest.mark.parametrize("pin", ["2580", "0042", "11223344"])
def test_other_pins_are_taken(world: World, pin: str) -> None:
    set_pin(actor=world.bench, person=world.bench, pin=pin)
    assert person_with(world.bench.code, pin) == world.bench


def test_a_new_pin_ends_the_one_before(ilse: User) -> None:
    set_pin(actor=ilse, person=ilse, pin="7391")
    with pytest.raises(NotTheirPin):
        person_with(ilse.code, PIN)


def test_the_owner_sets_anybodys_and_nobody_else_does(world: World) -> None:
    assert set_pin(actor=world.owner, person=world.bench, pin=PIN).has_pin
    with pytest.raises(NotAllowed):
        set_pin(actor=world.inspector, person=world.bench, pin="7391")


def test_changing_a_role_leaves_the_pin(ilse: User, world: World) -> None:
    ilse.roles = [Role.BENCH, Role.INSPECTOR]
    save_person(actor=world.owner, person=ilse)
    assert person_with(ilse.code, PIN) == ilse


def test_the_ledger_says_that_it_was_set_and_not_what_it_is(world: World) -> None:
    pin = "73915820"  # four digits would stand in a hash by chance now and then
    ilse = set_pin(actor=world.bench, person=world.bench, pin=pin)
    entry = history(ilse).last()
    assert entry is not None
    assert (entry.verb, entry.actor_number) == (verbs.PIN_SET.name, ilse.number)
    assert entry.told == {}
    assert pin not in ilse.pin
