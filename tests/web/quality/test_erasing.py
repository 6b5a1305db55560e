"""Erasing on the page: an owner types whose number it is, and is told what it means."""

from django.test import Client

from shop.assemblies.wear import record_tool_check
from shop.people.models import User
from shop.trace.failures import WhatFailed, report_failure
from shop.trace.models import FailureReport, Hurt
from tests.assemblies import bench
from tests.documents.evidence.stranger import enter
from tests.tooling.photos import a_photo
from tests.world import World


def told_of(world: World) -> FailureReport:
    told = WhatFailed(hurt=Hurt.NO, seen="it sprayed", contact="Ulla, 555 01", photos=[a_photo()])
    return report_failure(actor=None, assembly=bench.shipped(world), told=told)


def test_an_owner_erases_a_person_by_typing_the_number(client: Client, world: World) -> None:
    enter(world)
    client.force_login(world.owner)
    address = f"/quality/people/{world.bench.pk}/erase/"
    assert address in client.get(f"/quality/people/{world.bench.pk}/").content.decode()
    assert "It can't be taken back." in client.get(address).content.decode()
    answer = client.post(address, {"number": "4"})
    assert answer.status_code == 422
    assert "That is not 3." in answer.content.decode()
    assert User.objects.get(number=3).name == "Ilse Sandoval"
    text = client.post(address, {"number": "3"}, follow=True).content.decode()
    assert "Number 3 is erased." in text
    assert "Ilse" not in text


def test_a_customer_with_hoses_in_service_is_asked_about(client: Client, world: World) -> None:
    enter(world)
    bench.shipped(world)
    client.force_login(world.owner)
    address = f"/counter/customers/{world.customer.pk}/erase/"
    asked = client.post(address, {"number": world.customer.number})
    assert asked.status_code == 422
    assert 'value="still_in_service"' in asked.content.decode()
    sent = {"number": world.customer.number, "sure": "still_in_service"}
    text = client.post(address, sent, follow=True).content.decode()
    assert f"Customer {world.customer.number} is erased." in text
    assert "Harbour Cranes" not in text


def test_others_are_not_offered_it(client: Client, world: World) -> None:
    client.force_login(world.counter)
    page = client.get(f"/counter/customers/{world.customer.pk}/").content.decode()
    assert "/erase/" not in page
    assert client.post(f"/counter/customers/{world.customer.pk}/erase/", {}).status_code == 403


def test_an_owner_erases_what_a_report_says_of_who_reported(client: Client, world: World) -> None:
    report = told_of(world)
    client.force_login(world.owner)
    address = f"/quality/failures/{report.code}/erase/"
    assert address in client.get(f"/quality/failures/{report.code}/").content.decode()
    page = " ".join(client.get(address).content.decode().split())
    assert "It can't be taken back." in page
    assert "Ulla, 555 01" in page
    assert "backups that were made before: they hold all of it" in page
    sent = {"what": ["contact", "photos"], "reason": "Who reported asked for it."}
    answer = client.post(address, sent, follow=True)
    text = " ".join(answer.content.decode().split())
    assert "Erased for ever: whom to ask, photos. The report itself stays." in text
    assert "It came with 1 photo: erased." in text
    assert "Who reported asked for it." in text
    assert "Ulla, 555 01" not in text
    assert "it sprayed" in text
    assert client.get(f"/quality/failures/{report.code}/photos/1/").status_code == 404
    assert "photos: 1, erased" in client.get(f"/assembly/{report.assembly.code}/").content.decode()


def test_without_a_tick_or_a_reason_nothing_is_erased_and_what_was_typed_is_kept(
    client: Client, world: World
) -> None:
    report = told_of(world)
    client.force_login(world.owner)
    address = f"/quality/failures/{report.code}/erase/"
    for sent, kept in (({"reason": "by telephone"}, "by telephone"), ({"what": ["contact"]}, "checked")):
        answer = client.post(address, sent)
        assert answer.status_code == 422
        assert kept in answer.content.decode()
    assert "Ulla, 555 01" in client.get(f"/quality/failures/{report.code}/").content.decode()


def test_the_page_says_which_photo_is_also_kept_with_something_else(client: Client, world: World) -> None:
    report = told_of(world)
    record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean", photo=a_photo())
    client.force_login(world.owner)
    address = f"/quality/failures/{report.code}/erase/"
    says = f"Photo 1: its file stays, as it is also kept with {world.die_set} looked at"
    assert says in client.get(address).content.decode()
    answer = client.post(address, {"what": ["photos"], "reason": "asked for"}, follow=True)
    assert says in answer.content.decode()


def test_where_nothing_is_left_to_erase_nothing_is_offered(client: Client, world: World) -> None:
    report = told_of(world)
    client.force_login(world.owner)
    address = f"/quality/failures/{report.code}/erase/"
    client.post(address, {"what": ["contact", "seen", "photos"], "reason": "asked for"})
    assert address not in client.get(f"/quality/failures/{report.code}/").content.decode()
    assert "Everything that it said of who reported is erased." in client.get(address).content.decode()


def test_who_is_no_owner_is_not_offered_it(client: Client, world: World) -> None:
    report = told_of(world)
    client.force_login(world.inspector)
    assert "/erase/" not in client.get(f"/quality/failures/{report.code}/").content.decode()
    assert client.post(f"/quality/failures/{report.code}/erase/", {}).status_code == 403
