"""What a tablet's script is told that sends a step again after a lost connection."""

import pytest
from django.test import Client

from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind, Measurement
from tests.assemblies.bench import (
    GOOD,
    allow_crimping_again,
    crimp,
    made,
    measure,
    ready_to_crimp,
    tool_up,
)
from tests.web.bench.bench_pages import Tablet
from tests.world import World


@pytest.fixture
def unread(world: World) -> Assembly:
    """An assembly whose end A is crimped and waits for the caliper."""
    assembly = ready_to_crimp(world)
    crimp(world, assembly)
    return assembly


@pytest.fixture
def tablet(client: Client, world: World, unread: Assembly) -> Tablet:
    client.force_login(world.bench)
    return Tablet(client, unread)


def send(tablet: Tablet, person: int) -> "tuple[int, dict[str, object]]":
    """The readings, sent by the script in that person's name; the answer."""
    form = tablet.form
    readings = {f"reading_{n}": reading for n, reading in enumerate(GOOD, start=1)}
    answer = tablet.client.post(
        form.action, form.hidden | readings, headers={"X-Ferrulebook-Person": str(person)}
    )
    return answer.status_code, answer.json()


def test_a_step_that_was_taken_is_answered_by_the_page_that_comes_next(
    tablet: Tablet, world: World, unread: Assembly
) -> None:
    assert send(tablet, world.bench.number) == (200, {"to": f"/bench/{unread.code}/"})
    assert "End A passes" in tablet.open().content.decode()


def test_sent_again_it_is_taken_once(tablet: Tablet, world: World, unread: Assembly) -> None:
    form = tablet.form
    send(tablet, world.bench.number)
    tablet.sent = (form.action, form.hidden | {f"reading_{n}": r for n, r in enumerate(GOOD, start=1)})
    tablet.again()
    assert "That was recorded already." in tablet.text
    assert Measurement.objects.count() == 1


def test_a_step_of_somebody_else_is_not_taken_in_the_name_of_who_is_signed_in(
    tablet: Tablet, world: World
) -> None:
    assert send(tablet, world.inspector.number) == (409, {"signIn": True})
    assert not Measurement.objects.exists()


def test_what_has_been_done_meanwhile_is_refused_by_the_sentences_of_its_page(
    tablet: Tablet, world: World, unread: Assembly
) -> None:
    form = tablet.form
    measure(world, unread.crimps.get(), actor=world.inspector)
    readings = {f"reading_{n}": reading for n, reading in enumerate(GOOD, start=1)}
    answer = tablet.client.post(
        form.action, form.hidden | readings, headers={"X-Ferrulebook-Person": str(world.bench.number)}
    )
    assert answer.status_code == 422
    assert "data-summary" in answer.content.decode()
    assert Measurement.objects.count() == 1


def test_readings_that_lay_on_a_tablet_are_not_those_of_a_crimp_made_since(
    client: Client, world: World
) -> None:
    allow_crimping_again(world)
    assembly = ready_to_crimp(world)
    first = crimp(world, assembly)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly)
    late = tablet.form
    measure(world, first, ("24.5",) * 4)
    decide(
        actor=world.inspector,
        assembly=assembly,
        kind=DecisionKind.CRIMP_AGAIN,
        reason="too large",
    )
    tool_up(world, assembly)
    crimp(world, assembly)
    sent = late.hidden | {f"reading_{n}": reading for n, reading in enumerate(GOOD, start=1)}
    answer = tablet.client.post(late.action, sent, follow=True)
    assert "was crimped since this page was opened" in answer.content.decode()
    assert not assembly.crimps.get(attempt=2).measurements.exists()


def test_an_inspection_that_lay_on_a_tablet_is_not_of_what_was_crimped_since(
    client: Client, world: World
) -> None:
    made_at_both_ends = made(world)
    client.force_login(world.inspector)
    tablet = Tablet(client, made_at_both_ends)
    tablet.scan(world.tape.code)
    newest = made_at_both_ends.crimps.latest("entry").pk
    assert tablet.form.hidden["crimp_shown"] == str(newest)
    tablet.send(take="1", finished_length="932", seen=tablet.form.boxes["seen"], crimp_shown=str(newest - 1))
    assert "was crimped since this page was opened" in tablet.text
    assert not made_at_both_ends.inspections.exists()
