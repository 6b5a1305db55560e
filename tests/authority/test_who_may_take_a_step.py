"""Authority for a step: by series and machine, with its first and its last day, beside the role."""

import datetime
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shop.assemblies.models import End
from shop.assemblies.release import make_tag, release
from shop.authority.models import AuthorisedStep, Authority
from shop.authority.refusals import NotAuthorised
from shop.authority.services import authorities_of, require_authority, save_authority
from shop.ledger.checking import check_ledger
from shop.ledger.services import history
from shop.people.models import User
from shop.people.permissions import Permission, Role
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from tests import factories
from tests.assemblies import bench, proving
from tests.world import World

DAY = datetime.timedelta(days=1)
EVERY_STEP = list(AuthorisedStep)


def give(world: World, person: User, step: str, **changes: Any) -> Authority:
    """The owner writes an authority that began a year ago."""
    values: dict[str, Any] = {"valid_from": today() - 365 * DAY} | changes
    return save_authority(actor=world.owner, authority=Authority(person=person, step=step, **values))


@pytest.mark.parametrize("step", EVERY_STEP)
def test_as_long_as_nothing_is_written_for_a_step_roles_alone_decide(
    world: World, step: AuthorisedStep
) -> None:
    for other in set(EVERY_STEP) - {step}:
        give(world, world.owner, other)
    require_authority(world.bench, step, [world.series], None)


@pytest.mark.parametrize("step", EVERY_STEP)
def test_once_one_is_written_the_others_need_one_too(world: World, step: AuthorisedStep) -> None:
    give(world, world.inspector, step)
    require_authority(world.inspector, step, [world.series], None)
    with pytest.raises(NotAuthorised, match="no authority for it is written") as refused:
        require_authority(world.bench, step, [world.series], None)
    assert refused.value.what_to_do.startswith(f"Ask {world.inspector.name}, or have an owner")


@pytest.mark.parametrize(("days_left", "may"), [(1, True), (0, True), (-1, False)])
def test_an_authority_holds_on_its_last_day_and_not_on_the_day_after(
    world: World, days_left: int, may: bool
) -> None:
    last = today() + days_left * DAY
    give(world, world.bench, "crimp", expires_on=last)
    if may:
        require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)
        return
    with pytest.raises(NotAuthorised, match=f"that authority ran out on {last}") as refused:
        require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)
    assert refused.value.what_to_do == "Nobody has one today: an owner writes it under Quality, Authorities."


@pytest.mark.parametrize(("days_ahead", "may"), [(-1, True), (0, True), (1, False)])
def test_an_authority_begins_on_its_first_day(world: World, days_ahead: int, may: bool) -> None:
    first = today() + days_ahead * DAY
    give(world, world.bench, "crimp", valid_from=first)
    if may:
        require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)
        return
    with pytest.raises(NotAuthorised, match=f"that authority begins on {first}"):
        require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)


def test_a_renewed_authority_holds_though_the_one_before_ran_out(world: World) -> None:
    give(world, world.bench, "crimp", expires_on=today() - 10 * DAY)
    give(world, world.bench, "crimp", valid_from=today() - 9 * DAY)
    require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)


def test_an_authority_for_one_series_is_none_for_another(world: World) -> None:
    other = factories.FittingSeriesFactory()
    give(world, world.bench, "inspect", series=world.series)
    require_authority(world.bench, AuthorisedStep.INSPECT, [world.series, world.series])
    with pytest.raises(NotAuthorised, match=str(other)):
        require_authority(world.bench, AuthorisedStep.INSPECT, [world.series, other])


def test_an_authority_for_one_machine_is_none_for_another(world: World) -> None:
    other = factories.CrimperFactory()
    give(world, world.bench, "set_up", crimper=world.crimper)
    require_authority(world.bench, AuthorisedStep.SET_UP, [world.series], world.crimper)
    with pytest.raises(NotAuthorised, match=str(other)):
        require_authority(world.bench, AuthorisedStep.SET_UP, [world.series], other)


def test_who_has_left_is_not_named_as_somebody_to_ask(world: World) -> None:
    give(world, world.inspector, "crimp")
    world.inspector.is_active = False
    world.inspector.save(update_fields=["is_active"])
    with pytest.raises(NotAuthorised) as refused:
        require_authority(world.bench, AuthorisedStep.CRIMP, [world.series], world.crimper)
    assert world.inspector.name not in refused.value.what_to_do


def test_setting_up_and_crimping_ask_for_it(world: World) -> None:
    assembly = bench.plan_and_cut(world)
    give(world, world.inspector, "set_up")
    with pytest.raises(NotAuthorised, match=r"may not set up .* on "):
        bench.tool_up(world, assembly)
    give(world, world.bench, "set_up", crimper=world.crimper, series=world.series)
    bench.tool_up(world, assembly)
    give(world, world.inspector, "crimp")
    with pytest.raises(NotAuthorised, match=r"may not crimp .* on "):
        bench.crimp(world, assembly)
    give(world, world.bench, "crimp", expires_on=today())
    assert bench.crimp(world, assembly).end == End.A


def test_inspecting_tagging_and_releasing_ask_for_it(world: World) -> None:
    assembly = bench.made(world)
    give(world, world.owner, "inspect")
    with pytest.raises(NotAuthorised, match="may not inspect"):
        bench.look_over(world, assembly)
    give(world, world.inspector, "inspect")
    bench.look_over(world, assembly)
    own = give(world, world.inspector, "release")
    make_tag(actor=world.inspector, assembly=assembly)
    own.expires_on = today() - DAY
    save_authority(actor=world.owner, authority=own)
    with pytest.raises(NotAuthorised, match="may not tag and release"):
        make_tag(actor=world.inspector, assembly=assembly)
    with pytest.raises(NotAuthorised, match="ran out"):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    give(world, world.owner, "release")
    assert release(actor=world.owner, assembly=assembly, scanned=assembly.code)


def test_proof_testing_asks_for_it(world: World) -> None:
    assembly = proving.ready_to_test(world)
    give(world, world.inspector, "test", series=world.series)
    with pytest.raises(NotAuthorised, match="may not proof test"):
        proving.prove(world, assembly)
    give(world, world.bench, "test")
    assert proving.prove(world, assembly).outcome == "passed"


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("has_authority", [True, False])
@pytest.mark.parametrize("others_have", [True, False])
def test_role_and_authority_are_both_needed(
    world: World, role: Role, has_authority: bool, others_have: bool
) -> None:
    person = getattr(world, role.value)
    assembly = bench.made(world)
    if has_authority:
        give(world, person, "inspect")
    if others_have:
        give(world, world.owner if role is not Role.OWNER else world.inspector, "inspect")
    may_by_role = person.may(Permission.INSPECT)
    may_by_authority = has_authority or not others_have

    def look() -> bool:
        return bench.look_over(world, assembly, actor=person).passed

    if not may_by_role:
        with pytest.raises(NotAllowed):
            look()
    elif not may_by_authority:
        with pytest.raises(NotAuthorised):
            look()
    else:
        assert look()


def test_only_an_owner_writes_authorities(world: World) -> None:
    with pytest.raises(NotAllowed):
        save_authority(
            actor=world.inspector, authority=Authority(person=world.bench, step="crimp", valid_from=today())
        )


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"expires_on": datetime.date(2020, 1, 1)}, "The last day is before the first. Check both."),
        ({"step": "inspect", "crimper": True}, "No crimper is used for that step. Leave the crimper empty."),
    ],
)
def test_an_authority_that_cannot_be_is_refused(world: World, changes: dict[str, Any], sentence: str) -> None:
    if "crimper" in changes:
        changes = changes | {"crimper": world.crimper}
    with pytest.raises(ValidationError) as refused:
        give(world, world.bench, **{"step": "crimp"} | changes)
    assert sentence in refused.value.messages


def test_the_ledger_tells_how_it_ended_and_finds_a_change_beside_it(world: World) -> None:
    own = give(world, world.bench, "crimp", shown_by="trial of ten, watched by Radu")
    own.expires_on = today()
    save_authority(actor=world.owner, authority=own)
    first, last = history(own)
    assert "Radu" not in first.facts
    assert last.told["after"] == {"expires_on": today().isoformat()}
    assert [entry.actor_number for entry in (first, last)] == [world.owner.number] * 2
    assert authorities_of(world.bench) == [own]
    Authority.objects.filter(pk=own.pk).update(expires_on=None)
    faults = [fault.what for fault in check_ledger().faults]
    assert any("expires_on of authority.authority" in sentence for sentence in faults)
