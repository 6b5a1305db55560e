"""Taking an evidence package out: from the page of an assembly and of a recall, as a file."""

import io
import zipfile

import pytest
from django.test import Client

from shop.documents.evidence.taking import verifier
from shop.documents.keeping import PAPERS
from shop.documents.services import print_tag
from shop.ledger.models import Entry
from tests.assemblies import bench
from tests.assemblies.test_recalls import recall
from tests.documents.evidence.stranger import enter
from tests.world import World


def test_an_auditor_takes_one_from_the_record(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    client.force_login(world.auditor)
    record = client.get(f"/assembly/{assembly.code}/").content.decode()
    assert f'href="/assembly/{assembly.code}/evidence/"' in record
    answer = client.post(f"/assembly/{assembly.code}/evidence/", {})
    assert answer["Content-Type"] == "application/zip"
    assert answer["Content-Disposition"] == f'attachment; filename="evidence-assembly-{assembly.serial}.zip"'
    content = b"".join(answer.streaming_content)
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        assert {"README.txt", "entries.jsonl", "record.pdf", "verify.py"} <= set(package.namelist())


def test_looking_at_the_page_takes_nothing(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    client.force_login(world.auditor)
    before = Entry.objects.count()
    page = client.get(f"/assembly/{assembly.code}/evidence/").content.decode()
    assert "Name the people" in page
    assert "Name the customers" in page
    assert Entry.objects.count() == before


def test_the_ticks_are_kept_in_the_book_and_in_the_package(client: Client, world: World) -> None:
    enter(world)
    assembly = bench.shipped(world)
    client.force_login(world.owner)
    answer = client.post(f"/assembly/{assembly.code}/evidence/", {"customers": "on"})
    content = b"".join(answer.streaming_content)
    assert world.customer.name.encode() in content
    assert world.bench.name.encode() not in content
    told = Entry.objects.latest("pk").told
    assert (told["people"], told["customers"]) == (False, True)


def test_one_of_a_recall_is_taken_from_its_page(client: Client, world: World) -> None:
    made = recall(world, bench.shipped(world))
    client.force_login(world.auditor)
    assert "/quality/recalls/1/evidence/" in client.get("/quality/recalls/1/").content.decode()
    answer = client.post("/quality/recalls/1/evidence/", {})
    assert answer["Content-Disposition"] == 'attachment; filename="evidence-recall-1.zip"'
    assert b"".join(answer.streaming_content).startswith(b"PK")
    assert Entry.objects.latest("pk").subject == f"assemblies.recall:home-{made.entry.number}"


def test_what_keeps_it_from_being_made_is_said_on_the_page(client: Client, world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    PAPERS.path(print_tag(actor=world.inspector, assembly=assembly, prints_seen=0).sha256).unlink()
    client.force_login(world.auditor)
    answer = client.post(f"/assembly/{assembly.code}/evidence/", {"people": "on"})
    assert answer.status_code == 422
    assert "is missing, so the package would not hold" in answer.content.decode()
    assert "checked" in answer.content.decode()  # what was ticked stays ticked


@pytest.mark.parametrize("who", ["bench", "counter", "inspector"])
def test_who_may_not_take_one_is_not_offered_it(client: Client, world: World, who: str) -> None:
    assembly = bench.shipped(world)
    client.force_login(getattr(world, who))
    assert "Evidence package" not in client.get(f"/assembly/{assembly.code}/").content.decode()
    assert client.post(f"/assembly/{assembly.code}/evidence/", {}).status_code == 403


def test_the_verifier_is_handed_out_by_itself(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    answer = client.get("/quality/ledger/seals/verify.py")
    assert answer.content == verifier()
    assert answer["Content-Disposition"] == 'attachment; filename="verify.py"'


def test_events_are_a_file_for_whoever_may_read(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    client.force_login(world.bench)
    address = f"/assembly/{assembly.code}/events.json"
    assert f'href="{address}"' in client.get(f"/assembly/{assembly.code}/").content.decode()
    answer = client.get(address)
    assert answer["Content-Type"] == "application/ld+json"
    assert answer.json()["type"] == "EPCISDocument"


def test_without_an_event_the_record_says_so(client: Client, world: World) -> None:
    assembly = bench.plan(world)
    client.force_login(world.bench)
    answer = client.get(f"/assembly/{assembly.code}/events.json")
    assert answer.status_code == 422
    assert "there is no event to tell of" in answer.content.decode()
