"""The container: a ZIP in which every byte follows from what lies in it, signed as a whole.

Files are not compressed: how a compressor writes the same content differs, and then some bytes would
count for nothing. All times are the same, names are in their order; the manifest comes last.
"""

import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from hashlib import sha256
from typing import IO

from shop.documents.refusals import PackageTooLarge
from shop.ledger.canonical import Json, canonical
from shop.ledger.models import SealingKey
from shop.ledger.sealing import keys

CONTEXT = "ferrulebook evidence package, version 1"
NO_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest that a ZIP can write


@contextmanager
def packing(file: IO[bytes]) -> Iterator["Package"]:
    """A package that is written into the file. Raises `PackageTooLarge`."""
    try:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED, allowZip64=False) as container:
            yield Package(container)
    except zipfile.LargeZipFile as error:
        raise PackageTooLarge from error


class Package:
    """What is in the package so far. Memory grows with the number of its files, not with their size."""

    def __init__(self, container: zipfile.ZipFile) -> None:
        self._container = container
        self._files: dict[str, Json] = {}
        self._last = ""

    def add(self, name: str, pieces: Iterable[bytes]) -> None:
        """Add a file; names come in their order."""
        assert name > self._last, "the verifier wants names in their order"
        self._last = name
        digest, size = sha256(), 0
        with self._container.open(_info(name), "w") as out:
            for piece in pieces:
                size += len(piece)
                if size > zipfile.ZIP64_LIMIT:
                    raise PackageTooLarge
                out.write(piece)
                digest.update(piece)
        self._files[name] = {"sha256": digest.hexdigest(), "size": size}

    def sign(self, key: SealingKey, facts: Mapping[str, Json]) -> str:
        """Add the manifest and its signature, which come last; returns the manifest's SHA-256.

        Raises `KeyLost`, `KeyUnreadable`.
        """
        manifest = canonical({"context": CONTEXT, "key": key.public_key, "files": self._files, **facts})
        signature = keys.sign(key.public_key, manifest)
        self._container.writestr(_info("manifest.json"), manifest)
        self._container.writestr(_info("manifest.sig"), bytes.fromhex(signature))
        return sha256(manifest.encode()).hexdigest()


def _info(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, NO_TIME)
    info.create_system = 3  # whichever system writes it
    info.external_attr = 0o600 << 16
    return info
