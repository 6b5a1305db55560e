"""Somebody who was handed a package and nothing else, and somebody who wants it to say something else."""

import hashlib
import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shop.assemblies.models import Assembly, Recall
from shop.documents.evidence import take_evidence
from shop.documents.evidence.packing import NO_TIME
from shop.ledger.canonical import canonical
from shop.ledger.sealing import keys
from shop.orders.services import save_customer
from shop.people.models import User
from shop.people.services import save_person
from tests.world import World

LAST = ("manifest.json", "manifest.sig")


@dataclass(frozen=True)
class Answer:
    """What the verifier said, and its exit code."""

    code: int
    words: str


def enter(world: World) -> None:
    """Have it in the ledger who is at the bench and who the customer is: the world's own rows are not."""
    world.bench.name, world.customer.name = "Ilse Sandoval", "Harbour Cranes"
    save_person(actor=world.owner, person=world.bench)
    save_customer(actor=world.counter, customer=world.customer)


def packed(actor: User, about: Assembly | Recall, **asked: bool) -> bytes:
    """The bytes of a package that was just taken."""
    taken = take_evidence(actor=actor, about=about, **asked)
    with taken.file:
        return taken.file.read()


def files_in(package: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(package)) as container:
        return {name: container.read(name) for name in container.namelist()}


def lines_in(package: bytes) -> list[dict[str, Any]]:
    return [json.loads(line) for line in files_in(package)["entries.jsonl"].splitlines()]


def ask(folder: Path, package: bytes, *options: str, flags: tuple[str, ...] = ("-I",)) -> Answer:
    """Run the verifier that lies in the package, as a stranger would, far from the program."""
    program, container = folder / "verify.py", folder / "package.zip"
    container.write_bytes(package)
    if not program.exists():
        program.write_bytes(files_in(package)["verify.py"])
    done = subprocess.run(
        [sys.executable, *flags, program, container, *options],
        cwd=folder,
        env={},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    return Answer(done.returncode, done.stdout)


def packed_anew(files: Mapping[str, bytes]) -> bytes:
    """A container of the very form that the verifier wants."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as container:
        for name in [*sorted(set(files) - set(LAST)), *LAST]:
            info = zipfile.ZipInfo(name, NO_TIME)
            info.create_system, info.external_attr = 3, 0o600 << 16
            container.writestr(info, files[name])
    return written.getvalue()


def forged(package: bytes, change: Callable[[dict[str, bytes]], None]) -> bytes:
    """The package with something changed and all of it listed and signed anew by who has the key."""
    files = files_in(package)
    change(files)
    manifest = json.loads(files["manifest.json"])
    manifest["files"] = {
        name: {"sha256": hashlib.sha256(content).hexdigest(), "size": len(content)}
        for name, content in files.items()
        if name not in LAST
    }
    text = canonical(manifest)
    files["manifest.json"] = text.encode()
    files["manifest.sig"] = bytes.fromhex(keys.sign(manifest["key"], text))
    return packed_anew(files)


def with_lines(package: bytes, change: Callable[[list[dict[str, Any]]], None]) -> bytes:
    """The package with its entries changed by who has the key."""

    def write(files: dict[str, bytes]) -> None:
        lines = lines_in(package)
        change(lines)
        files["entries.jsonl"] = b"".join(canonical(line).encode() + b"\n" for line in lines)

    return forged(package, write)
