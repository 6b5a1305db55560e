"""The tables that come with the program: loaded once, renewed, and never over what a person wrote."""

from decimal import Decimal
from pathlib import Path

import pytest

from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.models import Entry
from shop.people.refusals import NotAllowed
from shop.standards import loading
from shop.standards.loading import load_standards, tube_sized_bores, usual_bore
from shop.standards.models import Connection, HoseRating
from shop.standards.services import confirm_hose_rating, save_hose_rating
from tests.world import World


@pytest.fixture
def copied_tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tables in a folder of their own, so that a test may change them."""
    for name in ("hose_ratings.csv", "connections.csv"):
        (tmp_path / name).write_bytes((loading.standards_folder() / name).read_bytes())
    monkeypatch.setattr(loading, "standards_folder", lambda: tmp_path)
    return tmp_path


def test_every_row_has_its_source_and_none_is_confirmed(world: World) -> None:
    loaded = load_standards(actor=world.owner)
    assert (
        loaded.added
        == HoseRating.objects.count()
        + Connection.objects.exclude(source="the fitting maker's letter").count()
    )
    assert not HoseRating.objects.filter(source="").exists()
    assert not any(row.is_confirmed for row in HoseRating.objects.all())


@pytest.mark.parametrize(
    ("standard", "edition", "dash", "printed"),
    [
        # From memory, as the table says of each: EN prints MPa, SAE prints psi.
        ("EN 853 2SN", "2015", 8, "27.5 MPa"),
        ("SAE 100R2AT", "older table, to 2005", 8, "3500 psi"),
        ("SAE 100R2AT", "type S, from 2006", 8, "4000 psi"),
        ("SAE 100R5", "size counts the tube", 8, "2000 psi"),
    ],
)
def test_a_rating_stands_in_the_unit_that_its_document_prints(
    world: World, standard: str, edition: str, dash: int, printed: str
) -> None:
    load_standards(actor=world.owner)
    assert str(HoseRating.objects.get(standard=standard, edition=edition, dash=dash).rating) == printed


def test_aircraft_hose_is_not_in_the_table(world: World) -> None:
    load_standards(actor=world.owner)
    assert not HoseRating.objects.filter(standard__startswith="MIL").exists()


def test_a_connection_without_a_published_rating_has_none(world: World) -> None:
    load_standards(actor=world.owner)
    assert Connection.objects.get(system__startswith="NPTF", size="-8").rating is None


def test_loading_is_noted_with_the_files_hashes_and_the_counts(world: World) -> None:
    load_standards(actor=world.owner)
    entry = Entry.objects.get(verb="standards.loaded")
    assert entry.actor_number == world.owner.number
    assert entry.told["added"] == 305
    assert all(len(digest) == 64 for digest in entry.told["files"].values())


def test_loading_again_changes_and_notes_nothing(world: World) -> None:
    load_standards(actor=world.owner)
    entries = Entry.objects.count()
    assert not load_standards(actor=world.owner).changed_something
    assert Entry.objects.count() == entries


def test_what_a_person_corrected_stays(world: World) -> None:
    load_standards(actor=world.owner)
    rating = HoseRating.objects.get(standard="EN 853 2SN", dash=8)
    rating.printed_value = "28"
    save_hose_rating(actor=world.counter, rating=rating)
    assert load_standards(actor=world.owner).kept == 1
    rating.refresh_from_db()
    assert rating.printed_value == "28"


def test_a_new_edition_of_the_file_renews_what_nobody_touched(world: World, copied_tables: Path) -> None:
    load_standards(actor=world.owner)
    confirmed = HoseRating.objects.get(standard="EN 853 1SN", dash=8)
    figure = Pressure(confirmed.rating.value, PressureUnit.MPA)  # type: ignore[union-attr]  # it has one
    confirm_hose_rating(actor=world.inspector, rating=confirmed, document="EN 853:2015", figure=figure)
    table = copied_tables / "hose_ratings.csv"
    text = table.read_text().replace("EN 853 2SN,2015,8,12,27.5", "EN 853 2SN,2015,8,12,27")
    table.write_text(text.replace("EN 853 1SN,2015,8,12,16,", "EN 853 1SN,2015,8,12,15,"))
    loaded = load_standards(actor=world.owner)
    assert (loaded.renewed, loaded.kept) == (1, 1)
    assert HoseRating.objects.get(standard="EN 853 2SN", dash=8).printed_value == "27"
    assert HoseRating.objects.get(standard="EN 853 1SN", dash=8).is_confirmed


def test_the_bench_may_not_load_them(world: World) -> None:
    with pytest.raises(NotAllowed):
        load_standards(actor=world.bench)


@pytest.mark.parametrize(
    ("standard", "dash", "bore_mm", "sized_by_tube"),
    [
        # sizes.csv: the nominal bores; tube_sized_bores.csv: 13/32 in and 7/8 in, from memory.
        ("EN 853 2SN", 4, "6.3", False),
        ("EN 853 2SN", 16, "25", False),
        ("", 8, "12.5", False),
        ("SAE 100R5", 8, "10.31875", True),
        ("SAE 100R14", 16, "22.225", True),
    ],
)
def test_a_size_counts_the_bore_or_the_tube(
    standard: str, dash: int, bore_mm: str, sized_by_tube: bool
) -> None:
    bore = usual_bore(standard, dash)
    assert bore is not None
    assert (bore.mm, bore.sized_by_tube) == (Decimal(bore_mm), sized_by_tube)


def test_a_size_that_no_table_has_has_no_usual_bore() -> None:
    assert usual_bore("SAE 100R5", 7) is None
    assert usual_bore("", 99) is None


def test_hose_that_is_sized_by_its_tube_carries_the_dn_of_its_bore(world: World) -> None:
    load_standards(actor=world.owner)
    standards = {row.standard for row in tube_sized_bores()}
    rows = HoseRating.objects.filter(standard__in=standards)
    assert rows.count() == 17
    for row in rows:
        bore = usual_bore(row.standard, row.dash)
        assert bore is not None, row
        assert abs(Decimal(row.dn) - bore.mm) < 1, row
