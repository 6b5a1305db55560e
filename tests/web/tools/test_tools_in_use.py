"""A tool's page: how often it was used, looking at it, damage, and what it made."""

from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import Settings

from shop.tooling.models import ToolCheck
from shop.tooling.services import save_die_set
from tests.assemblies import bench
from tests.tooling.photos import a_photo
from tests.world import World


@pytest.fixture
def page(client: Client, world: World, settings: Settings, tmp_path: Path) -> str:
    settings.MEDIA_ROOT = tmp_path
    client.force_login(world.bench)
    return f"/tools/die-sets/{world.die_set.pk}/"


def test_the_page_counts_crimps_and_says_what_is_due(client: Client, world: World, page: str) -> None:
    world.die_set.check_every_uses = 2
    save_die_set(actor=world.bench, die_set=world.die_set)
    assert "no crimper is set up" not in client.get(page).content.decode().lower()
    bench.made(world)
    shown = client.get(page).content.decode()
    assert "It has made 2 crimps since it was last found fit and is looked at every 2." in shown
    assert "1 assembly made with it" in shown
    assert "due: 2 of 2 crimps" in client.get("/tools/die-sets/?check=due").content.decode()
    assert "1 due to be looked at" in client.get("/tools/").content.decode()
    assert "Tools to look at" in client.get("/quality/").content.decode()


def test_a_check_is_recorded_with_its_photo(client: Client, page: str) -> None:
    photo = SimpleUploadedFile("die.jpg", a_photo(), "image/jpeg")
    sent = {"verdict": "fit", "condition": "faces clean", "photo": photo}
    shown = client.post(f"{page}check/", sent, follow=True).content.decode()
    assert "was looked at and is fit for use" in shown
    assert "faces clean" in shown
    answer = client.get(f"/tools/checks/{ToolCheck.objects.get().pk}/photo/")
    assert (answer.headers["Content-Type"], answer.content[:2]) == ("image/jpeg", b"\xff\xd8")


def test_a_file_that_is_no_photo_is_refused_and_nothing_recorded(client: Client, page: str) -> None:
    photo = SimpleUploadedFile("die.jpg", b"no photo", "image/jpeg")
    sent = {"verdict": "fit", "condition": "faces clean", "photo": photo}
    assert "not a photo that can be read" in client.post(f"{page}check/", sent).content.decode()
    assert not ToolCheck.objects.exists()


def test_a_check_without_a_photo_has_none_to_show(client: Client, page: str) -> None:
    client.post(f"{page}check/", {"verdict": "fit", "condition": "clean"})
    assert client.get(f"/tools/checks/{ToolCheck.objects.get().pk}/photo/").status_code == 404


@pytest.mark.parametrize("way", ["check", "damage"])
def test_what_the_tool_made_is_shown_right_after_it_was_found_bad(
    client: Client, world: World, page: str, way: str
) -> None:
    assembly = bench.made(world)
    sent = {
        "check": {"verdict": "unfit", "condition": "die 3 chipped"},
        "damage": {"what": "die 3 chipped"},
    }[way]
    shown = client.post(f"{page}{way}/", sent, follow=True).content.decode()
    assert "is out of use from now on" in shown
    assert f"/{assembly.code}/" in shown
    assert str(world.customer) in shown
    assert "crimped at both ends" in shown
    world.die_set.refresh_from_db()
    assert not world.die_set.is_usable


def test_a_tool_that_is_out_of_use_is_not_reported_again(client: Client, world: World, page: str) -> None:
    client.post(f"{page}damage/", {"what": "die 3 chipped"})
    assert "It is damaged" not in client.get(page).content.decode()
    assert "is out of use already" in client.post(f"{page}damage/", {"what": "worse"}).content.decode()


def test_the_list_of_what_it_made_is_exported(client: Client, world: World, page: str) -> None:
    bench.made(world)
    answer = client.get(f"{page}made/?_export=csv")
    assert "crimped at both ends" in answer.content.decode()


def test_a_tool_that_made_nothing_says_so(client: Client, page: str) -> None:
    assert "No end was crimped with it in that time." in client.get(f"{page}made/").content.decode()
