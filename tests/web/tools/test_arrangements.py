"""Arrangements: parts in order by page and by CSV, and drawn; labels of tools."""

import subprocess
from pathlib import Path

import pytest
from django.test import Client

from shop.tooling.models import Arrangement, PartTool
from tests.factories import DieTypeFactory
from tests.world import World

CSV = "/tools/arrangements/csv/"
HEADERS = "Crimper,Die type,Stop type,What must be taken out,Role,Mark,Which way it faces,Thickness"


@pytest.fixture(autouse=True)
def _signed_in(client: Client, world: World) -> None:
    client.force_login(world.bench)


def answers(world: World, *roles: str) -> dict[str, str]:
    rows = {f"rows-{n}-role": role for n, role in enumerate(roles)}
    head = {"crimper": str(world.crimper.pk), "die_type": str(DieTypeFactory().pk), "take_out": ""}
    return {**head, **rows, "rows-TOTAL_FORMS": "8", "rows-INITIAL_FORMS": "0"}


def roles(arrangement: Arrangement) -> list[str]:
    return [part.role for part in arrangement.parts.order_by("position")]


def test_parts_are_kept_in_the_order_of_their_rows(client: Client, world: World) -> None:
    data = answers(world, "pusher", "", "stop ring", "die set")
    client.post("/tools/arrangements/new/", data)
    assert roles(Arrangement.objects.latest("pk")) == ["pusher", "stop ring", "die set"]


def test_an_emptied_row_is_taken_out(client: Client, world: World) -> None:
    data = answers(world, "pusher", "", "die set") | {
        "die_type": str(world.die_type.pk),
        "stop_type": str(world.stop_type.pk),
    }
    client.post(f"/tools/arrangements/{world.arrangement.pk}/change/", data)
    assert roles(world.arrangement) == ["pusher", "die set"]


def test_an_arrangement_without_a_part_is_refused(client: Client, world: World) -> None:
    page = client.post("/tools/arrangements/new/", answers(world)).content.decode()
    assert "Fill one row at least." in page
    assert Arrangement.objects.count() == 1


def test_its_page_draws_the_parts_and_says_what_must_be_out(client: Client, world: World) -> None:
    page = client.get(f"/tools/arrangements/{world.arrangement.pk}/").content.decode()
    assert '<svg xmlns="http://www.w3.org/2000/svg"' in page
    assert "the spacer plate" in page


def test_what_people_typed_is_never_markup_in_the_drawing(client: Client, world: World) -> None:
    client.post("/tools/arrangements/new/", answers(world, "<script>alert(1)</script>"))
    page = client.get(f"/tools/arrangements/{Arrangement.objects.latest('pk').pk}/").content.decode()
    assert "<script>alert" not in page


def test_a_csv_has_one_line_per_part(client: Client, world: World) -> None:
    die_type = DieTypeFactory(designation="D60")
    head = f"{world.crimper.number},{die_type},,"
    text = f"{HEADERS}\n{head},pusher,plain,,\n{head},die set,,numbers to the operator,20 mm\n"
    page = client.post(CSV, {"text": text, "take": "yes"}, follow=True).content.decode()
    assert "Taken in: 1 new." in page
    assert roles(Arrangement.objects.get(die_type=die_type)) == ["pusher", "die set"]


def test_measures_and_label_of_a_part_go_out_and_come_in_by_csv(client: Client, world: World) -> None:
    die_type = DieTypeFactory(designation="D60")
    head = f"{HEADERS},Outside diameter,Opening in the middle,Scanned as"
    parts = (
        "pusher,plain,,22 mm,96 mm,52 mm,",
        "die set,,narrow end to the hose,60 mm,88 mm,,the die set",
    )
    text = "\n".join([head, *(f"{world.crimper.number},{die_type},,,{part}" for part in parts)])
    page = client.post(CSV, {"text": text, "take": "yes"}, follow=True).content.decode()
    assert "Taken in: 1 new." in page
    pusher, dies = Arrangement.objects.get(die_type=die_type).parts.all()
    assert (pusher.thickness, pusher.outside_diameter, pusher.bore, pusher.tool) == (22, 96, 52, "")
    assert (dies.outside_diameter, dies.bore, dies.tool) == (88, None, PartTool.DIE_SET)
    listed = client.get("/tools/arrangements/export/?form=csv").content.decode()
    assert "die set,,narrow end to the hose,60 mm,88 mm,,the die set" in listed


def test_a_label_that_no_part_can_have_is_named_at_its_line(client: Client, world: World) -> None:
    head = f"{world.crimper.number},{DieTypeFactory()},,"
    text = f"{HEADERS},Scanned as\n{head},pusher,plain,,,\n{head},die set,,,,the caliper\n"
    page = client.post(CSV, {"text": text, "take": "yes"}).content.decode()
    assert '<th scope="row" class="number">3</th><td>Scanned as</td>' in page
    assert "the caliper" in page


def test_two_parts_of_one_label_are_refused_with_a_sentence(client: Client, world: World) -> None:
    labels = {"rows-0-tool": "die_set", "rows-1-tool": "die_set"}
    page = client.post("/tools/arrangements/new/", answers(world, "die", "die") | labels).content.decode()
    assert "Two parts are scanned as the same tool. One of them has no label." in page
    assert Arrangement.objects.count() == 1


def test_a_bad_cell_of_a_part_is_named_at_its_own_line(client: Client, world: World) -> None:
    head = f"{world.crimper.number},{DieTypeFactory()},,"
    text = f"{HEADERS}\n{head},pusher,plain,,\n{head},die set,,,twenty\n"
    page = client.post(CSV, {"text": text, "take": "yes"}).content.decode()
    assert '<th scope="row" class="number">3</th><td>Thickness</td>' in page
    assert Arrangement.objects.count() == 1


def test_a_csv_without_parts_leaves_the_parts_as_they_are(client: Client, world: World) -> None:
    text = (
        f"Crimper,Die type,Stop type,What must be taken out\n"
        f"{world.crimper.number},{world.die_type},{world.stop_type},the tray"
    )
    client.post(CSV, {"text": text, "take": "yes", "sure": "2:changes"})
    world.arrangement.refresh_from_db()
    assert world.arrangement.take_out == "the tray"
    assert roles(world.arrangement) == ["pusher", "stop ring", "die set"]


def test_its_history_tells_the_parts(client: Client, world: World) -> None:
    page = client.get(f"/tools/arrangements/{world.arrangement.pk}/").content.decode()
    assert "attitude chamfer to the ram, mark plain, role pusher" in page


def test_a_tool_has_a_label_with_its_number_and_code(client: Client, world: World, tmp_path: Path) -> None:
    answer = client.get(f"/tools/die-sets/labels/?pk={world.die_set.pk}")
    assert answer.headers["Content-Type"] == "application/pdf"
    (tmp_path / "label.pdf").write_bytes(answer.content)
    text = subprocess.run(
        ["pdftotext", tmp_path / "label.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    assert world.die_set.number in text
    assert world.die_set.code in "".join(text.split()).replace("-", "")


def test_a_blocked_tool_says_why_on_its_list(client: Client, world: World) -> None:
    world.die_set.blocked_because = "chipped"
    world.die_set.save()
    assert "no: chipped" in client.get("/tools/die-sets/?usable=no").content.decode()
    assert "1 blocked" in client.get("/tools/").content.decode()
