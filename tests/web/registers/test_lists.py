"""Lists sort, search, narrow, page and export, at the same cost however long they are."""

import io
from collections.abc import Callable
from decimal import Decimal

import pytest
import tablib
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.catalogue.models import Fluid
from shop.people.models import User
from shop.standards.models import HoseRating
from tests.factories import (
    ArrangementFactory,
    DieSetFactory,
    FittingFactory,
    FittingSeriesFactory,
    FluidFactory,
    GaugeFactory,
    HoseFactory,
    HoseRatingFactory,
)
from tests.world import World

HOSES = "/reference/hoses/"


@pytest.fixture(autouse=True)
def _signed_in(client: Client, owner: User) -> None:
    client.force_login(owner)


def read(client: Client, address: str) -> str:
    page = client.get(address)
    assert page.status_code == 200
    return page.content.decode()


def test_an_empty_list_says_what_will_be_there_and_how_to_start(client: Client) -> None:
    page = read(client, HOSES)
    assert "The hoses that you stock, each by its maker and size." in page
    assert 'href="/reference/hoses/new/"' in page


def test_every_word_of_a_search_must_be_in_the_row(client: Client) -> None:
    HoseFactory(maker="Quillmark", designation="Torrent")
    HoseFactory(maker="Quillmark", designation="Brook")
    page = read(client, f"{HOSES}?q=quill+torr")
    assert "Torrent" in page
    assert "Brook" not in page


def test_a_list_is_narrowed_to_ratings_that_nobody_has_confirmed(client: Client, world: World) -> None:
    HoseFactory(designation="Unread")
    HoseFactory(designation="Unrated", printed_value="", printed_unit="")
    unconfirmed = read(client, f"{HOSES}?rating=unconfirmed")
    assert "Unread" in unconfirmed
    assert "Unrated" not in unconfirmed
    assert world.hose.designation not in unconfirmed
    assert world.hose.designation in read(client, f"{HOSES}?rating=confirmed")
    assert "Unrated" in read(client, f"{HOSES}?rating=none")


def test_ratings_sort_by_what_they_amount_to_not_by_their_figures(client: Client) -> None:
    HoseFactory(designation="Strong", printed_value="41.5", printed_unit="MPa")
    HoseFactory(designation="Weak", printed_value="275", printed_unit="bar")
    page = read(client, f"{HOSES}?sort=-rating")
    assert page.index("Strong") < page.index("Weak")


def test_a_long_list_has_pages(client: Client) -> None:
    HoseFactory.create_batch(26)
    assert "Page 1 of 2" in read(client, HOSES)
    assert read(client, f"{HOSES}?page=2").count('<th scope="row"') == 1


def test_lengths_are_shown_in_the_workshops_unit(client: Client, world: World) -> None:
    world.workshop.length_unit = "in"
    world.workshop.save()
    HoseFactory(outside_diameter=Decimal("25.4"))
    assert "1 in" in read(client, HOSES)


def test_the_export_is_narrowed_like_the_list_and_marked_as_utf8(client: Client) -> None:
    HoseFactory(designation="Torrent")
    HoseFactory(designation="Brook")
    export = client.get(f"{HOSES}export/?q=brook&format=csv")
    assert export.content.startswith(b"\xef\xbb\xbf")
    assert export.headers["Content-Disposition"] == 'attachment; filename="hoses.csv"'
    [row] = tablib.Dataset().load(export.content.decode("utf-8-sig"), "csv").dict
    assert (row["Designation"], row["Rating"], row["Least bend radius"]) == ("Brook", "275 bar", "180 mm")


def test_a_spreadsheet_never_takes_a_cell_for_a_formula(client: Client) -> None:
    HoseFactory(designation="=1+1")
    export = client.get(f"{HOSES}export/?format=xlsx")
    sheet = tablib.Dataset().load(io.BytesIO(export.content), "xlsx")
    assert sheet["Designation"] == ["1+1"]


def test_no_other_format_is_exported(client: Client) -> None:
    assert client.get(f"{HOSES}export/?format=pickle").status_code == 404


def _hose() -> None:
    HoseFactory(standard=HoseRatingFactory(edition=f"edition {HoseRating.objects.count()}"))


def _fitting() -> None:
    FittingFactory(series=FittingSeriesFactory())


@pytest.mark.parametrize(
    ("address", "make"),
    [
        (HOSES, _hose),
        ("/reference/hose-ratings/", _hose),
        ("/reference/connections/", _fitting),
        ("/reference/series/", _fitting),
        ("/reference/fittings/", _fitting),
        (
            "/reference/fluids/",
            lambda: FluidFactory(name=f"fluid {Fluid.objects.count()}"),
        ),
        ("/tools/die-sets/", DieSetFactory),
        ("/tools/gauges/", GaugeFactory),
        ("/tools/arrangements/", ArrangementFactory),
        ("/reference/hoses/export/", _hose),
        ("/reference/fittings/export/", _fitting),
        ("/tools/arrangements/export/", ArrangementFactory),
        ("/reference/", _hose),
        ("/tools/", GaugeFactory),
    ],
)
def test_fifty_rows_cost_no_more_queries_than_five(
    client: Client, world: World, address: str, make: Callable[[], object]
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            read(client, address)
        return len(captured)

    for _ in range(5):
        make()
    few = queries()
    for _ in range(45):
        make()
    # Fewer, if what has confirmations to look up is no longer on the first page.
    assert queries() <= few
