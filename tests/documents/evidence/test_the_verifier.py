"""The verifier: it alone says yes to a package as it was taken, and no to whatever was changed in it."""

import importlib.util
import io
import json
import subprocess
import zipfile
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.documents.evidence import taking
from shop.ledger.models import Entry, KeyReason, SealingKey
from shop.ledger.services import replace_key, seal_ledger
from tests.assemblies import bench
from tests.documents.evidence.stranger import (
    ask,
    enter,
    files_in,
    forged,
    lines_in,
    packed,
    packed_anew,
    with_lines,
)
from tests.documents.evidence.tree import path_of, root_of
from tests.world import World


@pytest.fixture
def package(world: World) -> bytes:
    """All that is known of a shipped assembly, people and customers included."""
    enter(world)
    return packed(world.auditor, bench.shipped(world), people=True, customers=True)


def _verifier() -> ModuleType:
    spec = importlib.util.spec_from_file_location("verify", Path(taking.__file__).with_name("verify.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


VERIFY = _verifier()


def says_no(package: bytes) -> str:
    """What the verifier, asked in this process, has against the package."""
    with pytest.raises((VERIFY.DoesNotHold, *VERIFY.NOT_UNDERSTOOD)) as fault:
        VERIFY.verify(io.BytesIO(package))
    return str(fault.value)


def test_it_imports_nothing_of_the_program() -> None:
    source = taking.verifier().decode()
    assert "import shop" not in source
    assert "from shop" not in source
    assert "django" not in source


@settings(max_examples=300)
@given(data=st.data())
def test_one_changed_byte_is_found_wherever_it_is(package: bytes, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(package) - 1))
    other = data.draw(st.integers(1, 255))
    changed = bytearray(package)
    changed[at] ^= other
    says_no(bytes(changed))


@pytest.mark.parametrize("cut", [1, 21, 22, 23, 1000])
def test_a_package_that_breaks_off_is_no_package(package: bytes, cut: int) -> None:
    says_no(package[:-cut])


def test_what_is_put_before_behind_or_between_is_found(package: bytes) -> None:
    says_no(b"x" + package)
    says_no(package + b"x")
    says_no(b"")
    middle = package.index(b"PK\x01\x02")
    says_no(package[:middle] + b"x" + package[middle:])


def test_a_program_that_packs_it_anew_is_named_as_what_it_is(package: bytes, tmp_path: Path) -> None:
    anew = tmp_path / "anew.zip"
    with zipfile.ZipFile(anew, "w", zipfile.ZIP_DEFLATED) as container:
        for name, content in files_in(package).items():
            container.writestr(name, content)
    answer = ask(tmp_path, anew.read_bytes())
    assert (answer.code, answer.words.split(":")[0]) == (1, "No")
    assert "packed anew by another program" in answer.words


def test_a_file_that_is_missing_or_was_added_is_named(package: bytes) -> None:
    files = files_in(package)
    del files["record.pdf"]
    assert says_no(packed_anew(files)) == "record.pdf is missing."
    files = files_in(package) | {"another.txt": b"hello"}
    assert says_no(packed_anew(files)) == "another.txt is not in the manifest."


def test_a_file_that_was_changed_is_named(package: bytes) -> None:
    files = files_in(package) | {"README.txt": b"Trust me.\n"}
    assert says_no(packed_anew(files)) == "README.txt was changed."


def test_a_manifest_that_somebody_else_wrote_is_not_signed(package: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        files["README.txt"] = b"Trust me.\n"

    files = files_in(forged(package, change))
    files["manifest.sig"] = files_in(package)["manifest.sig"]
    assert "manifest.sig does not fit" in says_no(packed_anew(files))


def _entry_of(lines: list[dict[str, Any]], verb: str) -> dict[str, Any]:
    return next(line for line in lines if json.loads(line["hashed"])["verb"] == verb)


def _change_hash_too(lines: list[dict[str, Any]]) -> None:
    line = _entry_of(lines, "assemblies.measured")
    line["hashed"] = line["hashed"].replace('"version":1', '"version":9')
    line["hash"] = VERIFY.sha256(line["hashed"])


def _change_record(lines: list[dict[str, Any]]) -> None:
    _entry_of(lines, "assemblies.cut")["record"]["length"] += 1


def _change_name(lines: list[dict[str, Any]]) -> None:
    _entry_of(lines, "people.saved")["private"]["name"]["value"] = "Somebody Else"


def _shift_salt(lines: list[dict[str, Any]]) -> None:
    told = _entry_of(lines, "people.saved")["private"]["name"]
    told["salt"], told["value"] = told["salt"] + told["value"][0], told["value"][1:]


def _pretend_erased(lines: list[dict[str, Any]]) -> None:
    _entry_of(lines, "people.saved")["private"]["name"] = {"erased_by": "home 999"}


def _leave_text_out(lines: list[dict[str, Any]]) -> None:
    del _entry_of(lines, "people.saved")["private"]["name"]


def _change_path(lines: list[dict[str, Any]]) -> None:
    lines[0]["path"][0] = "0" * 64


def _shorten_path(lines: list[dict[str, Any]]) -> None:
    lines[0]["path"].pop()


def _swap(lines: list[dict[str, Any]]) -> None:
    lines[0], lines[1] = lines[1], lines[0]


def _nothing(lines: list[dict[str, Any]]) -> None:
    lines.clear()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (_change_hash_too, "is not under the seal"),
        (_change_record, "its record says something else than the entry"),
        (_change_name, "its text name was changed"),
        (_shift_salt, "its text name was changed"),
        (_pretend_erased, "no entry says that its text name was erased"),
        (_leave_text_out, "does not say where its texts are"),
        (_change_path, "is not under the seal"),
        (_shorten_path, "is not under the seal"),
        (_swap, "is not in its order"),
        (_nothing, "holds no entry"),
    ],
)
def test_not_even_who_has_the_key_can_change_what_was_sealed(
    package: bytes, change: Callable[[list[dict[str, Any]]], None], words: str
) -> None:
    assert words in says_no(with_lines(package, change))


def test_a_changed_entry_no_longer_fits_its_hash(package: bytes) -> None:
    def change(lines: list[dict[str, Any]]) -> None:
        line = _entry_of(lines, "assemblies.cut")
        line["hashed"] = line["hashed"].replace('"actor_number":3', '"actor_number":4')

    assert "its hash does not fit" in says_no(with_lines(package, change))


def test_a_seal_of_another_key_is_not_taken(package: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        seal = json.loads(files["signatures/seal-home.json"])
        seal["sealed_at"] = "2020-01-01T00:00:00.000000Z"
        files["signatures/seal-home.json"] = VERIFY.canonical(seal, "").encode()

    assert "seal-home.sig does not fit" in says_no(forged(package, change))


def test_json_in_another_form_does_not_count(package: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        files["keys.json"] = files["keys.json"] + b" "

    assert "RFC 8785" in says_no(forged(package, change))


def test_the_paths_are_those_of_the_rfc_s_own_definition(world: World, package: bytes) -> None:
    seal = json.loads(files_in(package)["signatures/seal-home.json"])
    hashes = Entry.objects.filter(number__lte=seal["last"]).order_by("number").values_list("hash", flat=True)
    leaves = [bytes.fromhex(one) for one in hashes]
    assert root_of(leaves).hex() == seal["root"]
    for line in lines_in(package):
        index = json.loads(line["hashed"])["number"] - 1
        assert [node.hex() for node in path_of(index, leaves)] == line["path"]


@given(size=st.integers(1, 70), data=st.data())
def test_the_verifier_takes_each_path_of_the_rfc_and_no_other(size: int, data: st.DataObject) -> None:
    leaves = [bytes([number]) * 32 for number in range(size)]
    index = data.draw(st.integers(0, size - 1))
    path, root = path_of(index, leaves), root_of(leaves)
    assert VERIFY.is_included(root, size, index, leaves[index], path)
    other = data.draw(st.integers(0, size - 1).filter(lambda one: one != index)) if size > 1 else size
    assert not VERIFY.is_included(root, size, other, leaves[index], path)
    assert not VERIFY.is_included(root, size, index, leaves[index], [*path, root])


def test_without_cryptography_it_says_so_and_openssl_answers(package: bytes, tmp_path: Path) -> None:
    answer = ask(tmp_path, package, flags=("-I", "-S"))
    assert answer.code == 2
    assert answer.words.startswith("So far yes, but no signature is checked yet.")
    commands = [line.strip() for line in answer.words.splitlines() if line.startswith("  openssl")]
    assert len(commands) == 2  # the manifest's signature and the seal's
    for name, content in files_in(package).items():
        path = tmp_path / "unpacked" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    for command in commands:
        done = subprocess.run(
            command.split(), cwd=tmp_path / "unpacked", capture_output=True, text=True, check=True
        )
        assert done.stdout.strip() == "Signature Verified Successfully"
    (tmp_path / "unpacked" / "manifest.json").write_bytes(b"{}")
    [manifest] = [command for command in commands if "manifest" in command]
    changed = subprocess.run(
        manifest.split(), cwd=tmp_path / "unpacked", capture_output=True, text=True, check=False
    )
    assert changed.returncode != 0


def test_a_key_in_turn_is_vouched_for_and_can_be_compared(world: World, tmp_path: Path) -> None:
    assembly = bench.shipped(world)
    seal_ledger(actor=world.owner)
    replace_key(actor=world.owner, reason=KeyReason.ROTATED)
    first, second = SealingKey.objects.order_by("number")
    # Under a seal of the second key, which the first one vouches for.
    bench.plan(world)
    seal_ledger(actor=world.owner)
    package = packed(world.auditor, assembly)
    assert ask(tmp_path, package, "--key", first.fingerprint).code == 0
    assert ask(tmp_path, package, "--key", f"{second.fingerprint[:8]} {second.fingerprint[8:]}").code == 0
    other = ask(tmp_path, package, "--key", "0123456789abcdef")
    assert (other.code, "has the fingerprint" in other.words) == (1, True)


def test_a_key_that_was_lost_is_no_word_for_the_next(world: World, tmp_path: Path) -> None:
    assembly = bench.shipped(world)
    seal_ledger(actor=world.owner)
    replace_key(actor=world.owner, reason=KeyReason.EXPOSED)
    first, second = SealingKey.objects.order_by("number")
    bench.plan(world)
    seal_ledger(actor=world.owner)
    package = packed(world.auditor, assembly)
    assert ask(tmp_path, package, "--key", second.fingerprint).code == 0
    asked = ask(tmp_path, package, "--key", first.fingerprint)
    assert asked.code == 1
    assert "does not follow" in asked.words


def test_what_is_no_package_is_said_in_words(tmp_path: Path, package: bytes) -> None:
    ask(tmp_path, package)
    for content in (b"", b"PK", b"a" * 500):
        answer = ask(tmp_path, content)
        assert (answer.code, answer.words.split(":")[0]) == (1, "No")
