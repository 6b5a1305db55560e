"""A size has several names, and some hose of a dash number has a smaller bore than the rest."""

import re
from decimal import Decimal
from fractions import Fraction
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.standards.figures import confirmations
from shop.standards.loading import load_standards
from shop.web.reference.sizes import size_rows, tube_rows
from tests.factories import HoseFactory
from tests.world import World

SIZES = "/reference/sizes/"
FROM_MEMORY = re.compile(r"</svg>\s*from memory")  # the sign and its word


@pytest.fixture(autouse=True)
def _signed_in(client: Client, world: World) -> None:
    client.force_login(world.bench)


def read(client: Client, **asked: str) -> str:
    page = client.get(SIZES, asked)
    assert page.status_code == 200
    return unescape(page.content.decode())


@pytest.mark.parametrize(
    ("dash", "counted"),
    [  # source: MIL-DTL-83796B Table I prints the inches; 25.4 mm to the inch, worked by hand
        (3, "4.7625"),
        (5, "7.9375"),
        (8, "12.7"),
        (20, "31.75"),
        (32, "50.8"),
    ],
)
def test_a_dash_number_counts_sixteenths_of_an_inch(world: World, dash: int, counted: str) -> None:
    assert next(row.counted_mm for row in size_rows(confirmations()) if row.size.dash == dash) == Decimal(
        counted
    )


@pytest.mark.parametrize("said", ["-12", "DN 20", "DN 19", "3/4 in", "19 mm"])
def test_a_size_is_found_by_whatever_name_it_was_said(client: Client, said: str) -> None:
    page = read(client, size=said)
    assert '<h2 id="found">Size -12</h2>' in page
    assert '<span class="number">19/20</span>' in page


def test_a_number_that_is_two_sizes_is_asked_about_and_stays_typed(client: Client) -> None:
    page = read(client, size="16")
    assert "“16” can be -16, which is 1 in or DN 16, which is 5/8 in." in page
    assert 'value="16"' in page
    assert 'id="found"' not in page


def test_hose_that_is_sized_by_its_tube_has_a_smaller_bore(client: Client) -> None:
    # Source: FAA AC 43.13-1B Table 9-3 prints 13/32 in bore for 1/2 in tube, which is -8.
    row = next(
        row for row in tube_rows(confirmations()) if (row.row.standard, row.row.dash) == ("SAE 100R5", 8)
    )
    assert row.bore.printed == "13/32 in"
    assert Fraction(row.bore.mm) == Fraction(13, 32) * Fraction("25.4")
    page = read(client, size="-8")
    assert "the bore of -8 is smaller" in page
    assert "13/32 in (10.31875 mm)" in page


def test_every_hose_sized_by_its_tube_is_smaller_than_others_of_its_dash(world: World) -> None:
    assert tube_rows(confirmations())
    assert all(row.bore.mm < row.usual.nominal_bore_mm for row in tube_rows(confirmations()))


def test_a_row_from_memory_says_so(client: Client) -> None:
    assert len(FROM_MEMORY.findall(read(client))) == len(size_rows(confirmations())) + len(
        tube_rows(confirmations())
    )


def test_a_size_leads_to_the_hoses_of_the_catalogue_at_the_same_cost(client: Client) -> None:
    with CaptureQueriesContext(connection) as few:
        assert '<a href="/reference/hoses/?dash=8">1 hose</a>' in read(client)
    HoseFactory.create_batch(4, dash=12)
    with CaptureQueriesContext(connection) as more:
        assert '<a href="/reference/hoses/?dash=12">4 hoses</a>' in read(client)
    assert len(more) == len(few)


def test_hose_that_is_sized_by_its_tube_leads_to_its_published_rating(client: Client, world: World) -> None:
    load_standards(actor=world.owner)
    link = "/reference/hose-ratings/?q=SAE%20100R5%20-8"
    assert f'href="{link}"' in read(client)
    assert client.get(link).content.decode().count('<th scope="row"') == 1
