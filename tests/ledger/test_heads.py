"""The copy of the heads outside the database follows, and never leads."""

import logging
from pathlib import Path

import pytest
from django.db import transaction

from shop.ledger import heads
from shop.ledger.heads import Head
from shop.ledger.models import Chain
from shop.people.models import User
from tests.ledger.drawer import fill_drawer, keep, look

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_copy_follows_each_commit(bench: User) -> None:
    fill_drawer(bench)
    home = Chain.objects.get()
    assert heads.read_copy() == {"home": Head(15, home.head)}


def test_the_copy_never_leads(bench: User) -> None:
    tool = keep(bench)
    with transaction.atomic():
        look(bench, tool, 1)
        assert heads.read_copy()["home"].number == 1
        transaction.set_rollback(True)
    assert heads.read_copy()["home"].number == 1


def test_the_copy_never_goes_back_by_itself(bench: User) -> None:
    ahead = {"home": Head(99, "f" * 64), "van": Head(7, "a" * 64)}
    heads.replace_copy(ahead)
    keep(bench)
    assert heads.read_copy() == ahead


def test_chains_of_other_sites_stay_in_the_copy(bench: User) -> None:
    heads.replace_copy({"van": Head(7, "a" * 64)})
    keep(bench)
    assert heads.read_copy()["van"] == Head(7, "a" * 64)
    assert heads.read_copy()["home"].number == 1


def test_what_was_recorded_stays_recorded_when_the_copy_can_not_be_written(
    bench: User, data_folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (data_folder / "ledger-heads.new").mkdir()  # where the new copy is written before it is renamed
    with caplog.at_level(logging.ERROR, logger="django.db.backends.base"):
        tool = keep(bench)
    assert "ledger-heads.new" in caplog.text
    assert Chain.objects.get().length == 1
    (data_folder / "ledger-heads.new").rmdir()
    look(bench, tool, 1)
    assert heads.read_copy()["home"].number == 2
