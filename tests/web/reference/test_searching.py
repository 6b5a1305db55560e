"""One box finds what the reference has, register by register."""

from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.catalogue.services import remove_chart_line
from shop.standards.models import Connection
from tests.factories import ConnectionFactory, FittingFactory, HoseFactory, HoseRatingFactory
from tests.world import World

SEARCH = "/reference/search/"


@pytest.fixture(autouse=True)
def _signed_in(client: Client, world: World) -> None:
    client.force_login(world.bench)


def read(client: Client, words: str) -> str:
    page = client.get(SEARCH, {"q": words})
    assert page.status_code == 200
    return unescape(page.content.decode())


def test_the_first_page_of_the_reference_has_the_box(client: Client) -> None:
    assert f'action="{SEARCH}"' in client.get("/reference/").content.decode()


def test_what_is_found_stands_under_its_register_and_leads_to_its_page(client: Client, world: World) -> None:
    page = read(client, world.hose.designation)
    assert "<caption>Hoses</caption>" in page
    assert f'href="/reference/hoses/{world.hose.pk}/"' in page
    assert "<caption>Fittings</caption>" not in page


@pytest.mark.parametrize(
    ("words", "caption"),
    [
        ("EN 853", "Published hose ratings"),
        ("37° flare", "Connections"),
        ("elbow", "Fittings"),
        ("ferrule", "Ferrules"),
        ("Ostrava", "Fitting series"),
        ("mineral", "Fluids"),
        ("die", "Die types"),
        ("stop", "Stop types"),
        ("RW-8", "Crimp charts"),
    ],
)
def test_every_kind_of_thing_is_found(client: Client, words: str, caption: str) -> None:
    HoseRatingFactory()
    assert f"<caption>{caption}</caption>" in read(client, words)


def test_a_hose_is_found_by_the_name_that_pages_show(client: Client, world: World) -> None:
    other = HoseFactory(designation=world.hose.designation, dash=12)
    page = read(client, str(world.hose))
    assert f'href="/reference/hoses/{world.hose.pk}/"' in page
    assert f'href="/reference/hoses/{other.pk}/"' not in page


def test_a_chart_is_found_by_the_hose_that_it_names(client: Client, world: World) -> None:
    chart = f'href="/quality/charts/{world.chart.pk}/"'
    assert chart in read(client, f"{world.hose} {world.series.name}")
    assert chart not in read(client, f"{HoseFactory(designation='Brook')}")


def test_a_chart_is_found_by_what_its_issue_in_force_names(client: Client, world: World) -> None:
    remove_chart_line(actor=world.bench, line=world.chart.lines.get())
    assert f'href="/quality/charts/{world.chart.pk}/"' in read(client, world.hose.designation)


def test_a_rating_from_memory_says_so_where_it_is_found(client: Client) -> None:
    HoseRatingFactory()
    page = read(client, "EN 853 2SN")
    assert "from memory</td>" in page
    assert "not confirmed" in page


def test_more_than_a_few_are_counted_and_the_list_has_them_all(client: Client) -> None:
    HoseFactory.create_batch(11, maker="Brackwater & Daughters")
    page = read(client, "brackwater &")
    assert page.count('href="/reference/hoses/') == 8 + 1
    assert '<a href="/reference/hoses/?q=brackwater+%26">3 more in hoses</a>' in page
    listed = client.get("/reference/hoses/?q=brackwater+%26").content.decode()
    assert listed.count('<th scope="row"') == 11


def test_words_that_nothing_has_say_what_to_do(client: Client) -> None:
    page = client.get(SEARCH, {"q": "<b>"}).content.decode()
    assert "Nothing has all of these words." in page
    assert 'value="&lt;b&gt;"' in page
    assert "<b>" not in page


def test_a_size_by_any_name_leads_to_its_page(client: Client) -> None:
    assert '<a href="/reference/sizes/?size=-12">Size -12 (3/4 in, DN 19/20)</a>' in read(client, "DN 20")
    assert "/reference/sizes/?size" not in read(client, "16")  # two sizes: the sizes page asks which


def test_without_words_nothing_is_looked_up(client: Client) -> None:
    assert read(client, " ").count("<caption>") == 0


def test_a_fuller_catalogue_takes_no_more_queries(client: Client) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            read(client, "-8")
        return len(captured)

    for edition in range(2):
        rating = HoseRatingFactory(edition=f"edition {edition}")
        HoseFactory(standard=rating)
        FittingFactory(connection=ConnectionFactory(size=f"-8 no {edition}"))
    few = queries()
    for edition in range(2, 7):
        HoseFactory(standard=HoseRatingFactory(edition=f"edition {edition}"))
        FittingFactory(connection=ConnectionFactory(size=f"-8 no {edition}"))
    assert Connection.objects.count() > 7
    assert queries() == few
