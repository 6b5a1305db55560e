"""The tag carries the rating of the assembly, is bound by a scan, and nothing in doubt gets one."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from shop.assemblies import refusals
from shop.assemblies.models import Assembly, State, Tag, Trouble
from shop.assemblies.planning import resolve_again
from shop.assemblies.release import make_tag, release, retire, ship
from shop.assemblies.standing import public_state
from shop.catalogue.services import save_fitting, save_hose
from shop.engineering.codes import group_code
from shop.people.models import User
from shop.people.refusals import NotAllowed
from shop.policy.services import save_workshop, today
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def inspected(world: World) -> Assembly:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    return assembly


def tag_of(world: World, assembly: Assembly) -> Tag:
    return make_tag(actor=world.inspector, assembly=assembly)


def test_the_tag_carries_the_rating_of_the_assembly_not_what_was_asked_for(
    world: World, inspected: Assembly
) -> None:
    tag = tag_of(world, inspected)
    month = timezone.now().astimezone(world.workshop.zone_info).strftime("%Y-%m")
    assert (inspected.resolution.demand_typed, tag.rating_value) == ("250", "275")
    assert tag.rating_words == "275 bar (3988 psi)", "3988.5 psi is never rounded up"
    assert tag.temperature_words == "-40 to 100 °C"
    assert tag.made == month
    assert tag.mark == f"Pennant Hose Works {inspected.serial} 275 bar (3988 psi) {month}"
    assert (tag.number, tag.is_demo, inspected.state) == (1, False, State.TAGGED)
    assert tag.address == f"HTTPS://HOSE.EXAMPLE/T/{inspected.code}"


def test_until_there_is_a_real_address_tags_are_for_show(world: World, inspected: Assembly) -> None:
    world.workshop.base_address = ""
    save_workshop(actor=world.owner, workshop=world.workshop)
    tag = tag_of(world, inspected)
    assert tag.is_demo
    assert tag.address == f"HTTPS://DEMO.INVALID/T/{inspected.code}"


def test_a_reprint_is_a_record_and_changes_nothing_else(world: World, inspected: Assembly) -> None:
    first, second = tag_of(world, inspected), tag_of(world, inspected)
    assert (first.number, second.number) == (1, 2)
    assert (first.mark, first.address) == (second.mark, second.address)
    assert inspected.state == State.TAGGED
    release(actor=world.inspector, assembly=inspected, scanned=second.address)
    ship(actor=world.counter, assembly=inspected)
    assert tag_of(world, inspected).number == 3
    assert inspected.state == State.SHIPPED


def test_there_is_no_tag_before_the_inspection_and_none_for_scrap(world: World) -> None:
    assembly = bench.made(world)
    with pytest.raises(refusals.NoTagYet) as refused:
        tag_of(world, assembly)
    assert refused.value.what == f"{assembly} is crimped at both ends and gets no tag."


def test_a_part_whose_rating_is_no_longer_confirmed_keeps_the_tag_away(
    world: World, inspected: Assembly
) -> None:
    world.fitting.printed_value = "400"
    save_fitting(actor=world.counter, fitting=world.fitting)
    with pytest.raises(refusals.RatingDoubtful) as refused:
        tag_of(world, inspected)
    assert refused.value.what.startswith("Nobody has confirmed the rating")
    assert str(world.fitting) in refused.value.what


def test_parts_that_come_to_less_than_was_confirmed_keep_the_tag_away(
    world: World, inspected: Assembly
) -> None:
    lower_the_rating(world)
    with pytest.raises(refusals.RatingLower) as refused:
        tag_of(world, inspected)
    assert refused.value.what == (
        f"{inspected} was confirmed at 275 bar (3988 psi); its parts come to 260 bar (3770 psi) today."
    )


def lower_the_rating(world: World) -> None:
    world.hose.refresh_from_db()
    world.hose.printed_value = "260"
    save_hose(actor=world.counter, hose=world.hose)
    world.confirm(world.hose)


def test_release_binds_the_tag_that_was_scanned_on_the_hose(world: World, inspected: Assembly) -> None:
    tag = tag_of(world, inspected)
    done = release(actor=world.inspector, assembly=inspected, scanned=tag.address.lower())
    assert (done.tag, done.independently_checked) == (tag, True)
    assert inspected.state == State.RELEASED


def test_the_code_may_be_typed_as_it_is_printed(world: World) -> None:
    assembly = bench.tagged(world)
    typed = group_code(assembly.code).replace("0", "o").replace("1", "l")
    assert release(actor=world.inspector, assembly=assembly, scanned=typed).assembly == assembly


def test_another_tag_on_the_hose_is_named_and_refused(world: World) -> None:
    assembly, other = bench.tagged(world), bench.tagged(world)
    with pytest.raises(refusals.AnotherTag) as refused:
        release(actor=world.inspector, assembly=assembly, scanned=other.code)
    assert refused.value.what == f"The tag on the hose is that of {other}, not of {assembly}."


def test_what_is_no_tag_is_refused(world: World) -> None:
    assembly = bench.tagged(world)
    for scanned in (world.die_set.code, assembly.code[:-1], "boom 3", Assembly().code[:-1] + "!"):
        with pytest.raises(refusals.TagNotRead):
            release(actor=world.inspector, assembly=assembly, scanned=scanned)
    with pytest.raises(refusals.AnotherTag) as refused:
        release(actor=world.inspector, assembly=assembly, scanned=Assembly().code)
    assert "no assembly of this workshop" in refused.value.what


def test_a_tag_with_the_rating_of_before_is_not_released(world: World) -> None:
    assembly = bench.tagged(world)
    lower_the_rating(world)
    with pytest.raises(refusals.RatingLower):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    resolve_again(actor=world.counter, line=assembly.run.line)
    with pytest.raises(refusals.TagSaysOtherwise):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert tag_of(world, assembly).rating_words == "260 bar (3770 psi)"
    assert release(actor=world.inspector, assembly=assembly, scanned=assembly.code).tag.number == 2


def test_each_of_the_last_steps_is_done_once_and_in_order(world: World) -> None:
    assembly = bench.made(world)
    with pytest.raises(refusals.NotTheNextStep):
        release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    with pytest.raises(refusals.NotTheNextStep):
        ship(actor=world.counter, assembly=assembly)
    with pytest.raises(refusals.NotTheNextStep):
        retire(actor=world.counter, assembly=assembly, reason="Old.")
    shipped = bench.shipped(world)
    with pytest.raises(refusals.NotTheNextStep):
        release(actor=world.inspector, assembly=shipped, scanned=shipped.code)
    with pytest.raises(refusals.NotTheNextStep):
        ship(actor=world.counter, assembly=shipped)


def test_it_is_retired_with_a_reason_also_before_it_is_shipped(world: World) -> None:
    assembly = bench.released(world)
    with pytest.raises(refusals.ReasonMissing):
        retire(actor=world.counter, assembly=assembly, reason=" ")
    done = retire(actor=world.counter, assembly=assembly, reason="Crushed by a pallet.")
    assert (assembly.state, done.private("reason")) == (State.RETIRED, "Crushed by a pallet.")


def test_no_way_around_the_services_releases_what_is_held_or_failed(world: World) -> None:
    assembly, _ = bench.crimped(world, ["24.5"] * 4)
    assert assembly.trouble == Trouble.FAILED
    for state in (State.TAGGED, State.RELEASED, State.SHIPPED):
        with pytest.raises(IntegrityError), transaction.atomic():
            Assembly.objects.filter(pk=assembly.pk).update(state=state)
    for act in (
        lambda: tag_of(world, assembly),
        lambda: release(actor=world.inspector, assembly=assembly, scanned=assembly.code),
        lambda: ship(actor=world.counter, assembly=assembly),
    ):
        with pytest.raises((refusals.NotTheNextStep, refusals.NoTagYet)):
            act()


@pytest.mark.parametrize(
    ("who", "act"),
    [
        ("bench", lambda actor, assembly: make_tag(actor=actor, assembly=assembly)),
        ("bench", lambda actor, assembly: release(actor=actor, assembly=assembly, scanned=assembly.code)),
        ("inspector", lambda actor, assembly: ship(actor=actor, assembly=assembly)),
        ("inspector", lambda actor, assembly: retire(actor=actor, assembly=assembly, reason="Old.")),
    ],
)
def test_each_of_the_last_steps_is_for_those_who_may(world: World, who: str, act: object) -> None:
    actor: User = getattr(world, who)
    assembly = bench.tagged(world)
    with pytest.raises(NotAllowed):
        act(actor, assembly)  # type: ignore[operator]  # one of the lambdas above


def test_a_stranger_reads_do_not_use_until_it_is_released_and_after_it_is_retired(world: World) -> None:
    assembly = bench.tagged(world)
    before = public_state(assembly, today())
    assert (before.do_not_use, before.headline) == (True, "DO NOT USE")
    assert before.sentence.startswith("It has not been released.")
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    assert (public_state(assembly, today()).do_not_use, assembly.state) == (False, State.RELEASED)
    ship(actor=world.counter, assembly=assembly)
    assert public_state(assembly, today()).headline == "RELEASED"
    retire(actor=world.counter, assembly=assembly, reason="Old.")
    assert public_state(assembly, today()).sentence.startswith("It was taken out of service.")


@pytest.mark.parametrize(
    ("reading", "says"),
    [("24.38", "It is held: nobody has proven"), ("24.41", "It was found not to be right.")],
)
def test_a_stranger_reads_why_what_is_held_or_failed_is_not_for_use(
    world: World, reading: str, says: str
) -> None:
    bench.choose(world, decision_rule="guarded_u")
    assembly, _ = bench.crimped(world, [reading] * 4)
    state = public_state(assembly, today())
    assert state.do_not_use
    assert state.sentence.startswith(says)


def test_an_old_assembly_says_how_old_it_is(world: World) -> None:
    assembly = bench.shipped(world)
    later = today() + datetime.timedelta(days=3 * 366)
    assert "It was made 3 years ago, and hose ages" in public_state(assembly, later).sentence
    assert "ago" not in public_state(assembly, today()).sentence
