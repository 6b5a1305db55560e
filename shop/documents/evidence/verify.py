"""Says whether an evidence package still holds what its workshop sealed: python3 verify.py PACKAGE.zip

A plain yes, or the first thing that does not hold. It reads the ZIP alone, unpacks nothing, and asks no other
machine. It needs Python 3.8 or newer; signatures are checked where the package `cryptography` is installed,
otherwise it says how OpenSSL checks them. Exit code 0: yes. 1: no. 2: yes as far as it goes, signatures open.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import re
import struct
import sys
import zlib
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO

PACKAGE = "ferrulebook evidence package, version 1"
SEAL = "ferrulebook seal of a ledger, version 1"
NEXT_KEY = "ferrulebook next key of seals, version 1"
ALWAYS = {"README.txt", "entries.jsonl", "keys.json", "verify.py"}
UNSIGNED = "So far yes, but no signature is checked yet.\n"
HOW_TO_SIGN = """Install Python's package cryptography and ask again; or unpack the ZIP and run these in
its folder. Each has to answer: Signature Verified Successfully. Otherwise the answer is no."""
_ZIP = "the ZIP itself was changed, or packed anew by another program."
LAST = ["manifest.json", "manifest.sig"]  # they can't list themselves
PARTS = {"chain", "previous", "number", "happened_at", "recorded_at", "actor_number", "verb", "subject"}
PARTS |= {"version", "facts"}
NOT_UNDERSTOOD = (AttributeError, KeyError, TypeError, ValueError, struct.error)
BEFORE_ED25519 = bytes.fromhex("302a300506032b6570032100")  # RFC 8410, before the 32 bytes of a key


class DoesNotHold(Exception):
    """The first thing that does not hold, in words."""


def need(holds: bool, otherwise: str) -> None:
    """Go on if it holds."""
    if not holds:
        raise DoesNotHold(otherwise)


class Container:
    """The files in the ZIP, uncompressed: each of its bytes follows from their names and contents."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.names: dict[str, tuple[int, int, int]] = {}  # where each begins, its size, its CRC-32
        size = file.seek(0, 2)
        need(size >= 22, "this is no ZIP file: it is too short.")
        file.seek(size - 22)
        end = file.read(22)
        count, length, start = struct.unpack("<HLL", end[10:20])
        need(start + length + 22 == size, "the ZIP's list of files is not where its last bytes say.")
        need(end == struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, count, count, length, start, 0), _ZIP)
        file.seek(start)
        listed = file.read(length)
        at = offset = 0
        while at < length:
            need(length - at >= 46, _ZIP)
            crc, _, stored, named = struct.unpack("<LLLH", listed[at + 16 : at + 30])
            raw = listed[at + 46 : at + 46 + named]
            need(bool(re.fullmatch(rb"[A-Za-z0-9._/-]+", raw)), "the ZIP holds a file of an odd name.")
            common = struct.pack("<5H3L2H", 20, 0, 0, 0, 33, crc, stored, stored, named, 0)
            entry = b"PK\x01\x02" + struct.pack("<H", 0x0314) + common
            entry += struct.pack("<3H2L", 0, 0, 0, 0o600 << 16, offset) + raw
            need(listed[at : at + 46 + named] == entry, _ZIP)
            file.seek(offset)
            need(file.read(30 + named) == b"PK\x03\x04" + common + raw, _ZIP)
            need(raw.decode() not in self.names, "the ZIP holds two files of one name.")
            self.names[raw.decode()] = (offset + 30 + named, stored, crc)
            at, offset = at + 46 + named, offset + 30 + named + stored
        need(offset == start and count == len(self.names), _ZIP)
        names = [name for name in self.names if name not in LAST]
        need([*self.names] == sorted(names) + LAST, "the ZIP's files are not in their order.")

    def pieces(self, name: str) -> Iterator[bytes]:
        """The file in pieces; to its end, as the ZIP's own checksum is compared there."""
        need(name in self.names, f"{name} is missing.")
        at, left, said = self.names[name]
        crc = 0
        while left:
            self._file.seek(at)
            piece = self._file.read(min(left, 1 << 16))
            need(bool(piece), f"{name} breaks off.")
            crc, at, left = zlib.crc32(piece, crc), at + len(piece), left - len(piece)
            yield piece
        need(crc == said, f"{name} was changed: the ZIP's own checksum does not fit.")

    def read(self, name: str) -> bytes:
        return b"".join(self.pieces(name))

    def lines(self, name: str) -> Iterator[bytes]:
        rest = b""
        for piece in self.pieces(name):
            *whole, rest = (rest + piece).split(b"\n")
            yield from whole
        need(not rest, f"{name} breaks off.")


def canonical(value: Any, where: str) -> str:
    """Canonical JSON (RFC 8785) of what holds no fractions, which is all that a ledger writes."""
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode("utf-16-be"))
        return "{" + ",".join(canonical(n, where) + ":" + canonical(value[n], where) for n in names) + "}"
    if isinstance(value, list):
        return "[" + ",".join(canonical(one, where) for one in value) + "]"
    need(not isinstance(value, float), f"{where} holds a number that no ledger writes.")
    return json.dumps(value, ensure_ascii=False)


def read_json(content: bytes | str, where: str, kind: type = dict) -> Any:
    """What canonical JSON says."""
    try:
        said = content if isinstance(content, str) else content.decode()
        value = json.loads(said)
        same = canonical(value, where) == said
    except (ValueError, RecursionError):
        raise DoesNotHold(f"{where} is not JSON.") from None
    need(isinstance(value, kind), f"{where} says something else than it should.")
    need(same, f"{where} is not written in the one form that counts (RFC 8785).")
    return value


def is_hex(value: Any) -> bool:
    return isinstance(value, str) and bool(re.fullmatch("[0-9a-f]{64}", value))


def sha256(words: str) -> str:
    return hashlib.sha256(words.encode()).hexdigest()


def fingerprint(public_key: str) -> str:
    return hashlib.sha256(bytes.fromhex(public_key)).hexdigest()[:16]


def checker() -> Callable[[str, bytes, bytes], bool] | None:
    """What says whether an Ed25519 signature fits, if this machine has it."""
    try:
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    except ImportError:
        return None

    def fits(public_key: str, statement: bytes, signature: bytes) -> bool:
        try:
            Ed25519PublicKey.from_public_bytes(bytes.fromhex(public_key)).verify(signature, statement)
        except InvalidSignature:
            return False
        return True

    return fits


class Signatures:
    """Checks signatures as they come, or collects the commands that do."""

    def __init__(self, package: Container) -> None:
        self._package, self._fits = package, checker()
        self.commands: list[str] = []

    def check(self, name: str, public_key: str, number: int) -> None:
        statement, signature = f"{name}.json", f"{name}.sig"
        signed = self._package.read(signature)
        need(len(signed) == 64, f"{signature} is no signature.")
        if self._fits is None:
            self.commands.append(
                f"openssl pkeyutl -verify -pubin -inkey signatures/key-{number}.pem -rawin"
                f" -in {statement} -sigfile {signature}"
            )
        elif not self._fits(public_key, self._package.read(statement), signed):
            raise DoesNotHold(f"the signature {signature} does not fit {statement}.")


def read_keys(package: Container, signatures: Signatures) -> tuple[dict[str, int], set[int]]:
    """The workshop's keys with their numbers, and the numbers of those that the one before vouches for."""
    listed = read_json(package.read("keys.json"), "keys.json", list)
    keys: dict[str, int] = {}
    vouched: set[int] = set()
    before = ""
    for one in listed:
        need(isinstance(one, dict) and set(one) == {"number", "public_key", "reason"}, "keys.json is odd.")
        number, key = one["number"], one["public_key"]
        need(is_hex(key) and number == len(keys) + 1 and key not in keys, "keys.json has no such keys.")
        pem = base64.b64encode(BEFORE_ED25519 + bytes.fromhex(key)).decode()
        pem = f"-----BEGIN PUBLIC KEY-----\n{pem}\n-----END PUBLIC KEY-----\n"
        same = package.read(f"signatures/key-{number}.pem") == pem.encode()
        need(same, f"key-{number}.pem is another key.")
        if one["reason"] == "rotated":
            vouched.add(number)
            name = f"signatures/key-{number}-follows"
            said = read_json(package.read(f"{name}.json"), name)
            states = {"context": NEXT_KEY, "before": before, "number": number, "public_key": key}
            need(said == states, f"{name}.json speaks of another key.")
            signatures.check(name, before, number - 1)
        keys[key], before = number, key
    return keys, vouched


def read_seals(package: Container, keys: dict[str, int], signatures: Signatures) -> dict[str, Any]:
    """The seals, by chain."""
    seals: dict[str, Any] = {}
    for file in package.names:
        if file.startswith("signatures/seal-") and file.endswith(".json"):
            name = file[: -len(".json")]
            seal = read_json(package.read(file), file)
            wanted = {"context", "chain", "first", "last", "root", "sealed_at", "key"}
            need(set(seal) == wanted and seal["context"] == SEAL, f"{file} is no seal.")
            need(name == f"signatures/seal-{seal['chain']}", f"{file} seals another chain.")
            need(seal["key"] in keys, f"{file} was signed with a key that the package does not name.")
            need(is_hex(seal["root"]) and type(seal["last"]) is int, f"{file} is no seal.")
            signatures.check(name, seal["key"], keys[seal["key"]])
            seals[seal["chain"]] = seal
    return seals


def is_included(root: bytes, size: int, index: int, leaf: bytes, path: list[bytes]) -> bool:
    """Whether the path leads from the leaf at that index to the root of a tree of that size (RFC 9162)."""
    if not 0 <= index < size:
        return False
    fn, sn, node = index, size - 1, hashlib.sha256(b"\x00" + leaf).digest()
    for one in path:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            node = hashlib.sha256(b"\x01" + one + node).digest()
            while fn and not fn & 1:
                fn, sn = fn >> 1, sn >> 1
        else:
            node = hashlib.sha256(b"\x01" + node + one).digest()
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and node == root


class Entries:
    """What the lines of entries.jsonl say, each checked as it is read."""

    def __init__(self, seals: dict[str, Any], kept: set[str]) -> None:
        self._seals, self._kept = seals, kept  # files by the SHA-256 that they are named by
        self._at: tuple[str, int] = ("", 0)
        self._hash = ""
        self._erased: list[tuple[str, int, str, Any]] = []  # texts, and the entry that has to name each
        self._erasing: dict[str, Any] = {}
        self.count: dict[str, int] = {}
        self._told_of: set[str] = set()  # the files that records name

    def read(self, line: bytes) -> None:
        said = read_json(line, f"entries.jsonl, after entry {self._at[1]},")
        wanted = {"hash", "hashed", "path", "private", "record"}
        need(set(said) == wanted, f"entries.jsonl, after entry {self._at[1]}, holds something else.")
        hashed = said["hashed"] if isinstance(said["hashed"], str) else ""
        entry = read_json(hashed, f"what was hashed after entry {self._at[1]}")
        need(PARTS <= set(entry) <= PARTS | {"done_by"}, f"an entry after {self._at[1]} is no entry.")
        site, number = entry["chain"], entry["number"]
        here = f"entry {number} of the chain {site}"
        need(type(number) is int and isinstance(site, str), "an entry has no number.")
        need((site, number) > self._at, f"{here} is not in its order.")
        need(sha256(hashed) == said["hash"], f"{here} was changed: its hash does not fit.")
        if (site, number - 1) == self._at:
            need(entry["previous"] == self._hash, f"{here} does not continue the one before.")
        self._at, self._hash = (site, number), said["hash"]
        need(site in self._seals, f"{here} is under no seal.")
        seal, path = self._seals[site], said["path"]
        need(isinstance(path, list) and all(is_hex(one) for one in path), f"{here} has no path to its seal.")
        nodes = [bytes.fromhex(one) for one in path]
        leaf, root = bytes.fromhex(said["hash"]), bytes.fromhex(seal["root"])
        need(is_included(root, seal["last"], number - 1, leaf, nodes), f"{here} is not under the seal.")
        facts = read_json(entry["facts"], f"what {here} tells")
        hashes = facts.pop("private", {})
        self._read_texts(here, site, number, said["private"], hashes)
        if entry["verb"] == "ledger.erased":
            self._erasing[f"{site} {number}"] = facts["erased"]
        self._read_record(here, said["record"], facts)
        self.count[site] = self.count.get(site, 0) + 1

    def _read_texts(self, here: str, site: str, number: int, texts: Any, hashes: Any) -> None:
        given = {name for name, one in hashes.items() if one is not None}
        need(isinstance(texts, dict) and set(texts) == given, f"{here} does not say where its texts are.")
        for name, one in texts.items():
            if isinstance(one, dict) and set(one) == {"salt", "value"}:
                same = is_hex(one["salt"]) and sha256(one["salt"] + one["value"]) == hashes[name]
                need(same, f"{here}: its text {name} was changed.")
                self._read_files(here, one["value"].split() if name == "photos" else [])
            elif isinstance(one, dict) and set(one) == {"erased_by"}:
                self._erased.append((site, number, name, one["erased_by"]))
            else:
                need(one == "withheld", f"{here}: its text {name} is neither there nor withheld.")

    def _read_record(self, here: str, record: Any, facts: dict[str, Any]) -> None:
        if record is None:
            return
        need(record == facts, f"{here}: its record says something else than the entry.")
        self._read_files(here, [facts[name] for name in facts if name.endswith("sha256") and facts[name]])

    def _read_files(self, here: str, hashes: list[str]) -> None:
        for one in hashes:
            need(one in self._kept, f"{here}: a file that it tells of is missing.")
            self._told_of.add(one)

    def finish(self) -> None:
        need(bool(self.count), "entries.jsonl holds no entry.")
        need(set(self.count) == set(self._seals), "there is a seal of a chain without an entry here.")
        for site, number, name, act in self._erased:
            told = [site, number, name] in self._erasing.get(act, [])
            need(told, f"entry {number} of the chain {site}: no entry says that its text {name} was erased.")
        for stray in sorted(self._kept - self._told_of):
            raise DoesNotHold(f"the file kept/{stray} belongs to no record.")


def check_manifest(package: Container) -> dict[str, Any]:
    """Whether every file is the one that the manifest lists."""
    manifest = read_json(package.read("manifest.json"), "manifest.json")
    need(manifest.get("context") == PACKAGE, "this is no evidence package of this kind.")
    files = manifest.get("files")
    need(isinstance(files, dict), "the manifest lists no files.")
    there = set(package.names) - set(LAST)
    for one in sorted((set(files) | ALWAYS) - there):
        raise DoesNotHold(f"{one} is missing.")
    for one in sorted(there - set(files)):
        raise DoesNotHold(f"{one} is not in the manifest.")
    for name in [*package.names][: -len(LAST)]:
        digest, size = hashlib.sha256(), 0
        for piece in package.pieces(name):
            digest.update(piece)
            size += len(piece)
        need(files[name] == {"sha256": digest.hexdigest(), "size": size}, f"{name} was changed.")
        if name.startswith("kept/"):
            need(name[5:70] == digest.hexdigest() + ".", f"{name} is not what its name says.")
    return dict(manifest)


def check_key(wanted: str, signed_with: set[int], keys: dict[str, int], vouched: set[int]) -> None:
    """Whether all was signed with the key of that fingerprint, or with one that follows it in turn."""
    asked = re.sub(r"[^0-9a-f]", "", wanted.lower())
    first = last = {fingerprint(key): number for key, number in keys.items()}.get(asked, 0)
    need(first > 0, f"no key in the package has the fingerprint {wanted}.")
    while last + 1 in vouched:
        last += 1
    for number in sorted(signed_with):
        need(first <= number <= last, f"key {number} signed, which does not follow the key {wanted}.")


def verify(file: BinaryIO, key: str = "") -> tuple[list[str], list[str]]:
    """What a yes rests on, in sentences, and commands that are still to be run. Raises `DoesNotHold`."""
    package = Container(file)
    manifest = check_manifest(package)
    signatures = Signatures(package)
    keys, vouched = read_keys(package, signatures)
    need(manifest.get("key") in keys, "the package was signed with a key that it does not name.")
    signatures.check("manifest", manifest["key"], keys[manifest["key"]])
    seals = read_seals(package, keys, signatures)
    entries = Entries(seals, {name[5:69] for name in package.names if name.startswith("kept/")})
    for line in package.lines("entries.jsonl"):
        entries.read(line)
    entries.finish()
    signed_with = {keys[manifest["key"]], *(keys[seal["key"]] for seal in seals.values())}
    if key:
        check_key(key, signed_with, keys, vouched)
    told = [f"It is about {manifest.get('about')}, packed {manifest.get('made_at')}."]
    for site, seal in sorted(seals.items()):
        told.append(
            f"{entries.count[site]} entries of the chain {site} are as they were when it was sealed at "
            f"{seal['sealed_at']}, with key {keys[seal['key']]}."
        )
    for public_key, number in keys.items():
        if number in signed_with:
            told.append(f"Key {number} has the fingerprint {fingerprint(public_key)}.")
    if not key:
        told.append("Compare it with one that you had from the workshop in another way: --key FINGERPRINT.")
    return told, signatures.commands


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n")[0])
    parser.add_argument("package", help="the ZIP file")
    parser.add_argument("--key", default="", help="the fingerprint of the workshop's key, from elsewhere")
    asked = parser.parse_args()
    try:
        with open(asked.package, "rb") as file:
            told, commands = verify(file, asked.key)
    except OSError as error:
        told, commands, answer = [f"{asked.package} can't be read ({error.strerror})."], [], "No: "
    except DoesNotHold as fault:
        told, commands, answer = [str(fault)], [], "No: "
    except NOT_UNDERSTOOD as error:
        told, commands, answer = [f"the package is not understood ({error!r})."], [], "No: "
    else:
        answer = UNSIGNED if commands else "Yes: nothing was changed.\n"
    told += [HOW_TO_SIGN, *(f"  {command}" for command in commands)] if commands else []
    sys.stdout.write(answer + "\n".join(told) + "\n")
    return 1 if answer == "No: " else 2 if commands else 0


if __name__ == "__main__":
    sys.exit(main())
