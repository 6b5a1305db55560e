"""From an order line to a worksheet and back, in a real browser; what is kept fills one sheet of paper."""

from pathlib import Path

import pytest

from shop.orders.worksheets import attach_worksheet
from shop.web.worksheets.catalogue import WORKSHEETS
from tests.browser.beginning import sign_in
from tests.browser.conftest import SIZES, Doors, Sit
from tests.browser.test_dark_and_print import sheets_of
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("screen", SIZES)
def test_what_is_worked_out_for_a_line_is_kept_with_it(
    world: World, open_the_doors: Doors, sit_down: Sit, tmp_path: Path, screen: str
) -> None:
    line = world.written_line()
    person = sit_down(open_the_doors(), screen)
    sign_in(person, world.counter.username)
    person.goes_to(f"/counter/orders/{line.order.code}/lines/{line.position}/")
    person.follows("Work something out for this line")
    person.follows("Overall and cut length")
    person.presses("Work it out")
    person.presses(f"Attach to {line}")
    person.reads("is kept with", "Overall 930 mm, cut to 880 mm.")
    person.follows("Print Overall and cut length")
    [sheet] = sheets_of(person.page.pdf(format="A4"), tmp_path / "kept.pdf")
    for words in (
        "order 1, line 1",
        "boom 3",
        world.counter.name,
        "That day it came to",
        "Before you rely on it",
    ):
        assert words in sheet, words
    person.follows("Open as it was typed")
    person.reads("For order 1, line 1", "880 mm")


def test_every_kept_example_fills_one_sheet(
    world: World, open_the_doors: Doors, sit_down: Sit, tmp_path: Path
) -> None:
    line = world.written_line()
    kept = [
        attach_worksheet(
            actor=world.counter,
            line=line,
            worksheet=worksheet.slug,
            typed=worksheet.example.items(),
            says="The answer of an earlier day, when tables and formulas may have been others.",
        )
        for worksheet in WORKSHEETS
    ]
    person = sit_down(open_the_doors(), "desktop")
    sign_in(person, world.counter.username)
    for each in kept:
        person.goes_to(f"/reference/worksheets/attached/{each.pk}/")
        sheets = sheets_of(person.page.pdf(format="A4"), tmp_path / f"{each.worksheet}.pdf")
        assert len(sheets) == 1, each.worksheet
        assert "Today the same values come to" in sheets[0]
