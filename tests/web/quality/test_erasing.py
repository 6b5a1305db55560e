"""Erasing on the page: an owner types whose number it is, and is told what it means."""

from django.test import Client

from shop.people.models import User
from tests.assemblies import bench
from tests.documents.evidence.stranger import enter
from tests.world import World


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
