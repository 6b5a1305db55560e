"""The file that a backup is: a gzipped tar with a manifest that names and hashes what is in it."""

import hashlib
import json
import os
import tarfile
import zlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from shop.ledger.refusals import FileInTheWay, NotABackup

FORMAT = 1
MANIFEST = "manifest.json"
DATABASE = "database"
KEY = "secret_key"
SEALING_KEYS = "sealing-keys"
HEADS = "ledger-heads.json"
FILES = "files"


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup says of itself; `sha256` is by the name of each member."""

    format: int
    made_at: str
    vendor: str
    migrations: list[list[str]]
    sha256: dict[str, str]


def pack(path: Path, folder: Path, *, made_at: str, vendor: str, migrations: list[list[str]]) -> None:
    """Write all that is in the folder to the archive; it appears under its name once it is complete."""
    if path.exists():
        raise FileInTheWay(path=path)
    members = {str(file.relative_to(folder)): file for file in _files_in(folder)}
    digests = {name: _digest(file) for name, file in members.items()}
    manifest = Manifest(FORMAT, made_at, vendor, migrations, digests)
    (folder / MANIFEST).write_text(json.dumps(asdict(manifest), indent=1))
    unfinished = path.with_name(path.name + ".unfinished")
    # The keys that sign sessions and seals are in it: nobody else may read it.
    with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
        with tarfile.open(fileobj=file, mode="w:gz") as archive:
            for name in [MANIFEST, *members]:
                archive.add(folder / name, arcname=name, recursive=False)
        file.flush()
        os.fsync(file.fileno())
    unfinished.rename(path)


def unpack(path: Path, folder: Path) -> Manifest:
    """Extract the archive and check every byte of it against its manifest. Raises `NotABackup`."""
    try:
        with tarfile.open(path, mode="r:gz") as archive:
            for member in archive:
                _extract(path, archive, member, folder)
        manifest = Manifest(**json.loads((folder / MANIFEST).read_text()))
    except (OSError, EOFError, tarfile.TarError, zlib.error) as error:
        raise NotABackup(path=path, reason=f"it can't be read ({error})") from error
    except (TypeError, ValueError) as error:
        raise NotABackup(path=path, reason=f"its manifest is not understood ({error})") from error
    if manifest.format != FORMAT:
        raise NotABackup(path=path, reason=f"its format {manifest.format} is not known here")
    found = {str(f.relative_to(folder)): _digest(f) for f in _files_in(folder) if f.name != MANIFEST}
    for name in sorted(found.keys() | manifest.sha256.keys()):
        if found.get(name) != manifest.sha256.get(name):
            raise NotABackup(path=path, reason=f"{name} in it is damaged or missing")
    return manifest


def _extract(path: Path, archive: tarfile.TarFile, member: tarfile.TarInfo, folder: Path) -> None:
    """Only plain files, only inside the folder: an archive may come from anywhere."""
    name = PurePosixPath(member.name)
    content: Any = archive.extractfile(member) if member.isfile() else None
    if content is None or name.is_absolute() or ".." in name.parts:
        raise NotABackup(path=path, reason=f"it holds {member.name!r}, which no backup does")
    target = folder / name
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("wb") as file:
        while block := content.read(1 << 20):
            file.write(block)


def _files_in(folder: Path) -> Iterator[Path]:
    return (file for file in sorted(folder.rglob("*")) if file.is_file())


def _digest(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()
