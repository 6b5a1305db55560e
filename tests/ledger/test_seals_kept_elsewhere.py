"""A seal that was exported and lies elsewhere shows what nothing on the machine can show any more."""

import io
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction
from pytest_django import DjangoCaptureOnCommitCallbacks

from shop.ledger import heads, triggers
from shop.ledger.canonical import GENESIS
from shop.ledger.checking import check_ledger
from shop.ledger.models import Chain, Entry, KeyReason, LedgerSeal, SealingKey
from shop.ledger.refusals import NotASealFile, NotSealedYet
from shop.ledger.sealing import files, keys, proofs
from shop.ledger.services import note, replace_key, seal_ledger
from shop.ledger.services.sealing import newest_seal
from shop.ledger.verbs import RESTORED
from shop.people.models import User
from tests.ledger.drawer import fill_drawer, look
from tests.ledger.test_sealing import forged
from tests.ledger.testapp.models import Tool

pytestmark = pytest.mark.django_db

SIZES = (16, 18, 24)  # how many entries each of the three seals is over


@pytest.fixture
def exported(
    bench: User, tmp_path: Path, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> Path:
    """Three seals over a drawer, of which the third is signed by a second key, in a file."""
    with django_capture_on_commit_callbacks(execute=True):
        drawer = fill_drawer(bench)
        seal_ledger(actor=bench)
        look(bench, drawer, 13)
        seal_ledger(actor=bench)
        for attempt in range(14, 18):
            look(bench, drawer, attempt)
        replace_key(actor=bench, reason=KeyReason.ROTATED)
        seal_ledger(actor=bench)
    assert tuple(LedgerSeal.objects.order_by("last").values_list("last", flat=True)) == SIZES
    return write(tmp_path, files.export_seals())


def write(folder: Path, file: files.SealFile) -> Path:
    path = folder / "seals.json"
    path.write_text(file.text())
    return path


def fault(path: Path) -> str:
    result = check_ledger(kept=files.read_seals(path))
    return str(result.faults[0]) if result.faults else ""


def cut_back_to(length: int) -> None:
    """Put the whole ledger back to an earlier state: rows, head, and the copy of the head outside."""
    connection.check_constraints()
    triggers.remove(connection)
    gone = "(SELECT id FROM ledger_entry WHERE number > %s)"
    with connection.cursor() as cursor:
        for table in (
            "drawer_wear",
            "drawer_loss",
            "ledger_ledgerseal",
            "ledger_sealingkey",
            "ledger_privatetext",
        ):
            cursor.execute(f"DELETE FROM {table} WHERE entry_id IN {gone}", [length])
        cursor.execute(f"DELETE FROM ledger_privatetext WHERE entry_id IN {gone}", [length])
        cursor.execute("DELETE FROM ledger_entry WHERE number > %s", [length])
    triggers.install(connection)
    head = Entry.objects.filter(number=length).values_list("hash", flat=True).first() or GENESIS
    Chain.objects.update(length=length, head=head)
    heads.replace_copy({"home": heads.Head(length, head)} if length else {})


def test_what_was_sealed_still_holds(exported: Path, bench: User) -> None:
    assert fault(exported) == ""
    out = io.StringIO()
    call_command("check_ledger", seal=exported, stdout=out)
    said = out.getvalue()
    assert said.count("Yes: the seal of ") == 3
    assert "Each of the 3 seals in the ledger holds." in said


@pytest.mark.parametrize("which", range(3))
def test_one_seal_is_enough(exported: Path, tmp_path: Path, which: int) -> None:
    seal = LedgerSeal.objects.order_by("last")[which]
    file = files.export_seal(seal)
    assert len(file.keys) == (2 if which == 2 else 1)
    assert fault(write(tmp_path, file)) == ""


def test_the_line_in_a_printed_square_is_enough(exported: Path, tmp_path: Path) -> None:
    line = files.one_line(LedgerSeal.objects.latest("pk"))
    assert len(line) < 700, "a square of this size still prints well"
    (tmp_path / "square.txt").write_text(line)
    assert fault(tmp_path / "square.txt") == ""


@pytest.mark.parametrize("length", range(25))
def test_an_end_cut_off_is_found_wherever_it_was_cut(exported: Path, length: int) -> None:
    everything = files.read_seals(exported)
    cut_back_to(length)
    assert check_ledger().is_right, "nothing on the machine tells of it any more"
    for seal in everything.seals:
        result = check_ledger(kept=replace(everything, seals=(seal,), proofs={}))
        assert result.is_right == (seal.last <= length)
        if length < 16:  # where the first key was made
            assert "is signed with a key that this ledger does not know" in result.faults[0].what
        elif seal.last > length:
            assert (result.faults[0].chain, result.faults[0].number) == ("home", length + 1)
            assert result.faults[0].what.endswith(
                f"covers entries {length + 1} to {seal.last}, which are gone."
            )


def test_the_command_says_that_the_newest_entries_are_gone(exported: Path) -> None:
    cut_back_to(20)
    with pytest.raises(
        CommandError, match=r"entry 21: the seal of .* covers entries 21 to 24, which are gone"
    ):
        call_command("check_ledger", seal=exported, stdout=io.StringIO())


@pytest.mark.parametrize("number", [1, 7, 15])
def test_a_ledger_made_anew_with_its_seals_is_found(exported: Path, bench: User, number: int) -> None:
    cut_back_to(15)
    forged(number, actor_number=99)
    heads.replace_copy({})
    seal_ledger(actor=bench)
    assert check_ledger().is_right
    assert "is signed with a key that this ledger does not know" in fault(exported)


def test_a_ledger_made_anew_with_the_very_key_is_found(bench: User, tmp_path: Path) -> None:
    with transaction.atomic():
        drawer = fill_drawer(bench)
    (seal,) = seal_ledger(actor=bench)
    path = write(tmp_path, files.export_seals())
    cut_back_to(16)
    forged(7, actor_number=99)
    heads.replace_copy({})
    assert keys.is_here(seal.key.public_key)
    seal_ledger(actor=bench)
    look(bench, drawer, 13)
    assert check_ledger().is_right
    assert "one of the entries 1 to 16 was changed, taken out or put in" in fault(path)


def test_the_change_lies_behind_the_seals_that_still_hold(exported: Path, tmp_path: Path) -> None:
    kept = files.read_seals(exported)
    cut_back_to(24)
    forged(21, actor_number=99)
    heads.replace_copy({})
    (sentence,) = check_ledger(kept=kept).faults
    assert "one of the entries 19 to 24 was changed, taken out or put in" in sentence.what


def test_a_restored_backup_explains_what_is_missing(exported: Path, bench: User) -> None:
    lost = {"chain": "home", "first": 21, "last": 25, "hash": Entry.objects.get(number=25).hash}
    cut_back_to(20)
    explained = " The ledger tells that a restored backup lost entries 21 to 25 of the chain home."
    with transaction.atomic():
        note(actor=bench, verb=RESTORED, subject=Chain.objects.get(), facts={"lost": [lost]})
    assert fault(exported).endswith(f"covers entries 22 to 24, which are gone.{explained}")
    for attempt in range(18, 21):
        look(bench, Tool.objects.get(), attempt)
    assert fault(exported).endswith(f"was changed, taken out or put in.{explained}")


# The file by itself.


def changed(path: Path, change: Callable[[dict[str, Any]], object]) -> Path:
    content = json.loads(path.read_text())
    change(content)
    path.write_text(json.dumps(content))
    return path


@pytest.mark.parametrize("field", ["chain", "first", "last", "root", "sealed_at", "signature"])
def test_each_change_of_a_seal_in_the_file_is_named(exported: Path, field: str) -> None:
    def change(content: dict[str, Any]) -> None:
        value = content["seals"][1][field]
        digit = "1" if str(value).startswith("0") else "0"
        content["seals"][1][field] = value + 1 if isinstance(value, int) else digit + value[1:]

    assert "does not fit" in fault(changed(exported, change))


def test_a_key_that_did_not_follow_is_named(exported: Path) -> None:
    said = fault(changed(exported, lambda content: content["keys"][1].update(number=3)))
    assert "did not sign that" in said


def test_a_key_that_is_not_in_the_file_is_named(exported: Path) -> None:
    said = fault(changed(exported, lambda content: content["keys"].pop(0)))
    assert said.startswith("The file does not hold the key of the seal of ")


def test_a_proof_that_does_not_lead_on_is_named(exported: Path) -> None:
    said = fault(changed(exported, lambda content: content["seals"][1]["continues"].pop()))
    assert said.startswith("The file does not show that the seal of ")


def test_a_chain_that_is_not_here_is_named(exported: Path, tmp_path: Path) -> None:
    newest = SealingKey.objects.latest("pk").public_key
    van = replace(files.read_seals(exported).seals[0], chain="van", key=newest)
    van = replace(van, signature=keys.sign(newest, van.statement))
    file = files.SealFile(files.read_seals(exported).keys, (van,), {})
    assert "is over a chain that is not here" in fault(write(tmp_path, file))


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        ("{", "it is not understood"),
        ("[]", "it does not say that it does"),
        ('{"format": "another"}', "it does not say that it does"),
        (json.dumps({"format": files.FORMAT}), "it is not understood"),
        (json.dumps({"format": files.FORMAT, "keys": [], "seals": []}), "there is none in it"),
        (json.dumps({"format": files.FORMAT, "keys": [{"number": "1"}], "seals": []}), "not understood"),
    ],
)
def test_a_file_that_is_none_is_refused(tmp_path: Path, content: str, reason: str) -> None:
    (tmp_path / "seals.json").write_text(content)
    with pytest.raises(NotASealFile, match=reason):
        files.read_seals(tmp_path / "seals.json")
    with pytest.raises(CommandError, match="holds no exported seals"):
        call_command("check_ledger", seal=tmp_path / "seals.json")


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotASealFile, match="can't be read"):
        files.read_seals(tmp_path / "seals.json")


@pytest.mark.parametrize("wrong", ["ab", "G" * 64])
def test_a_root_that_is_none_is_refused(exported: Path, wrong: str) -> None:
    with pytest.raises(NotASealFile, match="root is"):
        files.read_seals(changed(exported, lambda content: content["seals"][0].update(root=wrong)))


# Entries that are shown to be under a seal.


@pytest.mark.parametrize("under", [None, *SIZES])
def test_each_entry_is_shown_to_be_under_a_seal(exported: Path, under: int | None) -> None:
    home = Chain.objects.get()
    seal = LedgerSeal.objects.get(last=under) if under else None
    for number in range(1, (under or 24) + 1):
        shown = proofs.prove_entries(home, [number], seal=seal)
        (entry,) = shown.entries
        assert entry.hash == Entry.objects.get(number=number).hash
        assert shown.seal.last == (under or 24)
        assert proofs.is_under(entry, shown.seal)
        assert not proofs.is_under(replace(entry, hash="0" * 64), shown.seal)
        assert not proofs.is_under(entry, replace(shown.seal, sealed_at="2020"))
    together = proofs.prove_entries(home, range(1, (under or 24) + 1), seal=seal)
    assert len(together.entries) == (under or 24)
    assert all(proofs.is_under(entry, together.seal) for entry in together.entries)


def test_an_entry_that_is_not_sealed_yet_is_not_shown(exported: Path, bench: User) -> None:
    home = Chain.objects.get()
    assert newest_seal(home) is not None
    with pytest.raises(NotSealedYet):
        proofs.prove_entries(home, [3, 25])
