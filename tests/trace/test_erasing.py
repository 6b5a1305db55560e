"""Erasing what is known of a person or of a customer: gone is what is theirs, whole is the chain."""

import json
from pathlib import Path

import pytest

from shop.assemblies.models import FindingKind
from shop.assemblies.recalls import answer_recall, close_recall
from shop.authority.models import Authority
from shop.authority.services import save_authority
from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry, PrivateText
from shop.ledger.refusals import NothingToErase
from shop.orders.models import Customer
from shop.orders.services import save_customer
from shop.people.models import User
from shop.people.names import names_of
from shop.people.pins import set_pin
from shop.people.refusals import LastOwner, NotAllowed
from shop.people.services import save_person
from shop.policy.services import today
from shop.trace.erasing import erase_customer, erase_person, words_by
from shop.trace.refusals import StillInService, StillOwed, StillRecalled
from tests.assemblies import bench
from tests.assemblies.test_recalls import find, recall
from tests.documents.evidence.stranger import ask, enter, files_in, lines_in, packed
from tests.documents.reading import text_of
from tests.world import World

MEANT = frozenset({"still_in_service"})


@pytest.fixture
def entered(world: World) -> World:
    """The world, with the bench and the customer written down in the ledger."""
    enter(world)
    return world


def texts_with(words: str) -> list[str]:
    return list(PrivateText.objects.filter(value__contains=words).values_list("name", flat=True))


def test_a_person_s_names_are_gone_and_what_was_done_stays(entered: World) -> None:
    assembly = bench.shipped(entered)
    set_pin(actor=entered.bench, person=entered.bench, pin="2580")
    name = entered.bench.name
    erase_person(actor=entered.owner, person=entered.bench)
    person = User.objects.get(number=3)
    assert (person.name, person.username) == ("number 3", "erased-3")
    assert not person.is_active
    assert not person.has_usable_password()
    assert not person.has_pin
    assert texts_with(name) == []
    assert names_of([3]) == {3: "number 3"}
    assert assembly.cut.actor_number == 3
    assert check_ledger().faults == ()


def test_what_an_authority_was_shown_by_goes_with_its_person(entered: World) -> None:
    authority = Authority(
        person=entered.bench, step="crimp", valid_from=today(), shown_by="Ilse's trial of May"
    )
    save_authority(actor=entered.owner, authority=authority)
    erase_person(actor=entered.owner, person=entered.bench)
    authority.refresh_from_db()
    assert authority.shown_by == ""
    assert texts_with("trial of May") == []
    assert check_ledger().faults == ()


def test_the_act_says_what_was_erased_and_by_whom(entered: World) -> None:
    act = erase_person(actor=entered.owner, person=entered.bench)
    saved = Entry.objects.filter(verb="people.saved", private_texts__name="name").latest("pk")
    assert act.actor_number == entered.owner.number
    assert ["home", saved.number, "name"] in act.told["erased"]


def test_the_last_owner_is_not_erased(entered: World) -> None:
    with pytest.raises(LastOwner):
        erase_person(actor=entered.owner, person=entered.owner)
    entered.owner.refresh_from_db()
    assert entered.owner.name == "Marit Osei"


def test_who_was_erased_is_not_erased_again(entered: World) -> None:
    erase_person(actor=entered.owner, person=entered.bench)
    with pytest.raises(NothingToErase):
        erase_person(actor=entered.owner, person=entered.bench)


def test_what_a_person_wrote_about_other_things_is_counted_and_stays(entered: World) -> None:
    recall(entered, bench.shipped(entered))
    save_person(actor=entered.owner, person=entered.inspector)
    assert words_by(entered.inspector) == 1
    assert texts_with("Two blew off") == ["reason"]


@pytest.mark.parametrize("who", ["counter", "bench", "inspector", "auditor"])
def test_only_an_owner_erases(entered: World, who: str) -> None:
    with pytest.raises(NotAllowed):
        erase_person(actor=getattr(entered, who), person=entered.bench)
    with pytest.raises(NotAllowed):
        erase_customer(actor=getattr(entered, who), customer=entered.customer)


def test_a_customer_s_name_contact_and_address_are_gone_and_the_number_stays(world: World) -> None:
    made = Customer(number="K9", name="Barge & Sons", contact="Ada, 555 0101", address="Quay 4")
    save_customer(actor=world.counter, customer=made)
    made.contact = "Bo, 555 0102"
    save_customer(actor=world.counter, customer=made)
    erase_customer(actor=world.owner, customer=made)
    made.refresh_from_db()
    assert (made.number, made.name, made.contact, made.address) == ("K9", "erased", "", "")
    assert texts_with("555") == texts_with("Barge") == texts_with("Quay") == []
    assert check_ledger().faults == ()


def test_a_customer_whose_orders_are_not_done_stays(entered: World) -> None:
    bench.made(entered)
    with pytest.raises(StillOwed, match="order"):
        erase_customer(actor=entered.owner, customer=entered.customer, sure=MEANT)
    entered.customer.refresh_from_db()
    assert entered.customer.name == "Harbour Cranes"


def test_who_has_hoses_in_service_is_erased_only_if_that_is_meant(entered: World) -> None:
    bench.shipped(entered)
    with pytest.raises(StillInService):
        erase_customer(actor=entered.owner, customer=entered.customer)
    erase_customer(actor=entered.owner, customer=entered.customer, sure=MEANT)
    assert texts_with("Harbour") == []


def test_who_has_to_be_told_of_a_recall_stays_until_it_is_closed(entered: World) -> None:
    assembly = bench.shipped(entered)
    made = recall(entered, assembly)
    answer_recall(actor=entered.counter, recall=made, customer=entered.customer, answer="Ada has it.")
    with pytest.raises(StillRecalled):
        erase_customer(actor=entered.owner, customer=entered.customer, sure=MEANT)
    find(entered, made, assembly, FindingKind.ISOLATED)
    close_recall(actor=entered.owner, recall=made, reason="All seen.")
    erase_customer(actor=entered.owner, customer=entered.customer, sure=MEANT)
    assert texts_with("Ada") == []
    assert made.answers.get().words == "The answer was erased."


def test_a_package_taken_afterwards_says_erased_and_still_holds(entered: World, tmp_path: Path) -> None:
    assembly = bench.shipped(entered)
    names = (entered.bench.name, entered.customer.name)
    erase_person(actor=entered.owner, person=entered.bench)
    erase_customer(actor=entered.owner, customer=entered.customer, sure=MEANT)
    package = packed(entered.auditor, assembly, people=True, customers=True)
    for name in names:
        assert name.encode() not in package
        assert name not in text_of(files_in(package)["record.pdf"])
    acts = {
        one["erased_by"]
        for line in lines_in(package)
        for one in line["private"].values()
        if "erased_by" in one
    }
    told = [json.loads(line["hashed"]) for line in lines_in(package)]
    assert acts == {f"home {entry['number']}" for entry in told if entry["verb"] == "ledger.erased"}
    assert len(acts) == 2
    assert ask(tmp_path, package).code == 0
