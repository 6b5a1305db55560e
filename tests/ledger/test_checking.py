"""What was changed behind the program's back is found and named."""

import json
from collections.abc import Iterator

import pytest
from django.db import connection
from pytest_django import DjangoCaptureOnCommitCallbacks

from shop.ledger import checking, heads, triggers
from shop.ledger.canonical import canonical
from shop.ledger.checking import Checkpoint, Fault, Progress, chains, check_ledger, noted_rows_that_disagree
from shop.ledger.models import Chain, Entry, PrivateText
from shop.ledger.services import erase_private, save_noted
from shop.people.models import User
from tests.ledger.drawer import behind_the_back, fill_drawer, look
from tests.ledger.testapp import verbs
from tests.ledger.testapp.models import Tool

pytestmark = pytest.mark.django_db


@pytest.fixture
def drawer(bench: User, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks) -> Tool:
    with django_capture_on_commit_callbacks(execute=True):
        return fill_drawer(bench)


def first_fault() -> Fault:
    result = check_ledger()
    assert not result.is_right
    return result.faults[0]


def test_an_untouched_ledger_is_right(drawer: Tool) -> None:
    result = check_ledger()
    assert result.is_right, result.faults
    assert (result.entries, result.lost, result.notices) == (15, (), ())


def test_an_empty_ledger_is_right() -> None:
    assert check_ledger().is_right


def test_it_reads_in_batches(drawer: Tool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chains, "BATCH", 4)
    seen: list[Progress] = []
    assert check_ledger(progress=seen.append).is_right
    assert [(progress.done, progress.total) for progress in seen] == [(4, 15), (8, 15), (12, 15), (15, 15)]


def test_a_changed_reading_is_named(drawer: Tool) -> None:
    behind_the_back("UPDATE drawer_wear SET bore = bore + 10000 WHERE attempt = 3")
    fault = first_fault()
    assert (fault.chain, fault.number, fault.field) == ("home", 5, "bore")
    assert "is 27510000, the ledger says 27500000" in str(fault)


def test_a_column_filled_in_later_is_named(drawer: Tool) -> None:
    behind_the_back("UPDATE drawer_wear SET finish = 'bright' WHERE attempt = 3")
    assert (first_fault().number, first_fault().field) == (5, "finish")


def test_a_record_of_an_older_version_is_checked_by_its_own_list(
    drawer: Tool, bench: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = {1: type(look(bench, drawer, 13)).FIELDS[1]}
    with monkeypatch.context() as patch:
        patch.setattr("tests.ledger.testapp.models.Wear.FIELDS", old)
        wear = look(bench, drawer, 14)
    assert "finish" not in wear.entry.told
    assert check_ledger().is_right
    behind_the_back("UPDATE drawer_wear SET finish = 'bright' WHERE attempt = 14")
    assert (first_fault().number, first_fault().field) == (17, "finish")


@pytest.mark.parametrize(
    "change",
    [
        "actor_number = 4",
        "done_by = 4",
        "verb = 'drawer.turned'",
        "subject = 'drawer.tool:0'",
        "facts = '{}'",
        "version = 1",
        "hash = '00'",
        "happened_at = recorded_at, recorded_at = '2020-01-01 00:00:00+00:00'",
    ],
)
def test_a_changed_entry_is_named(drawer: Tool, change: str) -> None:
    behind_the_back(f"UPDATE ledger_entry SET {change} WHERE number = 7")
    assert (first_fault().chain, first_fault().number) == ("home", 7)


def test_an_entry_changed_with_its_hash_is_found_at_the_next(drawer: Tool) -> None:
    entry = Entry.objects.get(number=7)
    entry.actor_number = 4
    forged = entry.compute_hash("home")
    behind_the_back("UPDATE ledger_entry SET actor_number = 4, hash = %s WHERE number = 7", forged)
    assert first_fault().number == 8
    assert "does not continue entry 7" in str(first_fault())


def test_an_entry_and_its_record_changed_alike_are_found(drawer: Tool) -> None:
    facts = canonical({**Entry.objects.get(number=7).told, "bore": 1})
    behind_the_back("UPDATE ledger_entry SET facts = %s WHERE number = 7", facts)
    behind_the_back("UPDATE drawer_wear SET bore = 1 WHERE attempt = 5")
    assert first_fault().number == 7


def test_a_forged_last_entry_is_found_by_the_copy_outside(drawer: Tool) -> None:
    entry = Entry.objects.get(number=15)
    entry.actor_number = 4
    forged = entry.compute_hash("home")
    behind_the_back("UPDATE ledger_entry SET actor_number = 4, hash = %s WHERE number = 15", forged)
    behind_the_back("UPDATE ledger_chain SET head = %s", forged)
    assert first_fault().number == 15
    assert "outside the database" in str(first_fault())


def test_facts_that_are_not_canonical_are_named(drawer: Tool) -> None:
    entry = Entry.objects.get(number=15)
    entry.facts = json.dumps(entry.told, indent=1)
    behind_the_back(
        "UPDATE ledger_entry SET facts = %s, hash = %s WHERE number = 15",
        entry.facts,
        entry.compute_hash("home"),
    )
    assert (first_fault().number, first_fault().what) == (15, "its facts are not canonical JSON.")


def test_a_verb_that_nobody_registered_is_named(drawer: Tool) -> None:
    entry = Entry.objects.get(number=15)
    entry.verb = "drawer.sold"
    behind_the_back(
        "UPDATE ledger_entry SET verb = 'drawer.sold', hash = %s WHERE number = 15",
        entry.compute_hash("home"),
    )
    assert first_fault().what == "'drawer.sold' is no verb of this program."


def test_two_entries_that_changed_places_are_named(drawer: Tool) -> None:
    for number, place in ((6, 1006), (9, 6), (1006, 9)):
        behind_the_back("UPDATE ledger_entry SET number = %s WHERE number = %s", place, number)
    assert first_fault().number == 6
    assert "does not continue entry 5" in str(first_fault())


def cut_off(count: int) -> None:
    keys = "SELECT id FROM ledger_entry WHERE number > %s"
    last = 15 - count
    for table, column in (("drawer_wear", "entry_id"), ("drawer_loss", "entry_id"), ("ledger_entry", "id")):
        behind_the_back(f"DELETE FROM {table} WHERE {column} IN (SELECT id FROM ({keys}) AS gone)", last)


def test_the_last_ten_deleted_are_named(drawer: Tool) -> None:
    cut_off(10)
    assert (first_fault().chain, first_fault().number) == ("home", 6)
    assert "missing, and so are all up to 15" in str(first_fault())


def test_the_last_ten_deleted_with_the_head_patched_are_found_by_the_copy_outside(drawer: Tool) -> None:
    cut_off(10)
    last = Entry.objects.get(number=5)
    Chain.objects.update(length=5, head=last.hash)
    assert first_fault().number == 6
    assert "knows entries up to 15" in str(first_fault())


def test_a_head_that_leads_or_lags_is_named(drawer: Tool) -> None:
    Chain.objects.update(length=14)
    assert "ends at entry 14, but it has 15 entries" in str(first_fault())
    Chain.objects.update(length=15, head="0" * 64)
    assert "another hash than this last entry" in str(first_fault())


def test_a_missing_entry_in_the_middle_is_named(drawer: Tool) -> None:
    behind_the_back("UPDATE ledger_entry SET number = 99 WHERE number = 8")
    assert (first_fault().number, first_fault().what) == (8, "it is missing; entry 9 comes next.")


def test_a_missing_record_is_named(drawer: Tool) -> None:
    behind_the_back("DELETE FROM drawer_wear WHERE attempt = 2")
    assert (first_fault().number, first_fault().what) == (4, "its record in drawer.Wear is missing.")


def test_a_stray_record_is_named(drawer: Tool) -> None:
    other = Tool.objects.create(mark="T2")
    key = Entry.objects.get(number=2).pk
    behind_the_back("INSERT INTO drawer_loss (entry_id, tool_id) VALUES (%s, %s)", key, other.pk)
    assert str(first_fault()) == f"drawer.Loss has a row that no entry tells of, with the key {key}."


def test_what_can_not_be_read_is_named(drawer: Tool) -> None:
    if connection.vendor == "postgresql":  # which refuses text in a column of numbers
        behind_the_back("ALTER TABLE drawer_wear ALTER bore TYPE text USING bore::text")
    behind_the_back("UPDATE drawer_wear SET bore = 'wide' WHERE attempt = 3")
    assert first_fault().number == 5
    assert "can't be read" in str(first_fault())


def test_a_changed_private_text_is_named(drawer: Tool) -> None:
    behind_the_back("UPDATE ledger_privatetext SET value = 'Lent to Bob'")
    assert (first_fault().number, first_fault().field) == (2, "remark")
    assert "was changed" in str(first_fault())


def test_a_private_text_that_vanished_is_named(drawer: Tool) -> None:
    behind_the_back("DELETE FROM ledger_privatetext")
    assert first_fault().what == "its private text remark is missing."


def test_a_private_text_that_nobody_wrote_is_named(drawer: Tool) -> None:
    PrivateText.objects.create(entry=Entry.objects.get(number=3), name="remark", salt="s", value="v")
    assert first_fault().what == "it has a private text remark that it does not tell of."


def test_a_text_erased_by_a_recorded_act_is_right(drawer: Tool, owner: User) -> None:
    erase_private(actor=owner, subject=drawer)
    assert check_ledger().is_right


def test_a_text_erased_without_an_act_is_named(drawer: Tool) -> None:
    other = Entry.objects.get(number=9)
    PrivateText.objects.update(salt=None, value=None, erased_by=other)  # the triggers allow as much
    assert first_fault().what == "its private text remark was erased without an entry that says so."


def test_missing_triggers_are_named(drawer: Tool) -> None:
    connection.check_constraints()
    triggers.remove(connection)
    assert "trigger ledger_entry" in str(first_fault())


def test_a_copy_outside_that_can_not_be_read_is_named(drawer: Tool) -> None:
    heads.heads_path().write_text("{")
    assert "can't be understood" in str(first_fault())


def test_a_copy_outside_that_lags_is_no_fault_but_said(drawer: Tool) -> None:
    heads.heads_path().unlink()
    result = check_ledger()
    assert result.is_right
    assert "entries 1 to 15 could be cut off" in result.notices[0]


def test_a_check_goes_on_where_it_stopped(drawer: Tool, bench: User) -> None:
    reached = check_ledger().reached
    look(bench, drawer, 13)
    seen: list[Progress] = []
    assert check_ledger(resume_from=reached, progress=seen.append).entries == 16
    assert [progress.done for progress in seen] == [16]


def test_it_does_not_go_on_from_an_entry_that_was_changed(drawer: Tool) -> None:
    reached = check_ledger().reached
    behind_the_back("UPDATE ledger_entry SET actor_number = 4 WHERE number = 15")
    fault = check_ledger(resume_from=reached).faults[0]
    assert (fault.number, fault.what) == (15, "it is not as an earlier check found it.")


def test_it_does_not_go_on_from_an_entry_that_is_gone(drawer: Tool) -> None:
    fault = check_ledger(resume_from={"home": Checkpoint(16, "0" * 64)}).faults[0]
    assert "now it is missing" in fault.what


def test_checks_of_the_apps_are_run(drawer: Tool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checking.consistency, "_checks", {})

    def drawer_is_tidy() -> Iterator[str]:
        yield "The drawer is in a mess."

    checking.register_consistency_check("drawer", drawer_is_tidy)
    assert str(first_fault()) == "The drawer is in a mess."


def test_rows_that_can_not_be_read_are_a_fault_and_no_error_of_the_program(
    drawer: Tool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(checking.consistency, "_checks", {})

    def drawer_is_dark() -> Iterator[str]:
        yield canonical(object())

    checking.register_consistency_check("drawer", drawer_is_dark)
    assert "Rows can't be compared with what was recorded of them, in drawer: " in str(first_fault())


def test_a_changeable_row_that_was_changed_without_a_note_is_named(drawer: Tool, bench: User) -> None:
    drawer.keeper = "Ada"
    save_noted(actor=bench, verb=verbs.KEPT, instance=drawer)
    assert list(noted_rows_that_disagree(Tool)) == []
    Tool.objects.update(bore=1, keeper="Bob")
    assert list(noted_rows_that_disagree(Tool)) == [
        f"bore of drawer.tool:{drawer.pk} is 1000000, the ledger says 24500000.",
        f"keeper of drawer.tool:{drawer.pk} is 'Bob', the ledger says 'Ada'.",
    ]


@pytest.mark.parametrize("key", [-1, None])
def test_a_changeable_row_that_was_never_noted_is_named(drawer: Tool, key: int | None) -> None:
    stray = Tool.objects.create(pk=key, mark="T9")
    assert list(noted_rows_that_disagree(Tool)) == [f"drawer.tool:{stray.pk} is in no entry of the ledger."]
