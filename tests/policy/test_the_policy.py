"""The workshop's choices have versions: what was made is judged by the policy of its day."""

import datetime
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction

from shop.engineering.crimp import DecisionRule
from shop.people.models import User
from shop.people.permissions import Role
from shop.people.refusals import NotAllowed
from shop.policy.models import Policy, Workshop
from shop.policy.reading import workshop_read_once
from shop.policy.refusals import NoSuchVelocityLimits, NoWorkshopYet, PolicyInThePast, WorkshopStarted
from shop.policy.services import (
    get_workshop,
    policy_in_force,
    policy_on,
    save_workshop,
    set_policy,
    start_workshop,
    today,
)
from tests.world import World

DAY = datetime.timedelta(days=1)


def begin(**changes: object) -> Workshop:
    return start_workshop(
        workshop=Workshop(name="Pennant Hose Works", zone="Europe/Lisbon", **changes),
        owner=User(number=1, username="marit", name="Marit Osei"),
        password="a hose is not a rope",  # noqa: S106  # of an invented person
    )


@pytest.mark.django_db
def test_a_workshop_begins_with_its_owner_and_a_policy_with_defaults() -> None:
    begin()
    assert get_workshop().name == "Pennant Hose Works"
    assert User.objects.get().roles == [Role.OWNER]
    policy = policy_in_force()
    assert (policy.number, policy.needs_second_person, policy.decision_rule) == (1, True, DecisionRule.PLAIN)


@pytest.mark.django_db
def test_a_workshop_is_started_once() -> None:
    begin()
    with pytest.raises(WorkshopStarted, match="belongs to Pennant Hose Works already"):
        begin()
    with pytest.raises(IntegrityError), transaction.atomic():
        Workshop(pk=2, name="Another").save()


@pytest.mark.django_db
def test_a_workshop_that_cannot_be_leaves_nothing_behind() -> None:
    with pytest.raises(ValidationError):
        start_workshop(
            workshop=Workshop(name="Pennant Hose Works", zone="Lisbon time"),
            owner=User(number=1, username="marit", name="Marit Osei"),
            password="a hose is not a rope",  # noqa: S106  # of an invented person
        )
    assert not Workshop.objects.exists()
    assert not User.objects.exists()


@pytest.mark.django_db
def test_without_a_workshop_there_is_neither_a_policy_nor_a_day() -> None:
    for question in (get_workshop, policy_in_force, today):
        with pytest.raises(NoWorkshopYet):
            question()


def test_a_new_policy_is_in_force_from_its_day_and_the_old_one_until_then(world: World) -> None:
    newer = set_policy(actor=world.owner, policy=Policy(effective_from=today() + 7 * DAY, hose_age_months=24))
    assert newer.number == 2
    assert policy_on(today() + 6 * DAY) == world.policy
    assert policy_on(today() + 7 * DAY) == newer
    assert policy_in_force() == world.policy


def test_of_two_policies_for_one_day_the_one_set_last_is_in_force(world: World) -> None:
    set_policy(actor=world.owner, policy=Policy(effective_from=today(), hose_age_months=24))
    last = set_policy(actor=world.owner, policy=Policy(effective_from=today(), hose_age_months=36))
    assert policy_in_force() == last


def test_no_policy_was_in_force_before_the_first(world: World) -> None:
    with pytest.raises(NoWorkshopYet):
        policy_on(world.policy.effective_from - DAY)


def test_a_policy_cannot_judge_what_was_made_before_it(world: World) -> None:
    with pytest.raises(PolicyInThePast):
        set_policy(actor=world.owner, policy=Policy(effective_from=today() - DAY))


def test_only_an_owner_sets_the_policy(world: World) -> None:
    with pytest.raises(NotAllowed):
        set_policy(actor=world.inspector, policy=Policy(effective_from=today()))
    with pytest.raises(NotAllowed):
        save_workshop(actor=world.counter, workshop=world.workshop)


@pytest.mark.parametrize(
    "changes",
    [
        {"gauge_share_percent": 0},
        {"gauge_share_percent": 101},
        {"proof_factor_percent": 99},
        {"length_rules": "by eye"},
        {"hose_age_months": 0},
        {"ferrule_gap_diameters": 0},
        {"cut_rules": "SAE J517"},  # for finished assemblies
        {"service_months": 0},
        {"service_months": 241},
    ],
)
def test_a_choice_that_is_none_is_refused(world: World, changes: dict[str, object]) -> None:
    with pytest.raises(ValidationError) as refused:
        set_policy(actor=world.owner, policy=Policy(effective_from=today(), **changes))
    assert set(refused.value.message_dict) == set(changes)


def test_limits_of_velocity_that_no_table_has_are_refused_with_those_that_there_are(world: World) -> None:
    with pytest.raises(NoSuchVelocityLimits, match="inch slow, inch fast, metric habit"):
        set_policy(
            actor=world.owner, policy=Policy(effective_from=today(), velocity_limits="as fast as it goes")
        )
    chosen = set_policy(
        actor=world.owner, policy=Policy(effective_from=today(), velocity_limits="metric habit")
    )
    assert policy_in_force().velocity_limits == chosen.velocity_limits == "metric habit"


@pytest.mark.django_db
def test_a_first_policy_says_to_what_a_cut_is_held() -> None:
    begin()
    assert policy_in_force().cut_rules == "IP-2 cut length"


def test_a_policy_is_not_changed_but_followed_by_another(world: World) -> None:
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE policy_policy SET needs_second_person = false")


def test_today_is_the_workshops_day_and_not_the_machines(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    late = datetime.datetime(2026, 11, 25, 23, 30, tzinfo=datetime.UTC)
    monkeypatch.setattr("django.utils.timezone.now", lambda: late)
    assert today() == datetime.date(2026, 11, 25)
    world.workshop.zone = "Pacific/Auckland"
    save_workshop(actor=world.owner, workshop=world.workshop)
    assert today() == datetime.date(2026, 11, 26)


def test_tags_are_real_once_the_workshop_has_an_address(world: World) -> None:
    assert get_workshop().tags_are_real
    world.workshop.base_address = ""
    save_workshop(actor=world.owner, workshop=world.workshop)
    assert not get_workshop().tags_are_real


@pytest.mark.django_db
def test_a_policy_set_while_a_request_lasts_is_the_one_that_counts(
    world: World, django_assert_num_queries: Any
) -> None:
    with workshop_read_once():
        assert policy_in_force().number == 1
        with django_assert_num_queries(0):
            policy_in_force()
        set_policy(actor=world.owner, policy=Policy(effective_from=today()))
        assert policy_in_force().number == 2
