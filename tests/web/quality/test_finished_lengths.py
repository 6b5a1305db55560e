"""The page that says how long hose comes out, and the cut corrected by it."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.lengths import adopt_cut_correction
from shop.catalogue.models import CutCorrection
from tests.assemblies.bench import finished
from tests.world import World

LIST = "/quality/lengths/"


def page_of(world: World) -> str:
    return f"{LIST}{world.hose.pk}/{world.series.pk}/"


def text_of(client: Client, url: str) -> str:
    page = client.get(url)
    assert page.status_code == 200
    return page.content.decode()


@pytest.fixture
def browser(client: Client, world: World) -> Client:
    client.force_login(world.inspector)
    return client


def test_quality_leads_to_it_and_an_empty_list_says_how_it_fills(browser: Client) -> None:
    assert LIST in text_of(browser, "/quality/")
    assert "No finished length yet." in text_of(browser, LIST)


def test_the_list_has_each_hose_with_what_its_pieces_say(browser: Client, world: World) -> None:
    finished(world)
    text = text_of(browser, LIST)
    assert page_of(world) in text
    assert "+3.2 mm" in text
    assert "proven" in text


def test_the_list_is_exported(browser: Client, world: World) -> None:
    finished(world)
    rows = browser.get(f"{LIST}?_export=csv").content.decode("utf-8-sig").splitlines()
    assert rows[0].startswith("Hose,Longer than wanted,That is,Corrected by,Pieces,Series at both ends")
    assert str(world.hose) in rows[1]


def test_a_page_shows_each_piece_drawn_and_in_figures(browser: Client, world: World) -> None:
    finished(world)
    text = text_of(browser, page_of(world))
    assert text.count("fb-piece") == 5
    assert "5 pieces came out 3.2 mm longer than wanted, more than chance explains." in text
    assert "934 mm" in text
    assert text.count('class="next"') == 1
    assert "A large correction points to a wrong cut-off" in text


def test_the_cut_is_corrected_and_the_correction_ended(browser: Client, world: World) -> None:
    finished(world)
    answer = browser.post(f"{page_of(world)}adopt/", follow=True)
    text = answer.content.decode()
    assert "is cut 3.2 mm shorter. Measure the next ones too." in text
    assert "Correct the cut by it" not in text
    assert f"adopted by {world.inspector.name}" in text
    assert CutCorrection.objects.get().applies
    text = browser.post(f"{page_of(world)}end/", follow=True).content.decode()
    assert "is cut by the chart as it is." in text
    assert [row.applies for row in CutCorrection.objects.order_by("entry")] == [True, False]


def test_what_is_not_proven_has_no_button_and_is_refused_all_the_same(browser: Client, world: World) -> None:
    finished(world, ("931", "929", "932", "928", "930"))
    text = text_of(browser, page_of(world))
    assert "Not proven." in text
    assert "Correct the cut by it" not in text
    refused = browser.post(f"{page_of(world)}adopt/").content.decode()
    assert "Cut by the chart as it is, and go on measuring." in refused
    assert not CutCorrection.objects.exists()


def test_who_may_not_decide_sees_it_without_a_button(client: Client, world: World) -> None:
    finished(world)
    client.force_login(world.bench)
    assert "Correct the cut by it" not in text_of(client, page_of(world))
    assert client.post(f"{page_of(world)}adopt/").status_code == 403


def test_a_correction_that_newer_pieces_gainsay_is_said_to_be_so(browser: Client, world: World) -> None:
    finished(world)
    adopt_cut_correction(actor=world.inspector, hose=world.hose, series=world.series)
    assert "Look again." not in text_of(browser, page_of(world))
    finished(world, ["924"] * 8)  # cut 3.2 mm shorter now, and 2.8 mm short of that
    assert "the newest pieces say" in text_of(browser, page_of(world))


def test_a_slip_is_named(browser: Client, world: World) -> None:
    finished(world, ("933", "36.7"))
    text = text_of(browser, page_of(world))
    assert "Left out, more than a tenth away" in text
    assert "Too few to tell." in text


def test_the_pages_ask_as_often_for_few_as_for_many(browser: Client, world: World) -> None:
    finished(world, ("933",))
    counts = []
    for _ in range(2):
        for url in (LIST, page_of(world)):
            with CaptureQueriesContext(connection) as asked:
                text_of(browser, url)
            counts.append(len(asked))
        finished(world)
    assert counts[:2] == counts[2:]
