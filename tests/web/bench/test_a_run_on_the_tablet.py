"""Equal assemblies on one set-up, as the bench taps them: few taps, and the caliper where it is due."""

from uuid import uuid4

import pytest
from django.test import Client

from shop.assemblies.models import Assembly, Crimp, Measurement, Run, State
from shop.assemblies.planning import start_line
from tests.assemblies import bench
from tests.assemblies.bench import GOOD
from tests.web.bench.bench_pages import Tablet
from tests.world import World

TOO_LARGE = ("24.5",) * 4


@pytest.fixture
def run(world: World) -> Run:
    """Six assemblies, planned; every fourth crimp is measured."""
    bench.choose(world, measured_every=4)
    return start_line(actor=world.counter, line=world.written_line(quantity=6))[0].run


@pytest.fixture
def tablet(client: Client, world: World, run: Run) -> Tablet:
    client.force_login(world.bench)
    return Tablet(client, run)


def cut_all(tablet: Tablet, world: World) -> None:
    tablet.scan(world.reel.code)
    tablet.tick_all_and_take(count="6")


def set_up(tablet: Tablet, world: World) -> None:
    tablet.scan(*(t.code for t in (world.crimper, world.die_set, world.stop_part, world.caliper)))
    tablet.tick_all_and_take()


def crimp(tablet: Tablet, count: int) -> None:
    tablet.tick_all_and_take(count=str(count))


def states() -> list[str]:
    return list(Assembly.objects.values_list("state", flat=True))


def test_a_run_is_cut_at_once_from_one_piece(tablet: Tablet, world: World) -> None:
    assert "6 of 6 pieces" in tablet.text
    cut_all(tablet, world)
    assert "6 × 880 mm cut from" in tablet.text
    assert states() == [State.CUT] * 6
    assert "Set the crimper up for end A." in tablet.text


def test_the_page_says_how_many_may_be_crimped_until_one_is_measured(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    set_up(tablet, world)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    assert 'name="count" value="1"' in tablet.page.content.decode()
    crimp(tablet, 1)
    assert "Measure assembly 1 now." in tablet.text
    tablet.read(*GOOD)
    assert 'name="count" value="3"' in tablet.page.content.decode()  # the bins stand there still
    crimp(tablet, 3)
    assert "End A of 2 to 4 crimped. Measure assembly 4 now." in tablet.text
    tablet.read(*GOOD)
    crimp(tablet, 2)
    tablet.read(*GOOD)
    assert states() == [State.CRIMPED_A] * 6
    assert "Set the crimper up for end B." in tablet.text


def test_fewer_may_be_crimped_and_more_are_refused_with_nothing_done(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    set_up(tablet, world)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    crimp(tablet, 2)
    assert tablet.page.status_code == 422
    assert Crimp.objects.count() == 0


def test_one_that_fails_stops_the_run_and_says_what_to_do(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    set_up(tablet, world)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    crimp(tablet, 1)
    tablet.read(*TOO_LARGE)
    assert "Take assembly 1 in hand." in tablet.text
    tablet.open("?step=crimp&end=A")
    assert "set the crimper up once more" in tablet.text
    assert not tablet.form.action
    assert Crimp.objects.count() == 1


def test_a_run_is_inspected_tagged_and_released_from_its_page(
    client: Client, tablet: Tablet, world: World, run: Run
) -> None:
    pieces = list(run.assemblies.all())
    for piece in pieces:
        bench.cut(world, piece)
    bench.finish_run(world, pieces)
    client.force_login(world.inspector)
    tablet.open()
    tablet.scan(world.tape.code)
    lengths = {f"length_{piece.serial}": "931" for piece in pieces[:5]} | {"length_6": "990"}
    tablet.tick_all_and_take(**lengths)
    assert "5 inspected and right. Not right: 6." in tablet.text
    tablet.open("?step=tag")
    tablet.send()
    assert "5 tags are ready to print." in tablet.text
    tablet.open("?step=release")
    tablet.send(scan=pieces[3].code)
    assert "Assembly 4 is released" in tablet.text
    tablet.open("?step=release")
    tablet.send(scan=world.reel.code)
    assert tablet.page.status_code == 422


def test_a_double_tap_crimps_once(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    set_up(tablet, world)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    crimp(tablet, 1)
    tablet.again()
    assert Crimp.objects.count() == 1


def test_a_cut_sent_again_after_its_answer_was_lost_is_recorded_once(tablet: Tablet, world: World) -> None:
    tablet.scan(world.reel.code)
    tablet.tick_all_and_take(count="2")
    tablet.again()
    assert "That was recorded already." in tablet.text
    assert states().count(State.CUT) == 2


def test_the_last_cut_sent_again_is_recorded_once(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    tablet.again()
    assert "That was recorded already." in tablet.text


def test_readings_sent_late_do_not_slip_to_the_next_piece_that_waits(tablet: Tablet, world: World) -> None:
    cut_all(tablet, world)
    set_up(tablet, world)
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    crimp(tablet, 1)
    form = tablet.form
    readings = {f"reading_{n}": reading for n, reading in enumerate(GOOD, start=1)}
    late = (form.action, form.hidden | readings | {"nonce": str(uuid4())})
    tablet.read(*GOOD)
    crimp(tablet, 3)
    assert "Measure assembly 4 now." in tablet.text
    tablet.sent = late
    tablet.again()
    assert "Nothing of this run waits for that now." in tablet.text
    assert Measurement.objects.count() == 1


def test_the_list_of_jobs_has_one_line_for_a_run(client: Client, world: World, run: Run) -> None:
    client.force_login(world.bench)
    page = client.get("/bench/").content.decode()
    assert page.count(f'href="/bench/runs/{run.pk}/"') == 1
    assert f"/bench/runs/{run.pk}/" in page
