"""What is held or failed, on the tablet: exactly what this person may do about it, and why not the rest."""

import re
from decimal import Decimal

import pytest
from django.test import Client

from shop.assemblies.models import Assembly, Cause, Concession, Decision, DecisionKind, End, State
from tests.assemblies import bench
from tests.web.bench.bench_pages import Tablet
from tests.world import World

pytestmark = pytest.mark.django_db

TOO_LARGE, TOO_SMALL = ("24.45",) * 4, ("23.95",) * 4
LONG = {"overall_length": Decimal(8000), "overall_typed": "8 m"}


def chosen_from(tablet: Tablet) -> list[str]:
    """The acts that may be tapped."""
    return re.findall(r'name="kind" value="(\w+)"', tablet.page.content.decode())


def sit_down(client: Client, world: World, who: str, assembly: Assembly) -> Tablet:
    client.force_login(getattr(world, who))
    return Tablet(client, assembly)


@pytest.fixture
def too_small(world: World) -> Assembly:
    assembly, _ = bench.crimped(world, TOO_SMALL, **LONG)
    return assembly


@pytest.fixture
def too_long(world: World) -> Assembly:
    """Inspected by the inspector, 50 mm longer than ordered."""
    assembly = bench.made(world)
    bench.look_over(world, assembly, finished_length_mm=Decimal(980))
    return assembly


def test_the_bench_may_scrap_and_reads_who_decides_the_rest(
    client: Client, world: World, too_small: Assembly
) -> None:
    tablet = sit_down(client, world, "bench", too_small)
    assert chosen_from(tablet) == ["scrap"]
    assert "What is not possible" in tablet.text
    assert "only one that is too large, above 24.4 mm, can be pressed further" in tablet.text
    assert "Ilse Novak may not decide about what is held or failed. Ask someone who may" in tablet.text


def test_a_reason_is_tapped_and_needs_no_words(client: Client, world: World, too_small: Assembly) -> None:
    tablet = sit_down(client, world, "bench", too_small)
    tablet.send(kind="scrap", cause_scrap="short_stop")
    assert "Scrap: recorded." in tablet.text
    decision = Decision.objects.get()
    assert (decision.cause, decision.private("reason")) == (Cause.STOPPED_SHORT, None)


def test_something_else_is_said_in_own_words(client: Client, world: World, too_small: Assembly) -> None:
    tablet = sit_down(client, world, "bench", too_small)
    tablet.send(kind="scrap", cause_scrap="other")
    assert tablet.page.status_code == 422
    assert "A decision needs its reason." in tablet.text
    tablet.send(kind="scrap", cause_scrap="other", reason="the light went out")
    assert Decision.objects.get().private("reason") == "the light went out"


def test_an_end_is_cut_off_and_refitted_on_the_tablet(
    client: Client, world: World, too_small: Assembly
) -> None:
    tablet = sit_down(client, world, "inspector", too_small)
    assert chosen_from(tablet) == ["refit", "scrap"]
    assert "end A at least 30 mm. 7950 mm of hose are on it now." in tablet.text
    tablet.send(kind="refit", cut_off="", cause_refit="not_home")
    assert "Measure what comes off and type it." in tablet.text
    tablet.send(kind="refit", cut_off="20", cause_refit="not_home")
    assert "hose that was pressed in the ferrule stays on" in tablet.text
    assert 'value="20"' in tablet.page.content.decode()
    tablet.send(kind="refit", cut_off="3 cm", cause_refit="not_home")
    assert "7920 mm of hose are left; the crimper is set up anew." in tablet.text
    assert "Set the crimper up for end A, cut off by 30 mm" in tablet.text
    client.force_login(world.bench)
    bench.tool_up(world, too_small)
    tablet.open()
    tablet.scan(world.fitting_lot.code, world.ferrule_lot.code)
    assert "30 mm are off, 7920 mm are left" in tablet.text
    assert "those that were cut off lie in the scrap" in tablet.text
    tablet.tick_all_and_take()
    assert too_small.crimps.count() == 2


def test_what_would_be_too_short_is_said_before_anything_is_typed(client: Client, world: World) -> None:
    assembly, _ = bench.crimped(world, TOO_SMALL)
    tablet = sit_down(client, world, "inspector", assembly)
    assert chosen_from(tablet) == ["scrap"]
    assert "comes out at 900 mm: 26 mm shorter than the 926 mm that the order allows" in tablet.text


def test_a_second_person_is_asked_for(client: Client, world: World) -> None:
    bench.allow_crimping_again(world)
    assembly = bench.ready_to_crimp(world, **LONG)
    bench.measure(world, bench.crimp(world, assembly, actor=world.inspector), TOO_LARGE)
    tablet = sit_down(client, world, "inspector", assembly)
    assert chosen_from(tablet) == ["scrap"]
    assert "crimped this end and can't also decide to crimp it again" in tablet.text
    assert chosen_from(sit_down(client, world, "owner", assembly)) == ["again", "refit", "scrap"]


def test_a_concession_is_let_pass_by_somebody_else_than_who_inspected(
    client: Client, world: World, too_long: Assembly
) -> None:
    tablet = sit_down(client, world, "inspector", too_long)
    assert "concede" not in chosen_from(tablet)
    assert "inspected this assembly and can't also let it pass under a concession" in tablet.text
    tablet = sit_down(client, world, "owner", too_long)
    assert "The finished length is 980 mm; 926 to 942 mm is right." in tablet.text
    assert chosen_from(tablet) == ["refit", "concede", "scrap"]
    tablet.send(kind="concede", agreed_by="", paper="mail of 3 March", reason="clamped")
    assert "it needs who agreed there, and in which paper" in tablet.text
    tablet.send(kind="concede", agreed_by="Ulla Brandt", paper="mail of 3 March", reason="clamped")
    assert "It passes under a concession: recorded." in tablet.text
    assert Concession.objects.get().private("agreed_by") == "Ulla Brandt"
    too_long.refresh_from_db()
    assert too_long.state == State.INSPECTED
    record = client.get(f"/assembly/{too_long.code}/").content.decode()
    assert "Made under concession" in record
    assert "the finished length; agreed by Ulla Brandt, mail of 3 March: clamped" in record


def test_after_an_inspection_the_end_to_cut_off_is_tapped(
    client: Client, world: World, too_long: Assembly
) -> None:
    tablet = sit_down(client, world, "owner", too_long)
    tablet.send(kind="refit", cut_off="45", cause_refit="cut_long")
    assert "Nothing says which end is to be cut off." in tablet.text
    tablet.send(kind="refit", cut_off="45", cut_end="B", cause_refit="cut_long")
    decision = Decision.objects.get(kind=DecisionKind.REFIT)
    assert decision.about is not None
    assert (decision.about.end, decision.cut_off) == (End.B, Decimal(45))
    assert "cut too long; " in client.get(f"/assembly/{too_long.code}/").content.decode()


def test_the_bench_is_not_sent_to_an_inspection_that_it_may_not_make(
    client: Client, world: World, too_long: Assembly
) -> None:
    assert "Inspect again" not in sit_down(client, world, "bench", too_long).text
    assert "Inspect again" in sit_down(client, world, "owner", too_long).text


def test_a_piece_of_a_run_is_decided_about_in_the_run(client: Client, world: World) -> None:
    assembly, _ = bench.crimped(world, TOO_SMALL, quantity=1)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly.run)
    tablet.send(kind="scrap", cause_scrap="crimp_out")
    assembly.refresh_from_db()
    assert assembly.state == State.SCRAPPED


def test_the_list_of_what_is_held_or_failed_says_what_is_wrong(
    client: Client, world: World, too_small: Assembly, too_long: Assembly
) -> None:
    client.force_login(world.auditor)
    page = client.get("/quality/held/").content.decode()
    assert "end A: crimp too small or uneven" in page
    assert "not right at its inspection" in page
    assert "Measure or decide" not in page
    client.force_login(world.bench)
    assert "Measure or decide" in client.get("/quality/held/").content.decode()
