"""Sealing: what a seal is over, who signs it, what happens to the key, and each seal in the check."""

import io
from datetime import timedelta
from pathlib import Path
from threading import Event

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone
from pytest_django import DjangoCaptureOnCommitCallbacks

from shop.ledger.canonical import canonical
from shop.ledger.checking import Fault, check_ledger
from shop.ledger.merkle import Frontier
from shop.ledger.models import Chain, Entry, KeyReason, LedgerSeal, SealingKey
from shop.ledger.refusals import (
    ChainDamaged,
    KeyIsHere,
    KeyLost,
    KeyUnreadable,
    NoKeyYet,
    NothingToSeal,
    SealDamaged,
    SealedMeanwhile,
)
from shop.ledger.sealing import daily, keys, statements
from shop.ledger.services import newest_key, replace_key, seal_ledger, write_record
from shop.ledger.services import sealing as services
from shop.ledger.verbs import KEY_MADE
from shop.people.models import User
from tests.ledger.drawer import behind_the_back, fill_drawer, look
from tests.ledger.testapp.models import Tool

pytestmark = pytest.mark.django_db


@pytest.fixture
def drawer(bench: User, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks) -> Tool:
    with django_capture_on_commit_callbacks(execute=True):
        return fill_drawer(bench)


@pytest.fixture
def sealed(drawer: Tool, auditor: User) -> LedgerSeal:
    """The drawer's 15 entries, 16 that made the key; sealed by entry 17."""
    (seal,) = seal_ledger(actor=auditor)
    return seal


def root_over(count: int) -> str:
    tree = Frontier()
    for digest in Entry.objects.order_by("number").values_list("hash", flat=True)[:count]:
        tree.add(bytes.fromhex(digest))
    return tree.root().hex()


def first_fault() -> Fault:
    result = check_ledger()
    assert not result.is_right
    return result.faults[0]


def test_the_first_seal_is_over_all_that_was_recorded(sealed: LedgerSeal, auditor: User) -> None:
    assert (sealed.first, sealed.last, sealed.entry.number) == (1, 16, 17)
    assert sealed.root == root_over(16)
    assert sealed.actor_number == auditor.number
    assert sealed.plain.is_signed()
    result = check_ledger()
    assert (result.is_right, result.entries, result.seals) == (True, 17, 1)


def test_the_next_seal_goes_on_behind_it(
    sealed: LedgerSeal, drawer: Tool, bench: User, auditor: User
) -> None:
    look(bench, drawer, 13)
    (seal,) = seal_ledger(actor=auditor)
    assert (seal.first, seal.last, seal.root) == (17, 18, root_over(18))
    assert check_ledger().seals == 2


def test_the_next_seal_does_not_take_in_what_was_changed_before(
    sealed: LedgerSeal, drawer: Tool, bench: User, auditor: User
) -> None:
    look(bench, drawer, 13)
    right = root_over(18)
    behind_the_back("UPDATE ledger_entry SET hash = %s WHERE number = 3", "0" * 64)
    (seal,) = seal_ledger(actor=auditor)
    assert seal.root == right != root_over(18)


def test_a_seal_alone_is_no_reason_for_the_next(sealed: LedgerSeal, auditor: User) -> None:
    with pytest.raises(NothingToSeal):
        seal_ledger(actor=auditor)


def test_an_empty_ledger_is_not_sealed(auditor: User) -> None:
    with pytest.raises(NothingToSeal):
        seal_ledger(actor=auditor)
    assert not SealingKey.objects.exists()


def test_what_was_sealed_by_somebody_else_meanwhile_is_refused(
    drawer: Tool, auditor: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    signing = keys.sign

    def sign_slowly(public_key: str, statement: str) -> str:
        monkeypatch.setattr(keys, "sign", signing)
        seal_ledger(actor=auditor)
        return signing(public_key, statement)

    monkeypatch.setattr(keys, "sign", sign_slowly)
    with pytest.raises(SealedMeanwhile):
        seal_ledger(actor=auditor)
    assert LedgerSeal.objects.count() == 1


def test_a_chain_with_a_gap_is_not_sealed(drawer: Tool, auditor: User) -> None:
    behind_the_back("UPDATE ledger_entry SET number = 99 WHERE number = 15")
    with pytest.raises(ChainDamaged, match="Entry 15 of the chain home"):
        seal_ledger(actor=auditor)


def test_an_entry_without_a_hash_is_not_sealed(drawer: Tool, auditor: User) -> None:
    behind_the_back("UPDATE ledger_entry SET hash = 'none' WHERE number = 4")
    with pytest.raises(ChainDamaged, match="Entry 4 of the chain home"):
        seal_ledger(actor=auditor)


@pytest.mark.parametrize(
    "change",
    [
        "root = '{other}'",
        "frontier = '[\"{other}\"]'",
        "frontier = '[]'",
        "frontier = '[\"no root\"]'",
        "frontier = '7'",
        "signature = '{other}{other}'",
        "last = 17",
    ],
)
def test_nothing_goes_on_from_a_seal_that_was_changed(
    sealed: LedgerSeal, drawer: Tool, bench: User, auditor: User, change: str
) -> None:
    look(bench, drawer, 13)
    behind_the_back(f"UPDATE ledger_ledgerseal SET {change.format(other='ab' * 32)}".replace("%", "%%"))
    with pytest.raises(SealDamaged):
        seal_ledger(actor=auditor)


# The key.


def test_only_the_server_can_read_the_key(sealed: LedgerSeal, data_folder: Path) -> None:
    (file,) = (data_folder / "sealing-keys").iterdir()
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700


def test_a_key_that_is_replaced_in_turn_signs_that_the_next_follows(
    sealed: LedgerSeal, owner: User, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        new = replace_key(actor=owner, reason=KeyReason.ROTATED)
    assert new.number == 2
    assert new.known.is_vouched_for_by(sealed.key.public_key)
    assert not keys.is_here(sealed.key.public_key)
    (seal,) = seal_ledger(actor=owner)
    assert seal.key == new
    assert check_ledger().seals == 2


@pytest.mark.parametrize("reason", [KeyReason.LOST, KeyReason.EXPOSED])
def test_nobody_vouches_for_a_key_in_the_place_of_one_that_is_worth_nothing(
    sealed: LedgerSeal, owner: User, reason: KeyReason
) -> None:
    if reason == KeyReason.LOST:
        keys.forget(sealed.key.public_key)
    new = replace_key(actor=owner, reason=reason)
    assert (new.vouched, new.reason) == ("", reason)
    seal_ledger(actor=owner)
    assert check_ledger().is_right


def test_the_ledger_is_not_sealed_without_its_key(sealed: LedgerSeal, drawer: Tool, bench: User) -> None:
    look(bench, drawer, 13)
    keys.forget(sealed.key.public_key)
    with pytest.raises(KeyLost, match="Bring the file back"):
        seal_ledger(actor=bench)
    with pytest.raises(KeyLost):
        replace_key(actor=bench, reason=KeyReason.ROTATED)
    assert newest_key() == sealed.key


def test_a_key_that_is_here_is_not_lost(sealed: LedgerSeal, owner: User) -> None:
    with pytest.raises(KeyIsHere):
        replace_key(actor=owner, reason=KeyReason.LOST)


def test_there_is_nothing_to_replace_before_the_first_seal(owner: User) -> None:
    with pytest.raises(NoKeyYet):
        replace_key(actor=owner, reason=KeyReason.LOST)


def test_a_key_that_was_replaced_meanwhile_is_refused(
    sealed: LedgerSeal, owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = [sealed.key, None]
    monkeypatch.setattr(services, "newest_key", lambda: found.pop(0))
    with pytest.raises(SealedMeanwhile):
        replace_key(actor=owner, reason=KeyReason.EXPOSED)


def test_a_file_that_holds_no_key_or_another_is_refused(
    sealed: LedgerSeal, drawer: Tool, bench: User
) -> None:
    look(bench, drawer, 13)
    path = keys.key_path(sealed.key.public_key)
    other = keys.make_key()
    path.write_bytes(keys.key_path(other).read_bytes())
    with pytest.raises(KeyUnreadable, match="it holds another key"):
        seal_ledger(actor=bench)
    path.write_text("coffee")
    with pytest.raises(KeyUnreadable):
        seal_ledger(actor=bench)


def test_a_signature_is_over_what_it_says_and_nothing_else(sealed: LedgerSeal) -> None:
    public = sealed.key.public_key
    vouching = statements.key_statement(public, 2, "ab" * 32)
    assert statements.is_signed(public, vouching, keys.sign(public, vouching))
    assert not statements.is_signed(public, sealed.plain.statement, keys.sign(public, vouching))
    assert not statements.is_signed(public, vouching, sealed.signature)
    assert not statements.is_signed("no key", vouching, sealed.signature)
    assert not statements.is_signed(public, sealed.plain.statement, sealed.signature.upper())


# What is changed with knowledge of how the ledger is made, but without the key.


def forged(number: int, **columns: object) -> None:
    """Change an entry and make all hashes anew that depend on it, and the head: as a careful forger does."""
    rows = list(Entry.objects.filter(number__gte=number).order_by("number"))
    previous = rows[0].previous
    for row in rows:
        for name, value in columns.items() if row.number == number else ():
            setattr(row, name, value)
        row.previous, previous = previous, ""
        previous = row.hash = row.compute_hash("home")
        behind_the_back(
            "UPDATE ledger_entry SET actor_number = %s, facts = %s, previous = %s, hash = %s WHERE id = %s",
            *(row.actor_number, row.facts, row.previous, row.hash, row.pk),
        )
    Chain.objects.update(head=previous)


def test_a_chain_made_anew_under_a_seal_is_named_by_the_seal(sealed: LedgerSeal) -> None:
    forged(7, actor_number=4)
    fault = first_fault()
    assert (fault.chain, fault.number) == ("home", 17)
    assert "has another root than they have now" in fault.what


def test_a_seal_made_anew_without_the_key_is_named(sealed: LedgerSeal) -> None:
    forged(7, actor_number=4)
    tree = Frontier()
    for digest in Entry.objects.order_by("number").values_list("hash", flat=True)[:16]:
        tree.add(bytes.fromhex(digest))
    frontier = [root.hex() for root in tree.roots]
    told = {**sealed.entry.told, "root": tree.root().hex(), "frontier": frontier}
    behind_the_back(
        "UPDATE ledger_ledgerseal SET root = %s, frontier = %s", told["root"], canonical(frontier)
    )
    forged(17, facts=canonical(told))
    assert first_fault().what == "the seal over entries 1 to 16 of home is not signed by key 1."


def test_a_seal_that_leaves_out_the_one_before_is_named(
    sealed: LedgerSeal, drawer: Tool, bench: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    look(bench, drawer, 13)
    monkeypatch.setattr(services, "newest_seal", lambda _: None)
    seal_ledger(actor=bench)
    assert "does not go on from the one before" in first_fault().what


def test_a_seal_by_a_key_that_was_replaced_is_named(
    sealed: LedgerSeal, owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace_key(actor=owner, reason=KeyReason.EXPOSED)
    monkeypatch.setattr(services, "newest_key", lambda: sealed.key)
    seal_ledger(actor=owner)
    assert "signed by key 1, which was not the key of its day" in first_fault().what


def test_a_key_that_the_one_before_did_not_sign_is_named(
    sealed: LedgerSeal, owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(services, "key_statement", lambda *_: "something else")
    replace_key(actor=owner, reason=KeyReason.ROTATED)
    assert first_fault().what == "it made key 2, which key 1 did not sign."


def test_a_key_with_another_number_is_named(sealed: LedgerSeal, owner: User) -> None:
    fifth = SealingKey(number=5, public_key=keys.make_key(), reason=KeyReason.EXPOSED)
    write_record(actor=owner, verb=KEY_MADE, record=fifth)
    assert first_fault().what == "it made key 5, but 1 keys were made before."


def test_a_seal_that_can_not_be_read_is_named(sealed: LedgerSeal) -> None:
    if connection.vendor == "postgresql":  # which refuses text in a column of times
        behind_the_back("ALTER TABLE ledger_ledgerseal ALTER sealed_at TYPE text USING sealed_at::text")
    behind_the_back("UPDATE ledger_ledgerseal SET sealed_at = 'noon'")
    assert "can't be read" in first_fault().what


def test_a_check_that_goes_on_compares_the_seals_that_it_passes_over(
    sealed: LedgerSeal, drawer: Tool, bench: User
) -> None:
    reached = check_ledger().reached
    look(bench, drawer, 13)
    assert check_ledger(resume_from=reached).seals == 1
    behind_the_back("UPDATE ledger_entry SET hash = %s WHERE number = 3", "0" * 64)
    assert "has another root" in check_ledger(resume_from=reached).faults[0].what
    behind_the_back("UPDATE ledger_entry SET hash = 'none' WHERE number = 3")
    fault = check_ledger(resume_from=reached).faults[0]
    assert (fault.number, fault.what) == (3, "it is missing or has no hash.")


# Every day.


def test_the_server_seals_once_a_day(drawer: Tool, bench: User, monkeypatch: pytest.MonkeyPatch) -> None:
    (seal,) = daily.seal_if_due()
    assert seal.actor_number == 0
    look(bench, drawer, 13)
    assert daily.seal_if_due() == []
    now = timezone.now()
    monkeypatch.setattr(daily.timezone, "now", lambda: now + timedelta(days=1))
    (second,) = daily.seal_if_due()
    assert second.first == 17
    assert daily.seal_if_due() == []


def test_a_day_on_which_nothing_was_recorded_needs_no_seal(
    sealed: LedgerSeal, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = timezone.now()
    monkeypatch.setattr(daily.timezone, "now", lambda: now + timedelta(days=3))
    assert daily.seal_if_due() == []


def test_the_server_goes_on_when_it_can_not_seal(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    stop = Event()

    def refuse() -> list[LedgerSeal]:
        stop.set()
        raise KeyLost(path="there")

    monkeypatch.setattr(daily, "seal_if_due", refuse)
    monkeypatch.setattr(connection, "close", lambda: None)  # the test's own
    daily.seal_daily(stop)
    assert (
        "The ledger was not sealed. The private key that signs seals is not where it belongs" in caplog.text
    )


def seal(*options: str) -> str:
    out = io.StringIO()
    call_command("seal", *options, stdout=out)
    return out.getvalue()


def test_the_command_seals_and_writes_the_file(drawer: Tool, tmp_path: Path) -> None:
    file = tmp_path / "seals.json"
    said = seal("--export", str(file))
    assert said.startswith("Made the seal over entries 1 to 16 of home, signed by key 1.\nIts root is ")
    assert file.exists()
    assert seal().startswith("Nothing was recorded since the newest seal.")
    with pytest.raises(CommandError, match="already there"):
        seal("--export", str(file))


def test_the_command_says_what_keeps_it_from_sealing(sealed: LedgerSeal, drawer: Tool, bench: User) -> None:
    look(bench, drawer, 13)
    keys.forget(sealed.key.public_key)
    with pytest.raises(CommandError, match="not where it belongs"):
        seal()
