"""What holds for all worksheets: nothing is written, the example works out, both ways answer the same."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.ledger.models import Entry
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.sheet import Worksheet
from tests.world import World

MOST_QUERIES = 10
READING = ("SELECT", "DECLARE")  # PostgreSQL reads long lists of choices through a cursor

every_worksheet = pytest.mark.parametrize("worksheet", WORKSHEETS, ids=lambda worksheet: worksheet.slug)


def _answer(html: str) -> str:
    """What stands between the heading of the answer and the end of it, without the time."""
    found = re.search(r'<section aria-labelledby="comes-to">.*?<ul>.*?</ul>', html, re.DOTALL)
    assert found is not None
    return found[0]


def test_the_reference_leads_to_every_worksheet(reader: Client) -> None:
    assert reverse("web:worksheets") in reader.get("/reference/").content.decode()
    index = reader.get("/reference/worksheets/").content.decode()
    assert all(reverse(worksheet.page) in index for worksheet in WORKSHEETS)


@every_worksheet
def test_an_empty_worksheet_says_how_to_begin(reader: Client, worksheet: Worksheet) -> None:
    page = reader.get(reverse(worksheet.page)).content.decode()
    assert "The answer will stand here." in page
    assert page.count('class="next"') == 1
    assert "errorlist" not in page


@every_worksheet
def test_its_example_works_out_with_workings_assumptions_and_cautions(
    reader: Client, worksheet: Worksheet
) -> None:
    page = reader.get(f"{reverse(worksheet.page)}?{worksheet.example_query}").content.decode()
    assert "errorlist" not in page
    assert all(part in page for part in ("How it is worked out", "Before you rely on it", "It assumes"))


@every_worksheet
def test_with_and_without_script_it_answers_the_same(reader: Client, worksheet: Worksheet) -> None:
    page = reader.get(f"{reverse(worksheet.page)}?{worksheet.example_query}").content.decode()
    fragment = reader.get(f"{reverse(worksheet.answer)}?{worksheet.example_query}").content.decode()
    assert _answer(page) == _answer(fragment)


@every_worksheet
def test_what_was_typed_stands_in_the_address(reader: Client, worksheet: Worksheet) -> None:
    answer = reader.get(f"{reverse(worksheet.answer)}?{worksheet.example_query}")
    assert answer.headers["HX-Replace-Url"] == f"{reverse(worksheet.page)}?{worksheet.example_query}"


@every_worksheet
def test_while_typing_an_empty_answer_is_no_mistake(reader: Client, worksheet: Worksheet) -> None:
    first = next(iter(worksheet.example.items()))
    fragment = reader.get(reverse(worksheet.answer), dict([first])).content.decode()
    assert "This field is required" not in fragment


@every_worksheet
def test_it_writes_nothing_and_asks_the_database_little(
    reader: Client, world: World, worksheet: Worksheet
) -> None:
    entries = Entry.objects.count()
    with CaptureQueriesContext(connection) as asked:
        reader.get(f"{reverse(worksheet.page)}?{worksheet.example_query}")
    assert len(asked) <= MOST_QUERIES
    assert not [query for query in asked if not query["sql"].startswith(READING)]
    assert Entry.objects.count() == entries


@every_worksheet
def test_the_paper_has_the_workshop_the_day_and_what_was_typed(
    reader: Client, world: World, worksheet: Worksheet
) -> None:
    page = reader.get(f"{reverse(worksheet.page)}?{worksheet.example_query}").content.decode()
    paper = page.partition('class="on-paper"')[2].partition("</div>\n  <section")[0]
    assert world.workshop.name in paper
    assert re.search(r"\d{4}-\d\d-\d\d \d\d:\d\d", paper)
    assert paper.count("<dt>") >= 2
