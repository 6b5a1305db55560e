"""Merkle trees as RFC 9162, section 2.1, describes them, over SHA-256.

A tree over the first `n` leaves has one root, and a later tree over more leaves can be shown to begin
with the same ones (a consistency proof). That a leaf is in a tree is shown by a handful of hashes (an
inclusion proof). Nothing here keeps the leaves: a tree that grows is known by the roots of its perfect
subtrees, one for each 1 in the binary form of its size.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import islice

EMPTY = sha256().digest()  # the root of no leaves, section 2.1.1

Span = tuple[int, int]  # leaves by index from 0: the first, and the one behind the last


def leaf_hash(leaf: bytes) -> bytes:
    """The hash of a leaf, section 2.1.1: SHA-256 of 0x00 and the leaf."""
    return sha256(b"\x00" + leaf).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of a node, section 2.1.1: SHA-256 of 0x01, the left and the right hash."""
    return sha256(b"\x01" + left + right).digest()


@dataclass(slots=True)
class Frontier:
    """A tree as far as it has grown: the roots of its perfect subtrees, the largest first."""

    size: int = 0
    roots: list[bytes] = field(default_factory=list)

    def add(self, leaf: bytes) -> None:
        """Let the tree grow by one leaf."""
        node, full = leaf_hash(leaf), self.size
        while full & 1:  # each 1 at the end is a perfect subtree as large as the new one: join them
            node = node_hash(self.roots.pop(), node)
            full >>= 1
        self.roots.append(node)
        self.size += 1

    def root(self) -> bytes:
        """The root of the tree over all leaves so far (MTH, section 2.1.1)."""
        if not self.roots:
            return EMPTY
        node = self.roots[-1]
        for left in reversed(self.roots[:-1]):
            node = node_hash(left, node)
        return node

    def is_whole(self) -> bool:
        """Whether there are as many roots as a tree of this size has perfect subtrees."""
        return len(self.roots) == self.size.bit_count()


def inclusion_spans(index: int, size: int) -> list[Span]:
    """The subtrees whose roots are the inclusion proof of the leaf (PATH, section 2.1.3.1), lowest first.

    `index` counts from 0. Raises `ValueError` if there is no such leaf in a tree of this size.
    """
    if not 0 <= index < size:
        raise ValueError(f"There is no leaf {index} in a tree of {size}.")
    spans, first, end = [], 0, size
    while end - first > 1:
        middle = first + _left_size(end - first)
        if index < middle:
            spans.append((middle, end))
            end = middle
        else:
            spans.append((first, middle))
            first = middle
    return spans[::-1]


def consistency_spans(older: int, newer: int) -> list[Span]:
    """The subtrees whose roots are the consistency proof (PROOF, section 2.1.4.1), lowest first.

    Empty for equal sizes. Raises `ValueError` unless 0 < older <= newer.
    """
    if not 0 < older <= newer:
        raise ValueError(f"A tree of {newer} can't be compared with one of {older}.")
    spans, first, end = [], 0, newer
    while end != older:
        middle = first + _left_size(end - first)
        if older <= middle:
            spans.append((middle, end))
            end = middle
        else:
            spans.append((first, middle))
            first = middle
    if first:  # else the older tree is a subtree of the newer, whose root the reader has
        spans.append((first, end))
    return spans[::-1]


def subtree_roots(
    leaves: Iterable[bytes], size: int, wanted: Set[Span], begun: Frontier | None = None
) -> Mapping[Span, bytes]:
    """The roots of these subtrees of the tree over the first `size` leaves, in one pass over them.

    From a tree that was `begun`, `leaves` are those that it lacks. Memory grows with the logarithm of
    `size` and with what is wanted. Raises `ValueError` if there are fewer leaves, or if a subtree is wanted
    that this tree hasn't got or that lies within what was begun.
    """
    found: dict[Span, bytes] = {}
    standing = _standing(begun) if begun is not None else []  # first leaf, one behind the last, root
    count = begun.size if begun is not None else 0

    def stand(first: int, end: int, node: bytes) -> None:
        standing.append((first, end, node))
        if (first, end) in wanted:
            found[first, end] = node

    def join() -> None:
        (_, end, right), (first, _, left) = standing.pop(), standing.pop()
        stand(first, end, node_hash(left, right))

    for span in standing:
        found |= {span[:2]: span[2]} if span[:2] in wanted else {}
    for leaf in islice(leaves, size - count):
        full, count = count, count + 1
        stand(full, count, leaf_hash(leaf))
        while full & 1:
            join()
            full >>= 1
    if count < size:
        raise ValueError(f"There are {count} leaves, {size} are needed.")
    while len(standing) > 1:  # at the right edge, from the right, as in Frontier.root
        join()
    if wanted - found.keys():
        raise ValueError(f"A tree of {size} has no subtrees over {sorted(wanted - found.keys())}.")
    return found


def includes(*, root: bytes, size: int, index: int, leaf: bytes, path: Sequence[bytes]) -> bool:
    """Whether the proof shows that the leaf stands at `index` of the tree: section 2.1.3.2."""
    if not 0 <= index < size:
        return False
    fn, sn, node = index, size - 1, leaf_hash(leaf)
    for one in path:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            node = node_hash(one, node)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            node = node_hash(node, one)
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and node == root


def continues(*, older_root: bytes, older: int, newer_root: bytes, newer: int, path: Sequence[bytes]) -> bool:
    """Whether the proof shows that the newer tree begins with the older one: section 2.1.4.2."""
    if not 0 < older <= newer:
        return False
    if older == newer:
        return not path and older_root == newer_root
    hashes = list(path)
    if older & (older - 1) == 0:
        hashes.insert(0, older_root)
    if not hashes:
        return False
    fn, sn = older - 1, newer - 1
    while fn & 1:
        fn, sn = fn >> 1, sn >> 1
    old = new = hashes[0]
    for one in hashes[1:]:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            old, new = node_hash(one, old), node_hash(one, new)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            new = node_hash(new, one)
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and old == older_root and new == newer_root


def _left_size(size: int) -> int:
    """The largest power of two that is smaller than `size`, by which a tree is split (section 2.1.1)."""
    return 1 << (size - 1).bit_length() - 1


def _standing(tree: Frontier) -> list[tuple[int, int, bytes]]:
    """The perfect subtrees of the tree: first leaf, the one behind the last, root; the largest first."""
    spans, first = [], 0
    for root in tree.roots:
        end = first + (1 << (tree.size - first).bit_length() - 1)
        spans.append((first, end, root))
        first = end
    return spans
