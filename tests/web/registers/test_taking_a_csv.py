"""A CSV is looked at first; nothing is taken until no cell is wrong and every doubt is ticked."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from shop.catalogue.models import Fitting, Hose
from shop.catalogue.services import confirm_hose
from shop.ledger.models import Entry
from shop.people.models import User
from tests.factories import ConnectionFactory, FittingSeriesFactory, FluidFactory

CSV = "/reference/hoses/csv/"
HEADERS = (
    "Maker;Designation;Size;True bore;Outside diameter;Rating;Least bend radius;From °C;To °C;Approved for"
)
GOOD = "Quillmark;Brook;-8;12,7;23,0 mm;275 bar;180;−40;100;mineral oil"


@pytest.fixture(autouse=True)
def _signed_in(client: Client, owner: User) -> None:
    client.force_login(owner)
    FluidFactory()


def look(client: Client, *lines: str, headers: str = HEADERS, address: str = CSV) -> str:
    return client.post(address, {"text": "\n".join([headers, *lines])}).content.decode()


def take(client: Client, *lines: str, sure: tuple[str, ...] = (), headers: str = HEADERS) -> str:
    data = {"text": "\n".join([headers, *lines]), "sure": sure, "take": "yes"}
    return client.post(CSV, data, follow=True).content.decode()


def cells(page: str) -> list[str]:
    """The rows of the first table of the page, each as its texts joined by |."""
    body = page.partition("<tbody>")[2].partition("</tbody>")[0]
    rows = []
    for row in body.split("<tr>")[1:]:
        parts = [cell.partition(">")[2].partition("</t")[0].strip() for cell in row.split("<t")[1:]]
        rows.append("|".join(parts))
    return rows


def test_a_dry_run_says_what_would_happen_and_writes_nothing(client: Client) -> None:
    page = look(client, GOOD)
    assert "1 new. Nothing has been taken in yet." in page
    assert not Hose.objects.exists()
    assert not Entry.objects.exists()


def test_what_is_taken_in_is_written_as_people_meant_it(client: Client, owner: User) -> None:
    page = take(client, GOOD)
    assert "Taken in: 1 new." in page
    hose = Hose.objects.get()
    assert (hose.dash, hose.bore, hose.outside_diameter) == (8, Decimal("12.7"), Decimal(23))
    assert (hose.printed_value, hose.printed_unit, hose.temperature_min_c) == ("275", "bar", -40)
    assert [fluid.name for fluid in hose.fluids.all()] == ["mineral oil"]
    assert Entry.objects.get().actor_number == owner.number


def test_each_bad_cell_is_named_by_line_column_and_reason(client: Client) -> None:
    page = look(client, GOOD, "Quillmark;Rill;x;12,7;23 furlong;275;180;-40;100;minerl oil")
    assert cells(page) == [
        "3|Approved for|“minerl oil” is not in the list. Nearest: “mineral oil”.",
        "3|Size|Enter a whole number.",
        "3|Outside diameter|“furlong” in “23 furlong” is not a unit of length. Type mm, cm, m, in or ft.",
        "3|Rating|Type the unit that the document prints beside it: bar, psi, MPa or kPa.",
    ]
    assert "Quillmark;Rill;x" in page  # what was pasted stays


def test_one_bad_cell_keeps_every_line_out(client: Client) -> None:
    page = take(client, GOOD, GOOD.replace("Brook", "Rill").replace("180", "bent"))
    assert "Nothing was taken in" in page
    assert not Hose.objects.exists()


def test_what_a_rule_of_the_table_forbids_is_named_at_its_line(client: Client) -> None:
    page = look(client, GOOD.replace("−40;100", "100;-40"))
    assert cells(page) == [
        "2|the whole line|The highest temperature is above the lowest. Check both figures."
    ]


def test_a_row_that_is_there_changes_only_with_its_tick(client: Client) -> None:
    take(client, GOOD)
    changed = GOOD.replace("23,0 mm", "24")
    asked = take(client, changed)
    assert "Line 2: Quillmark Brook -8 is there already and would be changed." in asked
    assert "<s>23 mm</s> → 24 mm" in asked
    assert Hose.objects.get().outside_diameter == Decimal(23)
    take(client, changed, sure=("2:changes",))
    assert Hose.objects.get().outside_diameter == Decimal(24)


def test_a_tick_is_for_its_line_only(client: Client) -> None:
    take(client, GOOD, GOOD.replace("Brook", "Rill"))
    both = [GOOD.replace("23,0", "24"), GOOD.replace("Brook", "Rill").replace("23,0", "24")]
    page = take(client, *both, sure=("2:changes",))
    assert 'value="3:changes"' in page
    assert set(Hose.objects.values_list("outside_diameter", flat=True)) == {Decimal(23)}


def test_the_same_file_again_changes_nothing(client: Client) -> None:
    take(client, GOOD)
    entries = Entry.objects.count()
    assert "Taken in: 1 unchanged." in take(client, GOOD)
    assert Entry.objects.count() == entries


@pytest.mark.parametrize(
    ("good", "odd", "says"),
    [
        ("12,7", "0.953", "True bore 0.953 mm in size -8 (nominal 12.5 mm)"),
        ("275 bar", "2750 bar", "Rating 2750 bar (mostly 2 to 700 bar)"),
        (";180;", ";18 m;", "Least bend radius 18000 mm (mostly 10 mm to 3000 mm)"),
    ],
)
def test_an_implausible_value_is_asked_about_before_it_is_taken(
    client: Client, good: str, odd: str, says: str
) -> None:
    line = GOOD.replace(good, odd)
    assert says in take(client, line)
    assert not Hose.objects.exists()
    assert "Taken in: 1 new." in take(client, line, sure=("2:unusual_values",))


def test_two_lines_about_the_same_hose_are_refused(client: Client) -> None:
    page = look(client, GOOD, GOOD.replace("23,0", "24"))
    assert "3|the whole line|Line 2 is about the same. Leave one of the two out." in cells(page)


def test_a_column_left_out_leaves_what_is_there(client: Client) -> None:
    take(client, GOOD)
    headers = "Maker,Designation,Size,Outside diameter"
    page = take(client, "Quillmark,Brook,8,0.95 in", headers=headers, sure=("2:changes",))
    assert "Taken in: 1 changed." in page
    hose = Hose.objects.get()
    assert (hose.outside_diameter, hose.printed_value) == (Decimal("24.13"), "275")


def test_a_needed_column_that_is_missing_is_named_once(client: Client) -> None:
    page = look(client, "Quillmark;8", headers="Maker;Size")
    assert "1|Designation|This column is needed: it says which entry a line is about." in cells(page)


def test_an_unknown_header_is_named_with_the_nearest(client: Client) -> None:
    page = look(client, GOOD, headers=HEADERS.replace("True bore", "Tru bore"))
    assert cells(page) == ["1|Tru bore|This list has no such column. Is “True bore” meant?"]


def test_headers_may_be_the_names_of_the_fields(client: Client) -> None:
    headers = (
        "maker,designation,dash,bore,outside_diameter,rating,bend_radius,temperature_min_c,temperature_max_c"
    )
    page = take(client, "Quillmark,Brook,8,12.7,23,275 bar,180,-40,100", headers=headers)
    assert "Taken in: 1 new." in page


def test_decimal_commas_in_a_comma_separated_file_are_noticed(client: Client) -> None:
    page = look(client, "Quillmark,Brook,8,12,7", headers="Maker,Designation,Size,True bore")
    assert "The line has 5 cells and there are 4 headers." in page


def test_a_file_from_a_spreadsheet_with_its_mark_is_read(client: Client) -> None:
    content = f"\ufeff{HEADERS};\r\n{GOOD};\r\n".encode()
    page = client.post(CSV, {"file": SimpleUploadedFile("hoses.csv", content)}).content.decode()
    assert "1 new. Nothing has been taken in yet." in page


def test_a_file_that_is_not_utf8_is_refused_with_what_to_do(client: Client) -> None:
    content = f"{HEADERS}\nGießler;Brook".encode("latin-1")
    page = client.post(CSV, {"file": SimpleUploadedFile("hoses.csv", content)}).content.decode()
    assert "Save it again as “CSV UTF-8” and take that one." in page


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "There is no text yet."),
        (HEADERS, "There is nothing below the headers."),
        (f'{HEADERS}\n"Quillmark;Brook', "The text is no table"),
        (HEADERS + "\na;b" * 1001, "There are 1001 lines."),
    ],
)
def test_what_is_no_table_is_refused_with_a_sentence(client: Client, text: str, says: str) -> None:
    assert says in client.post(CSV, {"text": text}).content.decode()


def test_a_foreign_key_is_written_by_its_name(client: Client) -> None:
    FittingSeriesFactory(maker="Ostrava Ends", name="Row 7")
    ConnectionFactory(system="37° flare (ISO 8434-2)", size="-8")
    headers = "series,designation,hose_dash,connection,cut_off,insertion_depth,datum,rating"
    line = "ostrava  ends row 7,straight,8,37° flare (ISO 8434-2) -8,25,30,the sealing seat,350 bar"
    data = {"text": f"{headers}\n{line}", "take": "yes"}
    page = client.post("/reference/fittings/csv/", data, follow=True).content.decode()
    assert "Taken in: 1 new." in page
    assert str(Fitting.objects.get()) == "Ostrava Ends Row 7 straight"


def test_a_confirmed_rating_that_a_csv_changes_is_unconfirmed_again(client: Client, inspector: User) -> None:
    take(client, GOOD)
    hose = Hose.objects.get()
    assert hose.rating is not None
    confirm_hose(actor=inspector, hose=hose, document="sheet 4", figure=hose.rating)
    take(client, GOOD.replace("275 bar", "27.5 MPa"), sure=("2:changes",))
    assert not Hose.objects.get().is_confirmed


def test_the_bench_may_not_take_hoses_in(client: Client, bench: User) -> None:
    client.force_login(bench)
    assert client.post(CSV, {"text": f"{HEADERS}\n{GOOD}", "take": "yes"}).status_code == 403
    assert not Hose.objects.exists()
