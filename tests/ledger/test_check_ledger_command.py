"""`manage.py check_ledger` shows how far it is, names the first fault and can be resumed."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from shop.ledger.checking import chains
from shop.people.models import User
from tests.ledger.drawer import behind_the_back, fill_drawer, look
from tests.ledger.testapp.models import Tool

pytestmark = pytest.mark.django_db


@pytest.fixture
def drawer(bench: User, monkeypatch: pytest.MonkeyPatch) -> Tool:
    monkeypatch.setattr(chains, "BATCH", 5)
    return fill_drawer(bench)


def check(**options: bool) -> str:
    out = io.StringIO()
    call_command("check_ledger", stdout=out, **options)
    return out.getvalue()


def test_it_says_how_far_it_is_and_what_it_found(drawer: Tool) -> None:
    said = check()
    assert "5 of 15 entries (33 %)\n10 of 15 entries (66 %)\n15 of 15 entries (100 %)\n" in said
    assert said.endswith("Right: 15 entries, and every record is as it was written.\n")


def test_it_ends_with_one_and_names_the_first_fault(drawer: Tool) -> None:
    behind_the_back("UPDATE drawer_wear SET bore = 1 WHERE attempt >= 6")
    with pytest.raises(
        CommandError, match=r"Chain home, entry 8: bore of its record in drawer\.Wear is 1"
    ) as end:
        check()
    assert end.value.returncode == 1


def test_it_goes_on_where_an_earlier_check_stopped(drawer: Tool, bench: User, data_folder: Path) -> None:
    check()
    assert json.loads((data_folder / "ledger-check.json").read_text())["home"]["number"] == 15
    look(bench, drawer, 13)
    said = check(resume=True)
    assert said.startswith("16 of 16 entries (100 %)")


def test_it_goes_on_behind_the_last_batch_that_was_right(drawer: Tool, data_folder: Path) -> None:
    behind_the_back("UPDATE drawer_wear SET bore = bore + 1 WHERE attempt = 6")
    with pytest.raises(CommandError, match="entry 8"):
        check()
    assert json.loads((data_folder / "ledger-check.json").read_text())["home"]["number"] == 5
    behind_the_back("UPDATE drawer_wear SET bore = bore - 1 WHERE attempt = 6")
    assert check(resume=True).startswith("10 of 15 entries")


@pytest.mark.parametrize(("content", "reason"), [(None, "none has been begun"), ("{", "can't be understood")])
def test_it_refuses_to_go_on_without_a_start(data_folder: Path, content: str | None, reason: str) -> None:
    if content is not None:
        (data_folder / "ledger-check.json").write_text(content)
    with pytest.raises(CommandError, match=reason):
        check(resume=True)
