"""What is ticked on the tablet: as it is ordered and chosen, and the mark large enough to strike."""

import pytest
from django.test import Client

from shop.assemblies.models import End, State
from shop.assemblies.planning import start_line
from shop.assemblies.release import make_tag
from tests.assemblies import bench
from tests.web.bench.bench_pages import Tablet
from tests.world import World


@pytest.fixture
def marked(world: World) -> World:
    """A workshop that puts a pin through each bore and marks each to last."""
    bench.choose(world, bore_pin=True, lasting_mark="ferrule", mark_method="dot peening")
    return world


def test_the_sleeve_is_asked_for_at_end_b_and_what_was_scanned_stays(client: Client, world: World) -> None:
    assembly = bench.ready_to_crimp(world, sleeve="textile, the whole hose")
    bench.measure(world, bench.crimp(world, assembly))
    bench.tool_up(world, assembly, End.B)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly)
    assert "textile, the whole hose on the hose before you crimp" in tablet.text
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    ticks = [code for code in tablet.form.boxes["seen"] if code != "sleeve_on"]
    page = tablet.send(take="1", seen=ticks)
    assert page.status_code == 422
    assert "Not ticked yet: The sleeve is on the hose: textile, the whole hose." in tablet.text
    assert str(world.ferrule_lot) in tablet.text
    tablet.tick_all_and_take()
    assert "End B is crimped" in tablet.text


def test_the_inspection_asks_in_groups_and_for_the_pin(client: Client, marked: World) -> None:
    assembly = bench.made(marked)
    client.force_login(marked.inspector)
    tablet = Tablet(client, assembly)
    tablet.scan(marked.tape.code)
    assert "11.43 mm or more: nine tenths of the bore of the hose" in tablet.text
    assert all(
        f"<label>{group}</label>" in tablet.page.content.decode() for group in ("The ends", "The bore")
    )
    tablet.tick_all_and_take(finished_length="932", pin="11.40 mm")
    assert "A pin of 11.4 mm shows nothing" in tablet.text
    tablet.tick_all_and_take(finished_length="932", pin="11.5 mm")
    assert "Inspected: right." in tablet.text


def test_the_release_shows_the_mark_and_asks_whether_it_was_read(client: Client, marked: World) -> None:
    assembly = bench.made(marked)
    bench.look_over(marked, assembly, pin_mm=marked.hose.bore)
    tag = make_tag(actor=marked.inspector, assembly=assembly)
    client.force_login(marked.inspector)
    tablet = Tablet(client, assembly)
    assert "The mark, on a ferrule, by dot peening" in tablet.text
    assert f'<p class="code mark-text">{tag.mark}</p>' in tablet.page.content.decode()
    tablet.send(scan=assembly.code)
    assert "Not ticked yet: The lasting mark is on it" in tablet.text
    tablet.send(scan=assembly.code, seen=["marked"])
    assembly.refresh_from_db()
    assert assembly.state == State.RELEASED


def test_a_run_shows_the_mark_of_each_piece(client: Client, marked: World) -> None:
    pieces = start_line(actor=marked.counter, line=marked.written_line(quantity=2))
    for piece in pieces:
        bench.cut(marked, piece)
    bench.finish_run(marked, pieces)
    for piece in pieces:
        bench.look_over(marked, piece, pin_mm=marked.hose.bore)
        make_tag(actor=marked.inspector, assembly=piece)
    client.force_login(marked.inspector)
    tablet = Tablet(client, pieces[0].run)
    assert all(piece.tags.get().mark in tablet.text for piece in pieces)
    tablet.send(scan=pieces[1].code, seen=["marked"])
    pieces[1].refresh_from_db()
    assert (pieces[1].state, pieces[1].release.seen) == (State.RELEASED, ["marked"])


def test_a_run_is_inspected_with_one_pin_for_all(client: Client, marked: World) -> None:
    pieces = start_line(actor=marked.counter, line=marked.written_line(quantity=2))
    for piece in pieces:
        bench.cut(marked, piece)
    bench.finish_run(marked, pieces)
    client.force_login(marked.inspector)
    tablet = Tablet(client, pieces[0].run)
    tablet.scan(marked.tape.code)
    tablet.tick_all_and_take(**{f"length_{piece.serial}": "932" for piece in pieces}, pin="11.5 mm")
    assert "2 inspected and right." in tablet.text
    assert {str(piece.inspections.get().pin) for piece in pieces} == {"11.5"}


def test_the_record_says_in_words_what_was_ticked(client: Client, marked: World) -> None:
    assembly = bench.made(marked, guard="steel spring")
    bench.look_over(marked, assembly, pin_mm=marked.hose.bore)
    make_tag(actor=marked.inspector, assembly=assembly)
    client.force_login(marked.inspector)
    Tablet(client, assembly).send(scan=assembly.code, seen=["marked"])
    page = client.get(f"/assembly/{assembly.code}/").content.decode()
    assert "Cut square, no loose wires." in page
    assert "The guard is on the hose: steel spring." in page
    assert "The pin goes through by its own weight" in page
    assert '<span class="number">11.43 mm</span>' in page
    assert "The lasting mark is on it, and was read there: on a ferrule, by dot peening." in page
