"""Exported seals: a small file for a drawer elsewhere, which shows by itself that it was not changed.

It holds each seal with its signature and the keys that the ledger knew. Where several seals of a chain
are in one file, each later one carries the proof that its tree begins with the tree before
(RFC 9162, section 2.1.4).
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from itertools import pairwise
from pathlib import Path
from typing import Any, TypeVar

from shop.ledger.canonical import canonical
from shop.ledger.merkle import consistency_spans, continues, subtree_roots
from shop.ledger.models import KeyReason, LedgerSeal, SealingKey
from shop.ledger.refusals import NotASealFile
from shop.ledger.sealing.leaves import leaves, tree_as_sealed
from shop.ledger.sealing.statements import KnownKey, Sealed

FORMAT = "ferrulebook seals of a ledger, version 1"

T = TypeVar("T", Sealed, KnownKey)


@dataclass(frozen=True, slots=True)
class SealFile:
    """What an exported file holds: keys by number, seals by chain and size, and `proofs` between seals.

    `proofs` has, by chain and size of the later seal, the hashes that show that it continues the one
    before it in the file.
    """

    keys: tuple[KnownKey, ...]
    seals: tuple[Sealed, ...]
    proofs: Mapping[tuple[str, int], tuple[bytes, ...]]

    def text(self) -> str:
        """The file as it is written, for people with an editor too."""
        seals = [
            {**asdict(seal), "continues": [node.hex() for node in self.proofs[place]]}
            if (place := (seal.chain, seal.last)) in self.proofs
            else asdict(seal)
            for seal in self.seals
        ]
        keys = [asdict(key) for key in self.keys]
        return json.dumps({"format": FORMAT, "keys": keys, "seals": seals}, indent=1) + "\n"

    def in_turn(self) -> Iterator[tuple[Sealed, Sealed]]:
        """Each seal with the next of the same chain."""
        return ((older, newer) for older, newer in pairwise(self.seals) if older.chain == newer.chain)


def export_seals() -> SealFile:
    """Every seal there is. Goes once over the hashes of the chains. Raises `ChainDamaged`, `SealDamaged`."""
    keys = tuple(key.known for key in SealingKey.objects.order_by("number"))
    rows = list(LedgerSeal.objects.select_related("chain", "key").order_by("chain__site", "last"))
    proofs = {
        (newer.chain.site, newer.last): _proof(older, newer)
        for older, newer in pairwise(rows)
        if older.chain == newer.chain
    }
    return SealFile(keys, tuple(seal.plain for seal in rows), proofs)


def export_seal(seal: LedgerSeal) -> SealFile:
    """One seal with the keys that the ledger knew when it was made."""
    keys = SealingKey.objects.filter(pk__lt=seal.pk).order_by("number")
    return SealFile(tuple(key.known for key in keys), (seal.plain,), {})


def one_line(seal: LedgerSeal) -> str:
    """The seal in as few characters as a printed square holds well: canonical JSON without other keys."""
    return canonical(
        {"format": FORMAT, "keys": [asdict(seal.key.known) | {"vouched": ""}], "seals": [asdict(seal.plain)]}
    )


def read_seals(path: Path) -> SealFile:
    """What an exported file says, in whatever order; whether it holds is another question.

    Raises `NotASealFile`.
    """
    try:
        content = json.loads(path.read_text())
        if not isinstance(content, dict) or content.get("format") != FORMAT:
            raise NotASealFile(path=path, reason="it does not say that it does")
        keys = [_read(KnownKey, one) for one in content["keys"]]
        seals = [_read(Sealed, one) for one in content["seals"]]
        proofs = {
            (seal.chain, seal.last): tuple(bytes.fromhex(node) for node in one["continues"])
            for seal, one in zip(seals, content["seals"], strict=True)
            if "continues" in one
        }
    except OSError as error:
        raise NotASealFile(path=path, reason=f"it can't be read ({error.strerror})") from error
    except (KeyError, TypeError, ValueError) as error:
        raise NotASealFile(path=path, reason=f"it is not understood ({error})") from error
    if not seals:
        raise NotASealFile(path=path, reason="there is none in it")
    keys.sort(key=lambda key: key.number)
    seals.sort(key=lambda seal: (seal.chain, seal.last))
    return SealFile(tuple(keys), tuple(seals), proofs)


def file_faults(file: SealFile) -> Iterator[str]:
    """What is wrong with the file by itself, as sentences."""
    known = {key.public_key for key in file.keys}
    for seal in file.seals:
        if seal.key not in known:
            yield f"The file does not hold the key of {seal}."
        if not seal.is_signed():
            yield f"The signature does not fit {seal}: the file was changed."
    for before, after in pairwise(file.keys):
        if after.reason == KeyReason.ROTATED and not after.is_vouched_for_by(before.public_key):
            yield f"The {before} did not sign that {after} follows it."
    for older, newer in file.in_turn():
        path = file.proofs.get((newer.chain, newer.last))
        if path is not None and not _continues(older, newer, path):
            yield f"The file does not show that {newer} continues {older}."


def _continues(older: Sealed, newer: Sealed, path: Sequence[bytes]) -> bool:
    return continues(
        older_root=bytes.fromhex(older.root),
        older=older.last,
        newer_root=bytes.fromhex(newer.root),
        newer=newer.last,
        path=path,
    )


def _proof(older: LedgerSeal, newer: LedgerSeal) -> tuple[bytes, ...]:
    """The hashes that show that the newer seal continues the older one."""
    spans = consistency_spans(older.last, newer.last)
    added = leaves(newer.chain_id, newer.chain.site, after=older.last, up_to=newer.last)
    found = subtree_roots(added, newer.last, set(spans), tree_as_sealed(older))
    return tuple(found[span] for span in spans)


def _read(kind: type[T], said: Mapping[str, Any]) -> T:
    """One seal or key; raises `ValueError` for what has another shape."""
    given = {}
    for field in fields(kind):
        value = said[field.name]
        if type(value) is not field.type:
            raise ValueError(f"{field.name} is {value!r}")
        given[field.name] = value
    if "root" in given and re.fullmatch("[0-9a-f]{64}", given["root"]) is None:
        raise ValueError(f"root is {given['root']!r}")
    return kind(**given)
