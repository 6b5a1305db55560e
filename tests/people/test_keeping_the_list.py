"""The list of people: who may keep it, and that somebody always can."""

import pytest
from django.contrib.auth import authenticate
from django.core.exceptions import ValidationError

from shop.ledger.services import history
from shop.people import verbs
from shop.people.models import User
from shop.people.permissions import ALLOWED, Permission, Role
from shop.people.refusals import LastOwner, NotAllowed
from shop.people.services import save_person
from tests.world import World

PASSWORD = "read the layline twice"  # noqa: S105  # of an invented person


def newcomer(**changes: object) -> User:
    values: dict[str, object] = {
        "number": 6,
        "username": "jonas",
        "name": "Jonas Ferreira",
        "roles": ["bench"],
    }
    return User(**(values | changes))


def test_a_newcomer_signs_in_and_may_do_what_the_role_allows(world: World) -> None:
    save_person(actor=world.owner, person=newcomer(), password=PASSWORD)
    person = authenticate(username="jonas", password=PASSWORD)
    assert isinstance(person, User)
    assert person.may(Permission.MAKE)
    assert not person.may(Permission.INSPECT)


def test_somebody_without_a_password_cannot_sign_in(world: World) -> None:
    save_person(actor=world.owner, person=newcomer())
    assert authenticate(username="jonas", password="") is None
    assert not User.objects.get(number=6).has_usable_password()


def test_changing_a_role_leaves_the_password(world: World) -> None:
    person = save_person(actor=world.owner, person=newcomer(), password=PASSWORD)
    person.roles = [Role.BENCH, Role.INSPECTOR]
    save_person(actor=world.owner, person=person)
    assert authenticate(username="jonas", password=PASSWORD) == person


def test_somebody_who_left_may_do_nothing_and_cannot_sign_in(world: World) -> None:
    person = save_person(actor=world.owner, person=newcomer(), password=PASSWORD)
    person.is_active = False
    save_person(actor=world.owner, person=person)
    assert authenticate(username="jonas", password=PASSWORD) is None
    assert not any(person.may(permission) for permission in Permission)


def test_only_an_owner_keeps_the_list(world: World) -> None:
    with pytest.raises(NotAllowed) as refused:
        save_person(actor=world.inspector, person=newcomer())
    assert refused.value.what_to_do == "Ask someone who may: owner."


@pytest.mark.parametrize("change", [{"roles": ["counter"]}, {"is_active": False}])
def test_the_last_owner_stays_an_owner(world: World, change: dict[str, object]) -> None:
    for name, value in change.items():
        setattr(world.owner, name, value)
    keeper = User.objects.get(pk=world.owner.pk)
    with pytest.raises(LastOwner):
        save_person(actor=keeper, person=world.owner)
    assert User.objects.get(pk=world.owner.pk).may(Permission.KEEP_PEOPLE)


def test_an_owner_may_go_once_there_is_another(world: World) -> None:
    second = save_person(actor=world.owner, person=newcomer(roles=["owner"]))
    world.owner.roles = ["counter"]
    save_person(actor=second, person=world.owner)
    assert not User.objects.get(pk=world.owner.pk).may(Permission.KEEP_PEOPLE)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"number": 3}, "Another person has this staff number."),
        ({"username": "ilse"}, "Another person has this sign-in name."),
        ({"roles": ["foreman"]}, "Roles are some of: counter, bench, inspector, auditor, owner."),
        ({"roles": "bench"}, "Roles are some of: counter, bench, inspector, auditor, owner."),
    ],
)
def test_an_entry_that_cannot_be_is_refused_with_a_sentence(
    world: World, changes: dict[str, object], sentence: str
) -> None:
    with pytest.raises(ValidationError) as refused:
        save_person(actor=world.owner, person=newcomer(**changes))
    assert sentence in refused.value.messages


def test_the_chain_knows_people_by_number_only(world: World) -> None:
    person = save_person(actor=world.owner, person=newcomer(), password=PASSWORD)
    saved, password_set = history(person)
    assert (saved.verb, password_set.verb) == (verbs.PERSON_SAVED.name, verbs.PASSWORD_SET.name)
    for entry in (saved, password_set):
        assert "Jonas" not in entry.facts
        assert "jonas" not in entry.facts
        assert person.password not in entry.facts
    assert saved.private("name") == "Jonas Ferreira"


def test_every_act_is_allowed_to_somebody() -> None:
    assert set(ALLOWED) == set(Permission)
    assert all(ALLOWED.values())
