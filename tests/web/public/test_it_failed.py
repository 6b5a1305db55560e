"""Whoever holds a hose that failed says so at its tag, without an account."""

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from PIL import Image

from shop.assemblies.models import Assembly
from shop.ledger.models import Entry
from shop.tooling.photos import PHOTOS
from shop.trace.models import FailureReport, Hurt, Origin
from shop.web.public.throttle import OF_A_DEVICE, OF_ALL
from tests.assemblies import bench
from tests.world import World


@pytest.fixture(autouse=True)
def quiet(settings: Any, tmp_path: Path) -> Iterator[None]:
    """Nobody has reported anything before, nor during the last hour for whatever is tried next."""
    settings.MEDIA_ROOT = tmp_path
    cache.clear()
    yield
    cache.clear()


def words(answer: HttpResponse) -> str:
    return " ".join(answer.content.decode().split())


def photo_from_the_yard() -> SimpleUploadedFile:
    """As a telephone takes it: with the place, the day and the telephone in it."""
    image = Image.new("RGB", (40, 20), "green")
    exif = Image.Exif()
    exif[0x010F] = "a maker of telephones"
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 6.0, 30.0), 3: "E", 4: (5.0, 11.0, 2.0)})
    file = io.BytesIO()
    image.save(file, "JPEG", exif=exif)
    return SimpleUploadedFile("yard.jpg", file.getvalue(), "image/jpeg")


def send(client: Client, assembly: Assembly, **changes: Any) -> HttpResponse:
    page = client.get(f"/T/{assembly.code}/failed/?hurt=no")
    reference = re.search(r'name="reference" value="([^"]+)"', page.content.decode())
    assert reference is not None
    sent = {"hurt": "no", "mode": "blow_off", "reference": reference[1], **changes}
    return client.post(f"/T/{assembly.code}/failed/", sent)


def test_the_tags_page_leads_to_it(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    assert f'href="/T/{assembly.code}/failed/"' in client.get(f"/T/{assembly.code}").content.decode()


def test_it_asks_first_whether_somebody_is_hurt(client: Client, world: World) -> None:
    page = words(client.get(f"/T/{bench.shipped(world).code}/failed/"))
    assert "Is somebody hurt?" in page
    assert "go to a hospital at once" in page
    assert "<textarea" not in page


def test_who_is_hurt_is_told_what_to_do_before_anything_is_asked(client: Client, world: World) -> None:
    page = words(client.get(f"/T/{bench.shipped(world).code}/failed/?hurt=yes"))
    assert page.index("go to a hospital at once") < page.index("<textarea")
    unhurt = words(client.get(f"/T/{Assembly.objects.get().code}/failed/?hurt=no"))
    assert "go to a hospital at once" not in unhurt


def test_the_reporter_gets_a_reference_and_is_told_to_take_the_hose_out_of_use(
    client: Client, world: World
) -> None:
    assembly = bench.shipped(world)
    answer = send(client, assembly, seen="end A flew off", contact="Ulla, 555 01", hours_in_service="900")
    report = FailureReport.objects.get()
    assert answer.headers["Location"] == f"/T/failed/{report.code}"
    receipt = words(client.get(answer.headers["Location"]))
    assert report.printed_code in receipt
    assert "Take it out of use" in receipt
    assert "Ulla" not in receipt
    assert "flew off" not in receipt
    assert (report.origin, report.hurt, report.hours_in_service) == (Origin.TAG, Hurt.NO, 900)
    assert report.private("contact") == "Ulla, 555 01"


def test_who_scans_the_tag_next_reads_nothing_of_the_report(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    before = words(client.get(f"/T/{assembly.code}"))
    send(client, assembly, seen="end A flew off")
    assert words(client.get(f"/T/{assembly.code}")) == before


def test_looking_writes_nothing(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    newest = Entry.objects.latest("pk")
    client.get(f"/T/{assembly.code}/failed/?hurt=yes")
    assert Entry.objects.latest("pk") == newest


def test_a_report_sent_twice_is_one_report(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    page = client.get(f"/T/{assembly.code}/failed/?hurt=no").content.decode()
    reference = re.search(r'name="reference" value="([^"]+)"', page)
    assert reference is not None
    sent = {"hurt": "no", "mode": "kink", "reference": reference[1]}
    answers = {client.post(f"/T/{assembly.code}/failed/", sent).headers["Location"] for _ in range(2)}
    assert len(answers) == 1
    assert FailureReport.objects.count() == 1


def test_nobody_chooses_a_reference(client: Client, world: World) -> None:
    send(client, bench.shipped(world), reference="FAAAAAAAAAAAAA:forged")
    assert FailureReport.objects.get().code != "FAAAAAAAAAAAAA"


def test_a_photo_is_kept_without_the_place_where_it_was_taken(client: Client, world: World) -> None:
    sent = photo_from_the_yard()
    with Image.open(sent) as image:
        assert image.getexif().get_ifd(0x8825)
    sent.seek(0)
    send(client, bench.shipped(world), photos=[sent])
    [sha256] = FailureReport.objects.get().photo_hashes
    with Image.open(PHOTOS.path(sha256)) as kept:
        assert not dict(kept.getexif())
        assert "exif" not in kept.info


def test_a_broken_photo_is_refused_and_what_was_typed_stays(client: Client, world: World) -> None:
    broken = SimpleUploadedFile("x.jpg", b"not a photo", "image/jpeg")
    answer = send(client, bench.shipped(world), seen="end A flew off", photos=[broken])
    assert answer.status_code == 422
    assert "That file is not a photo that can be read." in words(answer)
    assert "end A flew off" in words(answer)
    assert not FailureReport.objects.exists()


def test_more_photos_than_can_be_kept_are_refused(client: Client, world: World) -> None:
    answer = send(client, bench.shipped(world), photos=[photo_from_the_yard() for _ in range(4)])
    assert answer.status_code == 422
    assert "At most 3 photos" in words(answer)


def test_a_device_that_sends_many_is_asked_to_ring(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    for _ in range(OF_A_DEVICE):
        assert send(client, assembly).status_code == 302
    answer = send(client, assembly, seen="and once more")
    assert answer.status_code == 422
    assert "Ring the workshop" in words(answer)
    assert "and once more" in words(answer)
    assert FailureReport.objects.count() == OF_A_DEVICE
    assert client.get(f"/T/{assembly.code}/failed/?hurt=yes").status_code == 200


def test_many_devices_together_are_stopped_too(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    page = client.get(f"/T/{assembly.code}/failed/?hurt=no")
    assert page.status_code == 200
    statuses = [
        client.post(
            f"/T/{assembly.code}/failed/",
            {"hurt": "no", "mode": "kink"},
            REMOTE_ADDR=f"10.0.{number // 250}.{number % 250}",
        ).status_code
        for number in range(OF_ALL + 1)
    ]
    assert statuses == [302] * OF_ALL + [422]


def test_a_form_from_another_page_is_not_taken(world: World) -> None:
    strict = Client(enforce_csrf_checks=True)
    assembly = bench.shipped(world)
    assert strict.post(f"/T/{assembly.code}/failed/", {"hurt": "no", "mode": "kink"}).status_code == 403
    page = strict.get(f"/T/{assembly.code}/failed/?hurt=no").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token is not None
    sent = {"hurt": "no", "mode": "kink", "csrfmiddlewaretoken": token[1]}
    assert strict.post(f"/T/{assembly.code}/failed/", sent).status_code == 302


@pytest.mark.parametrize("path", ["/T/A0000/failed/", "/T/failed/F0000", "/T/failed/nothing!"])
def test_what_is_not_there_is_not_found(client: Client, world: World, path: str) -> None:
    assert client.get(path).status_code == 404
