"""At the press: what is scanned lights up in the drawing and its list, and the sheet is at hand."""

import re
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from django.test import Client

from shop.assemblies.models import Assembly, SetUp
from shop.catalogue.models import StopKind
from shop.tooling.models import ArrangementPart, PartTool
from shop.tooling.services import save_arrangement, save_crimper
from tests import factories
from tests.assemblies.bench import cut, plan, reissue, tool_up
from tests.web.bench.bench_pages import Tablet
from tests.world import World


@pytest.fixture
def tablet(client: Client, world: World) -> Tablet:
    """An assembly that is cut; the workshop has said which parts of the stack have labels."""
    stack = (("pusher", ""), ("stop ring", PartTool.STOP), ("die set", PartTool.DIE_SET))
    save_arrangement(
        actor=world.bench,
        arrangement=world.arrangement,
        parts=[ArrangementPart(role=role, tool=tool, thickness=Decimal(20)) for role, tool in stack],
    )
    assembly = plan(world)
    cut(world, assembly)
    client.force_login(world.bench)
    return Tablet(client, assembly)


def lights(tablet: Tablet) -> list[str]:
    """What stands in the drawing: 'press there', '3 asked' …, from left to right."""
    [drawing] = re.findall(r'<svg [^>]*class="fb-setup".*?</svg>', tablet.page.content.decode(), re.DOTALL)
    found = []
    for group in ElementTree.fromstring(drawing).iter("{http://www.w3.org/2000/svg}g"):  # noqa: S314 our own
        classes = group.attrib["class"].split()
        what = "press" if "fb-press" in classes else classes[1].removeprefix("fb-stack-")
        found += [f"{what} {light}" for light in ("there", "asked") if f"fb-{light}" in classes]
    return found


def test_each_part_lights_up_as_it_is_scanned_and_the_next_is_asked_for(tablet: Tablet, world: World) -> None:
    assert lights(tablet) == ["press asked"]
    tablet.scan(world.crimper.code)
    assert lights(tablet) == ["press there", "3 asked"]
    assert "die set, 20 mm thick: still to scan" in tablet.text
    tablet.scan(world.die_set.code)
    assert lights(tablet) == ["press there", "2 asked", "3 there"]
    assert f"die set, 20 mm thick: {world.die_set}, scanned" in tablet.text
    tablet.scan(world.stop_part.code)
    assert lights(tablet) == ["press there", "2 there", "3 there"]


def test_a_wrong_part_says_what_it_is_and_what_is_wanted_and_lights_nothing(
    tablet: Tablet, world: World
) -> None:
    tablet.scan(world.crimper.code)
    wrong = factories.DieSetFactory()
    tablet.scan(wrong.code)
    assert f"{wrong} is a die set of type {wrong.die_type}; the chart wants {world.die_type}." in tablet.text
    assert lights(tablet) == ["press there", "3 asked"]


def test_what_must_be_out_stands_before_the_parts(tablet: Tablet) -> None:
    assert tablet.text.index("Take out: the spacer plate") < tablet.text.rindex("pusher, 20 mm thick")


def test_what_has_no_label_is_ticked_with_the_state_of_dies_and_stack(tablet: Tablet, world: World) -> None:
    tablet.scan(*(t.code for t in (world.crimper, world.die_set, world.stop_part, world.caliper)))
    assert tablet.form.boxes["seen"] == [
        "1. pusher",
        "2. stop ring",
        "3. die set",
        "taken out: the spacer plate",
        "dies clean, and greased where they slide",
        "the stack stands centred, nothing askew",
    ]


def test_the_start_has_the_crimpers_offset_and_both_are_kept(client: Client, world: World) -> None:
    reissue(world, "2", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="4.6")
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL, offset=Decimal("0.2"))
    arrangement = factories.ArrangementFactory.build(crimper=dial, die_type=world.die_type, stop_type=None)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    assembly = plan(world)
    cut(world, assembly)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly)
    tablet.scan(dial.code, world.die_set.code, world.caliper.code)
    assert "Where you start: the chart gives 4.6, this scale reads 0.2 at nought." in tablet.text
    assert 'value="4.8"' in tablet.page.content.decode()
    tablet.tick_all_and_take(setting="4.85")
    kept = SetUp.objects.get()
    assert (kept.specification.stop_setting, kept.stop_setting, kept.machine_offset) == (
        "4.6",
        "4.85",
        Decimal("0.200"),
    )
    record = client.get(f"/assembly/{assembly.code}/").content.decode()
    assert "4.85 (the chart gives 4.6), the scale read 0.2 at nought" in record
    dial.offset = Decimal("0.3")
    save_crimper(actor=world.bench, crimper=dial)
    assert SetUp.objects.get().scale_read == "0.2"


def test_the_sheet_is_reached_from_the_set_up_and_again_before_the_press_moves(
    tablet: Tablet, world: World, client: Client
) -> None:
    assembly = Assembly.objects.get()
    address = f"/bench/{assembly.code}/set-up-sheet/A/"
    assert f'href="{address}"' in tablet.page.content.decode()
    page = client.get(address).content.decode()
    assert "What makes it unsafe" in page
    pdf = client.get(f"{address}pdf/?crimper={world.crimper.code}")
    assert pdf.headers["Content-Type"] == "application/pdf"
    assert pdf.content.startswith(b"%PDF")
    tool_up(world, assembly, seen=[*_points(world)])
    assert f'href="{address}"' in tablet.open().content.decode()


def _points(world: World) -> list[str]:
    parts = world.arrangement.parts.all()
    return [*(f"{part.position}. {part.role}" for part in parts), "taken out: the spacer plate"]


def test_the_sheet_is_reached_from_a_runs_page(client: Client, world: World) -> None:
    assembly = plan(world)
    cut(world, assembly)
    client.force_login(world.bench)
    page = Tablet(client, assembly.run).page.content.decode()
    assert f'href="/bench/{assembly.code}/set-up-sheet/A/"' in page


def test_a_sheet_that_there_cannot_be_leads_back_to_the_bench_with_the_reason(
    tablet: Tablet, world: World, client: Client
) -> None:
    world.crimper.blocked_because = "it leaks"
    save_crimper(actor=world.bench, crimper=world.crimper)
    for rest in ("", "pdf/"):
        page = client.get(f"/bench/{Assembly.objects.get().code}/set-up-sheet/A/{rest}", follow=True)
        assert "Nobody has written down what goes into a crimper" in page.content.decode()


def test_an_end_that_no_hose_has_is_not_found(tablet: Tablet, client: Client) -> None:
    assert client.get(f"/bench/{Assembly.objects.get().code}/set-up-sheet/C/").status_code == 404
