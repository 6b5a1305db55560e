"""Bytes that are kept as they came, each in a file named by its SHA-256: papers, curves of test benches."""

import hashlib
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings


def sha256_of(content: bytes) -> str:
    """The name under which the content is kept."""
    return hashlib.sha256(content).hexdigest()


@dataclass(frozen=True)
class Shelf:
    """A folder of kept files of one kind."""

    folder: str
    suffix: str

    def path(self, sha256: str) -> Path:
        """Where the content of that name lies, if it is kept."""
        return Path(settings.MEDIA_ROOT) / self.folder / f"{sha256}{self.suffix}"

    def keep(self, content: bytes) -> str:
        """Write the content, whole or not at all; returns its SHA-256.

        To be called before the transaction that records it commits: a file without a record is litter, a
        record without its file would be something that nobody can show.
        """
        sha256 = sha256_of(content)
        path = self.path(sha256)
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".writing-", delete=False) as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(file.name).replace(path)
        return sha256

    def discard(self, sha256: str) -> None:
        """Remove the content of that name, if it is kept."""
        self.path(sha256).unlink(missing_ok=True)

    def damage_of(self, sha256: str, size: int) -> str:
        """'missing' or 'not what was kept'; empty if the file is as it was."""
        path = self.path(sha256)
        if not path.exists():
            return "missing"
        content = path.read_bytes()
        return "" if len(content) == size and sha256_of(content) == sha256 else "not what was kept"
