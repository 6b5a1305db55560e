"""Django's own check refuses records whose entries would be untrue or uncheckable one day."""

from typing import ClassVar

import pytest
from django.db import models
from django.db.models.functions import Lower
from django.test.utils import isolate_apps

from shop.ledger import registry
from shop.ledger.checks import check_records, record_errors
from shop.ledger.models import Record
from tests.ledger.testapp import verbs
from tests.ledger.testapp.models import Loss, Wear


def codes(model: type[Record]) -> set[str | None]:
    return {error.id for error in record_errors(model)}


def test_the_records_of_the_program_are_right() -> None:
    assert check_records() == []


@pytest.mark.parametrize(
    ("versions", "code"),
    [
        ({1: ("tool",), 3: ("tool",)}, "ledger.E002"),
        ({1: ()}, "ledger.E003"),
        ({1: ("tool", "bore")}, "ledger.E003"),
        ({1: (), 2: ("tool",)}, "ledger.E004"),
    ],
)
def test_it_refuses_lists_that_do_not_fit_the_columns(
    versions: dict[int, tuple[str, ...]], code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Loss, "FIELDS", versions)
    assert codes(Loss) == {code}


def test_it_refuses_two_records_of_one_kind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Loss, "KIND", Wear.KIND)
    assert [error.id for error in check_records()] == ["ledger.E001", "ledger.E001"]


def test_it_refuses_a_record_without_a_verb(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(registry._verbs, verbs.LOST.name)
    assert codes(Loss) == {"ledger.E006"}


@isolate_apps("tests.ledger.testapp")
def test_it_refuses_columns_that_an_entry_can_not_tell() -> None:
    class Flawed(Record):
        KIND = "test_flawed"
        FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("share", "saved_at", "name")}

        share = models.FloatField()
        saved_at = models.DateTimeField(auto_now_add=True)
        name = models.CharField(max_length=20)

        class Meta:
            app_label = "drawer"
            constraints = [models.UniqueConstraint(Lower("name"), name="flawed_name_once")]

    assert codes(Flawed) == {"ledger.E005", "ledger.E006", "ledger.E007", "ledger.E008"}
