"""One assembly from the cut to the release, as the bench and the inspector tap it."""

from decimal import Decimal

from django.test import Client

from shop.assemblies.models import Assembly, Crimp, Cut, Measurement
from tests import factories
from tests.assemblies.bench import GOOD, plan, reissue, tagged
from tests.web.bench.bench_pages import Tablet
from tests.world import World


def _tools(world: World) -> tuple[str, ...]:
    return tuple(thing.code for thing in (world.crimper, world.die_set, world.stop_part, world.caliper))


def _lots(world: World) -> tuple[str, str]:
    return world.fitting_lot.code, world.ferrule_lot.code


def _cut(tablet: Tablet, world: World) -> None:
    tablet.scan(world.reel.code)
    tablet.tick_all_and_take()


def _crimp(tablet: Tablet, world: World) -> None:
    tablet.scan(*_tools(world))
    tablet.tick_all_and_take()
    tablet.scan(*_lots(world))
    tablet.tick_all_and_take()


def test_the_whole_road(client: Client, world: World) -> None:
    assembly = plan(world)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly)
    assert "Cut 880 mm" in tablet.text
    _cut(tablet, world)
    for _ in "AB":
        _crimp(tablet, world)
        tablet.read(*GOOD)
    client.force_login(world.inspector)
    tablet.open()
    tablet.scan(world.tape.code)
    tablet.tick_all_and_take(finished_length="931", faults="")
    tablet.send()
    assert "Pennant Hose Works" in tablet.text
    tablet.send(scan=f"https://hose.example/t/{assembly.code.lower()}")
    assembly.refresh_from_db()
    assert assembly.state == "released"


def test_a_wrong_die_set_is_refused_before_the_press_moves_and_the_rest_stays(
    client: Client, world: World
) -> None:
    wrong = factories.DieSetFactory(number="dies 99")
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    tablet.scan(world.crimper.code, wrong.code)
    assert tablet.page.status_code == 422
    assert f"the chart wants {world.die_type}" in tablet.text
    assert tablet.form.hidden["have"] == world.crimper.code


def test_a_tool_can_be_picked_instead_of_scanned(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    tablet.send(pick=world.reel.code)
    assert tablet.form.hidden["have"] == world.reel.code


def test_a_double_tap_cuts_once(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    tablet.again()
    assert "recorded already" in tablet.text
    assert Cut.objects.count() == 1
    world.reel.refresh_from_db()
    assert world.reel.length_left == 50_000 - 880


def test_the_back_button_does_not_crimp_the_other_end(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    _crimp(tablet, world)
    crimped = tablet.sent
    tablet.read(*GOOD)
    tablet.sent = crimped
    tablet.again()
    assert Crimp.objects.count() == 1


def test_the_same_form_with_other_values_is_refused(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    _crimp(tablet, world)
    tablet.read(*GOOD)
    action, values = tablet.sent
    tablet.sent = (action, values | {"reading_1": "24.21"})
    tablet.again()
    assert "was sent before with other values" in tablet.text
    assert Measurement.objects.count() == 1


def test_a_reading_in_inches_is_asked_about_and_nothing_typed_is_lost(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    _crimp(tablet, world)
    tablet.read("24.2", "24.2", "0.953", "24.2")
    assert tablet.page.status_code == 422
    assert 'value="0.953"' in tablet.page.content.decode()
    assert Measurement.objects.count() == 0


def test_a_reading_over_the_limit_fails_and_the_page_asks_what_to_do(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    _crimp(tablet, world)
    tablet.read("24.41", "24.41", "24.41", "24.41")
    assert "End A failed" in tablet.text
    tablet.send(kind="scrap", reason="press stopped early")
    assert Assembly.objects.get().state == "scrapped"


def test_the_bench_is_stopped_by_a_newer_chart_and_told_the_difference(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    _cut(tablet, world)
    reissue(world, "2", target=Decimal("24.1"))
    tablet.open()
    assert "24.2" in tablet.text
    assert "24.1" in tablet.text
    assert "confirmed again" in tablet.text


def test_the_list_shows_what_is_to_be_done_with_each(client: Client, world: World) -> None:
    plan(world)
    client.force_login(world.bench)
    assert "Cut 880 mm" in client.get("/bench/").content.decode()


def test_the_tag_is_printed_at_the_bench_before_the_release(client: Client, world: World) -> None:
    assembly = tagged(world)
    client.force_login(world.inspector)
    tablet = Tablet(client, assembly)
    assert "Print the tag" in tablet.text
    client.post(f"/assembly/{assembly.code}/tag/", {"prints_seen": "0", "at_bench": "1"})
    assert "The tag (PDF)" in Tablet(client, assembly).text


def test_a_step_at_no_end_is_told_what_comes_next(client: Client, world: World) -> None:
    assembly = tagged(world)
    client.force_login(world.bench)
    page = client.post(f"/bench/{assembly.code}/crimp/", {}, follow=True)
    assert "Scan the tag on the hose to release it" in page.content.decode()
