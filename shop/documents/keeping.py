"""The bytes of issued papers, each in a file named by its SHA-256."""

import hashlib
import os
import tempfile
from pathlib import Path

from django.conf import settings

from shop.documents.models import Paper
from shop.documents.refusals import PaperDamaged


def sha256_of(content: bytes) -> str:
    """The name under which the content is kept."""
    return hashlib.sha256(content).hexdigest()


def keep(content: bytes) -> str:
    """Write the content to the papers folder, whole or not at all; returns its SHA-256.

    To be called before the transaction that records the paper commits: a file without a record is
    litter, a record without its file would be a paper that nobody can show.
    """
    sha256 = sha256_of(content)
    path = _path(sha256)
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".writing-", delete=False) as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    Path(file.name).replace(path)
    return sha256


def kept_bytes(paper: Paper) -> bytes:
    """The bytes as they were issued. Raises `PaperDamaged` if they are gone or changed."""
    damage = damage_of(paper)
    if damage:
        raise PaperDamaged(paper=paper, damage=damage)
    return _path(paper.sha256).read_bytes()


def damage_of(paper: Paper) -> str:
    """'missing' or 'not what was issued'; empty if the kept copy is as it was."""
    path = _path(paper.sha256)
    if not path.exists():
        return "missing"
    content = path.read_bytes()
    if len(content) != paper.size or sha256_of(content) != paper.sha256:
        return "not what was issued"
    return ""


def _path(sha256: str) -> Path:
    return Path(settings.MEDIA_ROOT) / "papers" / f"{sha256}.pdf"
