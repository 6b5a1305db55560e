"""Seals on the page: sealing now, what is kept elsewhere, and the key."""

import json
from pathlib import Path

import pytest
from django.test import Client
from pytest_django import DjangoCaptureOnCommitCallbacks

from shop.ledger.checking import check_ledger
from shop.ledger.models import KeyReason, LedgerSeal, SealingKey
from shop.ledger.sealing import daily, keys
from shop.ledger.sealing.files import read_seals
from shop.ledger.services import seal_ledger
from shop.stock.services import count_piece
from tests.world import World


@pytest.fixture
def sealed(world: World) -> LedgerSeal:
    (seal,) = seal_ledger(actor=world.auditor)
    return seal


def text_of(client: Client, path: str = "") -> str:
    page = client.get(f"/quality/ledger/seals/{path}")
    assert page.status_code == 200
    return page.content.decode()


def record_something(world: World) -> None:
    count_piece(actor=world.bench, piece=world.reel, measured_mm=world.reel.length_left - 1)


def test_an_auditor_seals_and_is_shown_what_to_keep(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    assert "Nothing is sealed yet." in text_of(client)
    page = client.post("/quality/ledger/seals/now/", follow=True)
    seal = LedgerSeal.objects.get()
    assert page.redirect_chain == [(f"/quality/ledger/seals/{seal.pk}/", 302)]
    assert seal.actor_number == world.auditor.number
    text = page.content.decode()
    assert "Print it or keep its file, on another machine than this." in text
    assert f"{seal.root[:4]} {seal.root[4:8]} " in text
    assert "entries" in text_of(client)


def test_sealing_again_without_anything_new_says_so(client: Client, world: World, sealed: LedgerSeal) -> None:
    client.force_login(world.auditor)
    assert "Nothing was recorded since the newest seal." in (
        client.post("/quality/ledger/seals/now/").content.decode()
    )
    assert LedgerSeal.objects.count() == 1


def test_who_may_not_audit_sees_seals_and_makes_none(
    client: Client, world: World, sealed: LedgerSeal
) -> None:
    client.force_login(world.inspector)
    text = text_of(client)
    assert "Seal now" not in text
    assert "Every seal" not in text
    assert client.post("/quality/ledger/seals/now/").status_code == 403


def test_the_files_from_the_page_are_what_the_check_takes(
    client: Client, world: World, sealed: LedgerSeal, tmp_path: Path
) -> None:
    record_something(world)
    seal_ledger(actor=world.auditor)
    client.force_login(world.auditor)
    for path, count in ((f"{sealed.pk}/file/", 1), ("file/", 2)):
        answer = client.get(f"/quality/ledger/seals/{path}")
        assert answer.headers["Content-Disposition"].startswith("attachment; filename=")
        (tmp_path / "kept.json").write_bytes(answer.content)
        kept = read_seals(tmp_path / "kept.json")
        assert len(kept.seals) == count
        assert check_ledger(kept=kept).is_right


def test_the_text_of_the_square_is_what_the_check_takes(
    client: Client, world: World, sealed: LedgerSeal, tmp_path: Path
) -> None:
    client.force_login(world.auditor)
    line = client.get(f"/quality/ledger/seals/{sealed.pk}/").context["line"]
    assert json.loads(line)["seals"][0]["root"] == sealed.root
    (tmp_path / "square.txt").write_text(line)
    assert check_ledger(kept=read_seals(tmp_path / "square.txt")).is_right


def test_all_seals_are_no_file_if_one_was_changed(
    client: Client, world: World, sealed: LedgerSeal, monkeypatch: pytest.MonkeyPatch
) -> None:
    record_something(world)
    seal_ledger(actor=world.auditor)
    monkeypatch.setattr("shop.ledger.sealing.statements.Sealed.is_signed", lambda _: False)
    client.force_login(world.auditor)
    assert "is not as it was made" in text_of(client, "file/")


def test_an_owner_replaces_the_key_in_turn(
    client: Client,
    world: World,
    sealed: LedgerSeal,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    client.force_login(world.owner)
    assert "Key 1 is where it belongs." in text_of(client, "key/")
    with django_capture_on_commit_callbacks(execute=True):
        page = client.post("/quality/ledger/seals/key/", {"reason": "rotated"}, follow=True)
    assert "From now on key 2 " in page.content.decode()
    assert SealingKey.objects.latest("pk").vouched
    assert "the one before signed it" in text_of(client, "key/")


def test_a_lost_key_is_shown_and_replaced(client: Client, world: World, sealed: LedgerSeal) -> None:
    keys.forget(sealed.key.public_key)
    record_something(world)
    client.force_login(world.owner)
    assert "The key is missing." in text_of(client)
    assert "is not where it belongs" in client.post("/quality/ledger/seals/now/").content.decode()
    text = text_of(client, "key/")
    assert "Key 1 is missing." in text
    assert "In turn: the key before signs" not in text
    client.post("/quality/ledger/seals/key/", {"reason": "lost"})
    assert SealingKey.objects.latest("pk").reason == KeyReason.LOST
    assert client.post("/quality/ledger/seals/now/").status_code == 302


def test_a_key_is_not_replaced_without_a_reason(client: Client, world: World, sealed: LedgerSeal) -> None:
    client.force_login(world.owner)
    assert client.post("/quality/ledger/seals/key/", {}).status_code == 200
    assert client.post("/quality/ledger/seals/key/", {"reason": "lost"}).status_code == 200
    assert SealingKey.objects.count() == 1


def test_what_is_in_no_seal_for_two_days_is_an_open_question(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.force_login(world.auditor)
    assert "In no seal for two days" not in client.get("/quality/").content.decode()
    monkeypatch.setattr(daily, "OVERDUE_AFTER", daily.EVERY * 0)
    assert "In no seal for two days" in client.get("/quality/").content.decode()
    seal_ledger(actor=world.auditor)
    assert "In no seal for two days" not in client.get("/quality/").content.decode()
