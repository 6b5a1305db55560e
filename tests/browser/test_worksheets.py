"""Worksheets in a real browser: they answer while a person types, and fill one sheet of paper."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from shop.web.worksheets.catalogue import WORKSHEETS
from tests.browser.beginning import sign_in
from tests.browser.conftest import SIZES, Doors, Sit
from tests.browser.test_dark_and_print import sheets_of
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_answer_follows_what_is_typed_and_a_refusal_stands_at_its_question(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "desktop")
    sign_in(person, "ilse")
    person.goes_to("/reference/worksheets/routing/")
    page = person.page
    page.locator("#id_layout").select_option("bend")
    page.locator("#id_outside").press_sequentially("23 mm")
    page.locator("#id_minimum").press_sequentially("180 mm")
    expect(page.locator("#answer")).to_contain_text("Still needed: Angle of the bend.")
    page.locator("#id_angle").press_sequentially("90")
    expect(page.locator("#answer")).to_contain_text("300.8 mm")
    page.locator("#id_radius").press_sequentially("100 mm")
    expect(page.locator("#id_radius_says")).to_contain_text("must be 180 mm or more")
    expect(page.locator("#id_radius")).to_be_focused()
    person.looks()
    page.reload()
    expect(page.locator("#id_radius")).to_have_value("100 mm")


def test_what_another_choice_asks_is_out_of_the_way(
    world: World, open_the_doors: Doors, sit_down: Sit
) -> None:
    person = sit_down(open_the_doors(), "desktop")
    sign_in(person, "ilse")
    person.goes_to("/reference/worksheets/routing/")
    person.page.locator("#id_layout").select_option("U")
    expect(person.page.locator("#id_travel")).to_be_visible()
    expect(person.page.locator("#id_angle")).to_be_hidden()


@pytest.mark.parametrize("screen", SIZES)
def test_every_example_can_be_read_by_everybody(
    world: World, open_the_doors: Doors, sit_down: Sit, screen: str
) -> None:
    person = sit_down(open_the_doors(), screen)
    sign_in(person, "ilse")
    person.goes_to("/reference/worksheets/")
    for worksheet in WORKSHEETS:
        person.goes_to(f"/reference/worksheets/{worksheet.slug.replace('_', '-')}/?{worksheet.example_query}")


def test_every_example_fills_one_sheet_with_workshop_and_cautions(
    world: World, open_the_doors: Doors, sit_down: Sit, tmp_path: Path
) -> None:
    person = sit_down(open_the_doors(), "desktop")
    sign_in(person, "ilse")
    person.page.emulate_media(color_scheme="dark")
    for worksheet in WORKSHEETS:
        person.goes_to(f"/reference/worksheets/{worksheet.slug.replace('_', '-')}/?{worksheet.example_query}")
        sheets = sheets_of(person.page.pdf(format="A4"), tmp_path / f"{worksheet.slug}.pdf")
        assert len(sheets) == 1, worksheet.slug
        assert world.workshop.name in sheets[0]
        assert "Before you rely on it" in sheets[0]
        assert "Work it out" not in sheets[0]
