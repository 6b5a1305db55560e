"""Reels and bins come in, are found again, counted, and lead to what they went into."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.documents.refusals import PdfNotInstalled
from shop.policy.services import today
from shop.stock.models import Lot, MovementKind, Piece
from shop.stock.services import move_piece, receive_hose, receive_lot
from tests.world import World

Page = Callable[[str], str]


@pytest.fixture
def page(client: Client, world: World) -> Page:
    """The text of a page as the bench sees it."""
    client.force_login(world.bench)

    def text(url: str) -> str:
        answer = client.get(url)
        assert answer.status_code == 200
        return answer.content.decode()

    return text


def hose_as_sent(world: World, **changes: str) -> dict[str, str]:
    values = {
        "hose": str(world.hose.pk),
        "batch": "T-900",
        "made_printed": f"1Q{today().year}",
        "supplier": "Harbour Supply",
        "lengths": "50 m\n12,5 m\n",
        "place": "rack 2",
    }
    return values | changes


def test_reels_are_received_as_people_write_their_lengths(client: Client, world: World) -> None:
    client.force_login(world.counter)
    answer = client.post("/stores/receive/hose/", hose_as_sent(world), follow=True)
    assert "Print its labels and stick them on." in answer.content.decode()
    lot = Lot.objects.get(batch="T-900")
    assert [(p.length_left, p.place) for p in lot.pieces.order_by("pk")] == [
        (Decimal(50_000), "rack 2"),
        (Decimal(12_500), "rack 2"),
    ]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"lengths": "50 m\ntwelve"}, "“twelve” is not a length that can be read"),
        ({"lengths": ""}, "This field is required"),
        ({"hose": ""}, "This field is required"),
        ({"made_printed": "9Q26"}, "There is no quarter 9"),
        ({"made_printed": "1Q2079"}, "has not come yet"),
    ],
)
def test_a_receipt_that_cannot_be_keeps_what_was_typed(
    client: Client, world: World, changes: dict[str, str], sentence: str
) -> None:
    client.force_login(world.bench)
    text = client.post("/stores/receive/hose/", hose_as_sent(world, **changes)).content.decode()
    assert sentence in text
    assert 'value="T-900"' in text
    assert not Lot.objects.filter(batch="T-900").exists()


def test_undated_hose_is_asked_about_once(client: Client, world: World) -> None:
    client.force_login(world.bench)
    sent = hose_as_sent(world, made_printed="")
    text = client.post("/stores/receive/hose/", sent).content.decode()
    assert "This hose has no date of manufacture" in text
    assert 'name="sure" value="undated_hose"' in text
    client.post("/stores/receive/hose/", sent | {"sure": "undated_hose"})
    lot = Lot.objects.get(batch="T-900")
    assert "undated: may not be cut" in client.get(f"/stores/lots/{lot.pk}/").content.decode()


def test_fittings_are_received_by_number_and_one_thing_at_a_time(client: Client, world: World) -> None:
    client.force_login(world.bench)
    sent = {
        "fitting": str(world.fitting.pk),
        "ferrule": str(world.ferrule.pk),
        "batch": "F-9",
        "quantity": "50",
    }
    text = client.post("/stores/receive/parts/", sent).content.decode()
    assert "Two things are two lots." in text
    client.post("/stores/receive/parts/", sent | {"ferrule": ""})
    lot = Lot.objects.get(batch="F-9")
    assert (lot.item, lot.quantity) == (world.fitting, 50)


def test_reels_come_from_a_csv_after_a_dry_run(client: Client, world: World) -> None:
    client.force_login(world.bench)
    text = (
        "Hose;Maker's batch;Made (as printed);Supplier;Lengths;Place\n"
        f'{world.hose};T-901;1Q{today().year};Harbour Supply;"50 m; 25,5 m";rack 3\n'
        f"{world.hose};T-902;;Harbour Supply;30 m;rack 3\n"
    )
    url = "/stores/receive/hose/csv/"
    dry = client.post(url, {"text": text}).content.decode()
    assert "2 new. Nothing has been taken in yet." in dry
    assert "Line 3: This hose has no date of manufacture" in dry
    client.post(url, {"text": text, "take": "yes"})
    assert not Lot.objects.filter(batch="T-901").exists()
    client.post(url, {"text": text, "take": "yes", "sure": "3:undated_hose"})
    assert [p.length_left for p in Lot.objects.get(batch="T-901").pieces.order_by("pk")] == [50_000, 25_500]


def test_a_bad_cell_of_a_receipt_is_named_and_nothing_is_taken(client: Client, world: World) -> None:
    client.force_login(world.bench)
    text = f"Fitting,Ferrule,Maker's batch,Pieces,Quantity\n,{world.ferrule},H-5,,20\n"
    answer = client.post("/stores/receive/parts/csv/", {"text": text}).content.decode()
    assert "This list has no such column" in answer
    text = f"Fitting,Ferrule,Maker's batch,Quantity\n,{world.ferrule},H-5,twenty\n"
    answer = client.post("/stores/receive/parts/csv/", {"text": text}).content.decode()
    assert "Enter a whole number" in answer
    assert not Lot.objects.filter(batch="H-5").exists()


def test_a_piece_shows_what_is_left_and_every_movement(page: Page, world: World) -> None:
    move_piece(actor=world.bench, piece=world.reel, kind=MovementKind.CUT, change_mm=Decimal(-880))
    text = page(f"/stores/pieces/{world.reel.pk}/")
    assert "49120 mm" in text
    assert "−880 mm" in text
    assert "+50000 mm" in text
    assert world.bench.name in text


def test_a_count_is_recorded_with_its_difference(client: Client, world: World) -> None:
    client.force_login(world.bench)
    answer = client.post(f"/stores/pieces/{world.reel.pk}/count/", {"measured": "49,25 m"}, follow=True)
    assert "has 49250 mm left (−750 mm)" in answer.content.decode()
    assert Piece.objects.get().length_left == Decimal(49_250)


def test_a_count_far_from_the_book_is_asked_about(client: Client, world: World) -> None:
    client.force_login(world.bench)
    url = f"/stores/pieces/{world.reel.pk}/count/"
    text = client.post(url, {"measured": "49.25"}).content.decode()
    assert "49.25 mm is far from the 50000 mm" in text
    assert 'value="49.25"' in text
    assert Piece.objects.get().length_left == Decimal(50_000)
    client.post(url, {"measured": "0", "sure": "count_far_off"})
    assert Piece.objects.get().length_left == 0


@pytest.mark.parametrize("measured", ["-5", "a bit", ""])
def test_a_count_is_a_length_or_nought(client: Client, world: World, measured: str) -> None:
    client.force_login(world.bench)
    answer = client.post(f"/stores/pieces/{world.reel.pk}/count/", {"measured": measured})
    assert answer.status_code == 200
    assert world.reel.movements.count() == 1


def test_a_piece_with_nothing_left_is_listed_only_when_asked_for(page: Page, world: World) -> None:
    code = world.reel.printed_code
    assert code in page("/stores/pieces/")
    move_piece(actor=world.bench, piece=world.reel, kind=MovementKind.CUT, change_mm=Decimal(-50_000))
    assert code not in page("/stores/pieces/")
    assert code in page("/stores/pieces/?left=none")


def test_where_a_piece_is_kept_can_be_found(client: Client, page: Page, world: World) -> None:
    client.post(f"/stores/pieces/{world.reel.pk}/place/", {"place": "rack 7"})
    assert world.reel.printed_code in page("/stores/pieces/?q=rack+7")


def test_a_lot_says_until_when_it_may_be_fitted(page: Page, world: World) -> None:
    text = page(f"/stores/lots/{world.reel.lot_id}/")
    assert f"fit it by {today().year + 4}-03-31" in text
    assert "No assembly yet." in text


def test_old_hose_is_shown_on_the_first_page(page: Page, world: World) -> None:
    old = Lot(hose=world.hose, batch="T-1", made_printed="1Q2015")
    [reel] = receive_hose(actor=world.bench, lot=old, lengths_mm=[Decimal(3000)])
    text = page("/stores/")
    assert "Not to be cut by the policy in force" in text
    assert f"/stores/pieces/{reel.pk}/" in text
    assert "over age: the last day was 2019-03-31" in page("/stores/lots/?of=hose")


def test_lots_can_be_narrowed_and_exported(client: Client, page: Page, world: World) -> None:
    text = page("/stores/lots/?of=ferrule")
    assert world.ferrule_lot.printed_code in text
    assert world.fitting_lot.printed_code not in text
    exported = client.get("/stores/lots/?of=ferrule&_export=csv").content.decode()
    assert exported.splitlines()[0].startswith("\ufeffLot,Stands,Of,")
    assert world.ferrule_lot.printed_code in exported
    assert "no limit of age" in exported
    assert client.get("/stores/pieces/?_export=xlsx").content[:2] == b"PK"


def test_labels_come_for_each_reel_or_for_the_bin(client: Client, world: World) -> None:
    client.force_login(world.bench)
    for url in (
        f"/stores/lots/{world.reel.lot_id}/labels/",
        f"/stores/lots/{world.ferrule_lot.pk}/labels/",
        f"/stores/pieces/{world.reel.pk}/label/",
    ):
        answer = client.get(url)
        assert answer.headers["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")


def test_without_what_pdf_needs_the_page_says_what_to_install(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(labels: object) -> bytes:
        raise PdfNotInstalled(missing="libpango is not there")

    monkeypatch.setattr("shop.web.stores.labels.label_sheet", fail)
    client.force_login(world.bench)
    answer = client.get(f"/stores/lots/{world.ferrule_lot.pk}/labels/")
    assert answer.status_code == 503
    assert "apt-get install" in answer.content.decode()


@pytest.mark.parametrize(
    "url", ["receive/hose/", "receive/parts/", "receive/hose/csv/", "receive/parts/csv/"]
)
def test_an_inspector_receives_nothing(client: Client, world: World, url: str) -> None:
    client.force_login(world.inspector)
    assert client.get(f"/stores/{url}").status_code == 403
    assert "Receive hose" not in client.get("/stores/").content.decode()


def test_lists_ask_the_database_a_constant_number_of_times(
    client: Client, world: World, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    client.force_login(world.bench)

    def asked(url: str) -> int:
        with django_assert_max_num_queries(40) as queries:
            client.get(url)
        return len(queries)

    urls = ["/stores/", "/stores/lots/", "/stores/pieces/", f"/stores/pieces/{world.reel.pk}/"]
    few = [asked(url) for url in urls]
    for n in range(20):
        receive_hose(
            actor=world.bench,
            lot=Lot(hose=world.hose, batch=f"T-{n}", made_printed="1Q2015"),
            lengths_mm=[Decimal(3000)],
        )
        receive_lot(actor=world.bench, lot=Lot(fitting=world.elbow, quantity=n + 1))
        move_piece(actor=world.bench, piece=world.reel, kind=MovementKind.CUT, change_mm=Decimal(-10))
    assert [asked(url) for url in urls] == few
