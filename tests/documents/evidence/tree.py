"""Merkle trees written down straight from RFC 9162: MTH of section 2.1.1 and PATH of section 2.1.3.1."""

from collections.abc import Sequence
from hashlib import sha256


def _split(size: int) -> int:
    """The largest power of two smaller than the size."""
    power = 1
    while power * 2 < size:
        power *= 2
    return power


def root_of(leaves: Sequence[bytes]) -> bytes:
    """MTH(D[n])."""
    if not leaves:
        return sha256().digest()
    if len(leaves) == 1:
        return sha256(b"\x00" + leaves[0]).digest()
    k = _split(len(leaves))
    return sha256(b"\x01" + root_of(leaves[:k]) + root_of(leaves[k:])).digest()


def path_of(m: int, leaves: Sequence[bytes]) -> list[bytes]:
    """PATH(m, D[n])."""
    if len(leaves) == 1:
        return []
    k = _split(len(leaves))
    if m < k:
        return [*path_of(m, leaves[:k]), root_of(leaves[k:])]
    return [*path_of(m - k, leaves[k:]), root_of(leaves[:k])]
