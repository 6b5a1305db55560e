"""What a page of the bench tells before a step is taken, and to whom it offers the step."""

from django.test import Client

from tests.assemblies.bench import look_over, made, plan, tagged
from tests.web.bench.bench_pages import Tablet
from tests.world import World


def test_lengths_at_the_bench_carry_their_unit_however_they_were_typed(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    length = f"{world.hose}, 930 mm"
    assert length in tablet.text
    assert length in client.get("/bench/").content.decode()


def test_the_inspector_sees_what_length_is_allowed_before_measuring(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    tablet = Tablet(client, made(world))
    assert "Allowed 926 mm to 942 mm" in tablet.text


def test_who_may_not_inspect_is_told_who_may_and_is_shown_no_form(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, made(world))
    assert "waits for somebody who may do it: inspector or owner" in tablet.text
    assert tablet.form.action == ""


def test_who_may_not_tag_is_told_who_may(client: Client, world: World) -> None:
    assembly = made(world)
    look_over(world, assembly)
    client.force_login(world.bench)
    assert "waits for somebody who may do it" in Tablet(client, assembly).text


def test_the_words_of_the_permanent_mark_stay_in_sight_until_the_release(
    client: Client, world: World
) -> None:
    assembly = tagged(world)
    client.force_login(world.inspector)
    assert assembly.tags.get().mark in Tablet(client, assembly).text


def test_the_readings_shown_are_said_to_be_of_which_end(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert "Readings 1 at end B" in Tablet(client, made(world)).text
