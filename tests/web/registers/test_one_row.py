"""Writing one row by its page, and looking at it: values, history, the confirmation of its rating."""

from decimal import Decimal

import pytest
from django.test import Client

from shop.catalogue.models import Hose
from shop.ledger.models import Entry
from tests.factories import HoseFactory, HoseRatingFactory
from tests.world import World

NEW = "/reference/hoses/new/"
ANSWERS = {
    "maker": "Quillmark",
    "designation": "Brook",
    "dash": "-8",
    "bore": "1/2 in",
    "outside_diameter": "23,5",
    "rating": "41,5 MPa",
    "source": "Brook data sheet 2",
    "bend_radius": "180",
    "temperature_min_c": "-40",
    "temperature_max_c": "100",
}
UNSEEN = "274.5"  # bar; for its point it is in no key, token or designation


@pytest.fixture(autouse=True)
def _signed_in(client: Client, world: World) -> None:
    client.force_login(world.owner)


def test_a_hose_is_written_as_people_write_it(client: Client) -> None:
    page = client.post(NEW, ANSWERS, follow=True).content.decode()
    hose = Hose.objects.get(designation="Brook")
    assert (hose.bore, hose.outside_diameter) == (Decimal("12.7"), Decimal("23.5"))
    assert str(hose.rating) == "41.5 MPa"
    assert "Quillmark Brook -8 is written." in page
    assert "41.5 MPa (415 bar, 6019 psi)" in page


def test_a_rating_without_its_unit_is_refused_and_what_was_typed_stays(client: Client) -> None:
    page = client.post(NEW, ANSWERS | {"rating": "415"}).content.decode()
    assert "Type the unit that the document prints beside it" in page
    assert 'value="415"' in page
    assert not Hose.objects.filter(designation="Brook").exists()


def test_a_hose_that_is_there_already_is_refused_with_its_sentence(client: Client, world: World) -> None:
    answers = ANSWERS | {"designation": world.hose.designation}
    assert "This hose is in the catalogue already." in client.post(NEW, answers).content.decode()


def test_a_slip_is_asked_about_and_taken_once_it_is_meant(client: Client) -> None:
    asked = client.post(NEW, ANSWERS | {"bore": "0.953"}).content.decode()
    assert "True bore 0.953 mm in size -8 (nominal 12.5 mm)" in asked
    assert not Hose.objects.filter(designation="Brook").exists()
    client.post(NEW, ANSWERS | {"bore": "0.953", "sure": "unusual_values"})
    assert Hose.objects.get(designation="Brook").bore == Decimal("0.953")


def test_the_bench_may_look_and_not_write(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = client.get(f"/reference/hoses/{world.hose.pk}/")
    assert page.status_code == 200
    assert "/change/" not in page.content.decode()
    assert client.post(NEW, ANSWERS).status_code == 403


def test_its_history_names_who_changed_what_from_what(client: Client, world: World) -> None:
    client.force_login(world.counter)
    answers = ANSWERS | {"designation": world.hose.designation, "fluids": world.fluid.pk, "bore": "12.7"}
    client.post(f"/reference/hoses/{world.hose.pk}/change/", answers)
    page = client.get(f"/reference/hoses/{world.hose.pk}/").content.decode()
    assert f"{world.counter.name} wrote a hose" in page
    assert "<s>23 mm</s> → 23.5 mm" in page
    assert f"{world.inspector.name} confirmed a hose&#x27;s rating against its document" in page


def test_a_change_that_changes_nothing_leaves_no_entry(client: Client, world: World) -> None:
    before = Entry.objects.count()
    rating = HoseRatingFactory()
    address = f"/reference/hose-ratings/{rating.pk}/change/"
    answers = {
        "standard": rating.standard,
        "edition": rating.edition,
        "dash": "8",
        "dn": "12",
        "rating": "27.5 MPa",
        "bend_radius": "180 mm",
        "temperature_min_c": "-40",
        "temperature_max_c": "100",
        "source": rating.source,
        "basis": "memory",
    }
    assert client.post(address, answers).status_code == 302
    assert Entry.objects.count() == before


def test_what_the_document_prints_is_typed_without_seeing_the_tables_figure(client: Client) -> None:
    hose = HoseFactory(printed_value=UNSEEN)
    assert UNSEEN in client.get(f"/reference/hoses/{hose.pk}/").content.decode()
    page = client.get(f"/reference/hoses/{hose.pk}/confirm/").content.decode()
    assert UNSEEN not in page


def test_another_figure_than_the_tables_is_refused_and_does_not_tell_it(client: Client) -> None:
    hose = HoseFactory(printed_value=UNSEEN)
    answers = {"document": "Torrent data sheet 4, 2025", "printed_value": "280 bar"}
    page = client.post(f"/reference/hoses/{hose.pk}/confirm/", answers).content.decode()
    assert "The document has 280 bar, the table has something else" in page
    assert UNSEEN not in page
    assert not Hose.objects.get(pk=hose.pk).is_confirmed


def test_the_same_pressure_in_another_unit_is_not_what_the_document_prints(client: Client) -> None:
    hose = HoseFactory()
    answers = {"document": "Torrent data sheet 4, 2025", "printed_value": "27.5 MPa"}
    client.post(f"/reference/hoses/{hose.pk}/confirm/", answers)
    assert not Hose.objects.get(pk=hose.pk).is_confirmed


def test_the_right_figure_confirms_it_by_name(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    hose = HoseFactory()
    answers = {"document": "Torrent data sheet 4, 2025", "printed_value": "275 bar"}
    page = client.post(f"/reference/hoses/{hose.pk}/confirm/", answers, follow=True).content.decode()
    assert f"{world.inspector.name} found 275 bar in Torrent data sheet 4, 2025" in page
    assert Hose.objects.get(pk=hose.pk).is_confirmed


def test_correcting_a_figure_makes_it_unconfirmed_again(client: Client, world: World) -> None:
    assert world.hose.is_confirmed
    answers = ANSWERS | {"designation": world.hose.designation, "fluids": world.fluid.pk, "rating": "270 bar"}
    client.post(f"/reference/hoses/{world.hose.pk}/change/", answers)
    page = client.get(f"/reference/hoses/{world.hose.pk}/").content.decode()
    assert "Nobody has found this figure in its document yet." in page


def test_who_may_not_confirm_is_told_who_may(client: Client, world: World) -> None:
    client.force_login(world.counter)
    hose = HoseFactory()
    page = client.get(f"/reference/hoses/{hose.pk}/").content.decode()
    assert "An inspector or an owner can confirm it." in page
    assert client.get(f"/reference/hoses/{hose.pk}/confirm/").status_code == 403
