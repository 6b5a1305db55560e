"""A row of a printed table is compared with its document on a page that doesn't show what the table says."""

import re
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from shop.standards.figures import TITLES, confirm_figures, printed_rows
from shop.standards.models import FigureConfirmation
from tests.world import World

PAGES = ("/reference/tolerances/", "/reference/sizes/", "/reference/figures/")
# EN 853 / DIN 20066, up to DN 25, over 630 to 1250 mm: the sixth row of the file. From memory: +12/−4 mm.
ROW = "/reference/figures/length_tolerances/6/"
TYPED = {"document": "EN 853:2015, Table 3", "figure_1": "12", "figure_2": "4"}


def text_of(client: Client, page: str) -> str:
    """What stands on the page, without the marks."""
    answer = client.get(page)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


def values_on(client: Client, page: str) -> list[str]:
    """The values with which the page's fields begin."""
    inputs = re.findall(r'<input type="text"[^>]*>', client.get(page).content.decode())
    return [value for tag in inputs for value in re.findall(r'value="([^"]*)"', tag)]


def test_each_row_of_the_tables_stands_on_a_page_with_its_source(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    pages = "".join(unescape(client.get(page).content.decode()) for page in PAGES)
    assert pages.count('<th scope="row">') == sum(len(printed_rows(table)) for table in TITLES)
    assert all(row.source in pages for table in TITLES for row in printed_rows(table))


def test_the_inspector_compares_a_row_and_the_page_says_so(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert f'href="{ROW}"' in client.get("/reference/tolerances/").content.decode()
    answer = client.post(ROW, TYPED, follow=True)
    assert answer.redirect_chain == [("/reference/tolerances/", 302)]
    written = FigureConfirmation.objects.get()
    day = written.recorded_at.astimezone(world.workshop.zone_info).date()
    told = f"confirmed by 4 on {day} (EN 853:2015, Table 3)"
    assert told in text_of(client, "/reference/tolerances/")


@pytest.mark.parametrize("table", TITLES)
def test_the_page_that_asks_shows_nothing_of_what_the_table_says(
    client: Client, world: World, table: str
) -> None:
    client.force_login(world.owner)
    for number, row in enumerate(printed_rows(table), start=1):
        page = f"/reference/figures/{table}/{number}/"
        text = text_of(client, page)
        assert row.row in text
        assert row.told not in text
        assert values_on(client, page) == []


def test_figures_that_differ_are_refused_and_stay_typed(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    answer = client.post(ROW, TYPED | {"figure_2": "6"})
    page = unescape(answer.content.decode())
    assert "The document has plus 12 mm, minus 6 mm; the table has something else" in page
    assert 'value="6"' in page
    assert not FigureConfirmation.objects.exists()


def test_what_is_no_figure_is_said_at_its_question(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    page = unescape(client.post(ROW, TYPED | {"figure_2": "four"}).content.decode())
    assert "“four” is no figure." in page


def test_a_figure_that_a_document_may_lack_is_not_needed(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    page = "/reference/figures/velocity_limits/1/"  # inch slow, pressure line: 15 ft/s, as quoted on a wiki
    client.post(page, {"document": "the wiki, 2025-11", "figure_1": "15", "figure_2": ""})
    assert FigureConfirmation.objects.get().figures == "up to 15 ft/s, at least none"


def test_who_may_not_confirm_is_offered_no_comparison(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assert all("Compare with its document" not in client.get(page).content.decode() for page in PAGES)
    assert client.get(ROW).status_code == 403


@pytest.mark.parametrize(
    "page", ["length_tolerances/0/", "length_tolerances/99/", "hose_ratings/1/", "connections/1/"]
)
def test_there_is_no_page_for_a_row_that_is_not_there(client: Client, world: World, page: str) -> None:
    client.force_login(world.owner)
    assert client.get(f"/reference/figures/{page}").status_code == 404


@pytest.mark.parametrize("page", PAGES)
def test_a_page_costs_the_same_however_many_rows_are_confirmed(
    client: Client, world: World, page: str
) -> None:
    client.force_login(world.owner)

    def confirm(table: str, number: int) -> None:
        row = printed_rows(table)[number]
        typed = {figure.name: figure.printed for figure in row.figures}
        confirm_figures(actor=world.owner, table=table, row=row.row, document="its document", typed=typed)

    for table in TITLES:
        confirm(table, 0)
    with CaptureQueriesContext(connection) as few:
        client.get(page)
    for table in TITLES:
        for number in (1, 2, 3):
            confirm(table, number)
    with CaptureQueriesContext(connection) as more:
        client.get(page)
    assert len(more) == len(few)


def test_the_velocities_of_the_policy_in_force_are_marked(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assert "Used here." not in text_of(client, "/reference/figures/")
    set_policy(actor=world.owner, policy=Policy(effective_from=today(), velocity_limits="inch fast"))
    assert "The policy in force (policy 2) holds velocities to inch fast." in text_of(
        client, "/reference/figures/"
    )
