"""The main pages at night, and on paper."""

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from shop.assemblies.models import Assembly
from tests.assemblies.bench import crimped, made, plan, released
from tests.browser.beginning import sign_in
from tests.browser.conftest import Doors, Sit
from tests.browser.person import Person
from tests.documents.reading import text_of
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TOO_LARGE = ("24.41", "24.41", "24.41", "24.41")
NOT_PROVEN = ("24.39", "24.39", "24.39", "24.39")
# A line with all that it comes to, a record, and a page of the ledger are longer than other pages.
MOST_SHEETS = {"line": 3, "record": 4, "ledger": 5}
NAVIGATION = ("Sign out", "Scan or type a code", "Places", "Skip to the page", "Find", "Show all", "Filter")


def main_pages(world: World) -> dict[str, str]:
    """Pages of every place, with assemblies that pass, wait, failed and are released."""
    waiting, going, failed = plan(world), made(world), crimped(world, TOO_LARGE)[0]
    out: Assembly = released(world)
    order = world.order.code
    return {
        "counter": "/counter/",
        "order": f"/counter/orders/{order}/",
        "line": f"/counter/orders/{order}/lines/1/",
        "bench": "/bench/",
        "step": f"/bench/{waiting.code}/",
        "inspection": f"/bench/{going.code}/",
        "failed": f"/bench/{failed.code}/",
        "record": f"/assembly/{out.code}/",
        "public": f"/T/{out.code}",
        "not released": f"/T/{waiting.code}",
        "reference": "/reference/hoses/",
        "chart": f"/quality/charts/{world.chart.pk}/",
        "ledger": "/quality/ledger/",
        "reel": f"/stores/pieces/{world.reel.pk}/",
        "arrangement": f"/tools/arrangements/{world.arrangement.pk}/",
    }


def test_every_place_can_be_read_at_night(world: World, open_the_doors: Doors, sit_down: Sit) -> None:
    pages = main_pages(world)
    person = sit_down(open_the_doors(), "tablet", at_night=True)
    sign_in(person, "marit")
    for path in pages.values():
        person.goes_to(path)
        assert is_dark(person), f"{path} is bright"


def test_a_printed_page_is_black_on_white_and_has_no_navigation(
    world: World, open_the_doors: Doors, sit_down: Sit, tmp_path: Path
) -> None:
    pages = main_pages(world)
    person = sit_down(open_the_doors(), "desktop", at_night=True)
    sign_in(person, "marit")
    wrong = []
    for name, path in pages.items():
        person.goes_to(path)
        paper = person.page.pdf(format="A4")
        wrong += [
            f"{path} {fault}"
            for fault in faults_of(paper, tmp_path / f"{name}.pdf", MOST_SHEETS.get(name, 2))
        ]
    assert not wrong, "\n".join(wrong)


def faults_of(paper: bytes, file: Path, most: int) -> Iterator[str]:
    """What nobody would want to find in the printer's tray."""
    sheets = sheets_of(paper, file)
    if len(sheets) > most:
        yield f"takes {len(sheets)} sheets"
    if not all(sheet.strip() for sheet in sheets):
        yield "has an empty sheet"
    words = {line.strip() for sheet in sheets for line in sheet.splitlines()}
    if found := words & set(NAVIGATION):
        yield f"prints {', '.join(sorted(found))}"
    if "makers' instructions" not in text_of(paper):
        yield "lacks the caution"


def is_dark(person: Person) -> bool:
    """Whether the ink is brighter than the paper."""
    brightness = """(which) => getComputedStyle(document.body)[which].match(/[0-9]+/g).slice(0, 3)
        .reduce((sum, part) => sum + Number(part), 0)"""
    ink, paper = (person.page.evaluate(brightness, which) for which in ("color", "backgroundColor"))
    return bool(ink > paper)


def sheets_of(paper: bytes, file: Path) -> list[str]:
    """The text of each sheet."""
    file.write_bytes(paper)
    text = subprocess.run(["pdftotext", "-layout", file, "-"], check=True, capture_output=True, text=True)
    return text.stdout.split("\f")[:-1]
