"""The trees are those of RFC 9162: compared with its definitions, written down here once more.

Section 2.1.1 defines a tree by cutting the list of leaves, 2.1.3.1 and 2.1.4.1 the proofs in the same
way. The program goes over the leaves once and keeps none; here the lists are cut as the RFC says.
"""

from collections.abc import Sequence
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.ledger import merkle
from shop.ledger.merkle import Frontier

LARGEST = 70
Leaves = Sequence[bytes]


def left(leaves: Leaves) -> int:
    """The k of the definitions: the largest power of two with k < n <= 2k."""
    k = 1
    while k * 2 < len(leaves):
        k *= 2
    return k


def mth(leaves: Leaves) -> bytes:
    """The Merkle Tree Hash, section 2.1.1."""
    if not leaves:
        return sha256(b"").digest()
    if len(leaves) == 1:
        return sha256(b"\x00" + leaves[0]).digest()
    k = left(leaves)
    return sha256(b"\x01" + mth(leaves[:k]) + mth(leaves[k:])).digest()


def path(m: int, leaves: Leaves) -> list[bytes]:
    """PATH(m, D[n]), section 2.1.3.1."""
    if len(leaves) == 1:
        return []
    k = left(leaves)
    if m < k:
        return [*path(m, leaves[:k]), mth(leaves[k:])]
    return [*path(m - k, leaves[k:]), mth(leaves[:k])]


def subproof(m: int, leaves: Leaves, whole: bool) -> list[bytes]:
    """SUBPROOF(m, D[n], b), section 2.1.4.1."""
    if m == len(leaves):
        return [] if whole else [mth(leaves)]
    k = left(leaves)
    if m <= k:
        return [*subproof(m, leaves[:k], whole), mth(leaves[k:])]
    return [*subproof(m - k, leaves[k:], False), mth(leaves[:k])]


def leaves_of(count: int) -> list[bytes]:
    return [sha256(bytes([n])).digest() for n in range(count)]


def proof(leaves: Leaves, spans: list[merkle.Span]) -> list[bytes]:
    found = merkle.subtree_roots(iter(leaves), len(leaves), set(spans))
    return [found[span] for span in spans]


def grown(leaves: Leaves) -> Frontier:
    tree = Frontier()
    for leaf in leaves:
        tree.add(leaf)
    return tree


def flipped(digest: bytes, bit: int) -> bytes:
    return (int.from_bytes(digest) ^ (1 << bit)).to_bytes(32)


# From memory: the empty root and the leaf over the empty string are those that implementations of RFC 6962
# test themselves by; both can be had from any SHA-256, of nothing and of one zero byte.
def test_the_roots_of_nothing_and_of_one_empty_leaf() -> None:
    assert Frontier().root().hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert grown([b""]).root().hex() == "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"


@pytest.mark.parametrize("count", range(LARGEST + 1))
def test_a_tree_has_the_root_of_the_definition(count: int) -> None:
    leaves = leaves_of(count)
    tree = grown(leaves)
    assert tree.root() == mth(leaves)
    assert tree.is_whole()
    assert len(tree.roots) <= max(1, count.bit_length())


@given(st.lists(st.binary(max_size=40), max_size=LARGEST))
def test_a_tree_over_any_leaves_has_the_root_of_the_definition(leaves: list[bytes]) -> None:
    assert grown(leaves).root() == mth(leaves)


@pytest.mark.parametrize("count", range(1, LARGEST + 1))
def test_each_leaf_has_the_inclusion_proof_of_the_definition(count: int) -> None:
    leaves = leaves_of(count)
    root = mth(leaves)
    for index, leaf in enumerate(leaves):
        hashes = proof(leaves, merkle.inclusion_spans(index, count))
        assert hashes == path(index, leaves)
        assert merkle.includes(root=root, size=count, index=index, leaf=leaf, path=hashes)


@pytest.mark.parametrize("newer", range(1, LARGEST + 1))
def test_each_earlier_tree_has_the_consistency_proof_of_the_definition(newer: int) -> None:
    leaves = leaves_of(newer)
    for older in range(1, newer + 1):
        hashes = proof(leaves, merkle.consistency_spans(older, newer))
        assert hashes == subproof(older, leaves, True)
        old, new = mth(leaves[:older]), mth(leaves)
        assert merkle.continues(older_root=old, older=older, newer_root=new, newer=newer, path=hashes)


@st.composite
def places(draw: st.DrawFn) -> tuple[int, int]:
    count = draw(st.integers(1, LARGEST))
    return count, draw(st.integers(0, count - 1))


@given(places(), st.data())
def test_a_changed_inclusion_proof_shows_nothing(place: tuple[int, int], data: st.DataObject) -> None:
    count, index = place
    leaves = leaves_of(count)
    hashes, root, bit = path(index, leaves), mth(leaves), data.draw(st.integers(0, 255))
    right = {"root": root, "size": count, "index": index, "leaf": leaves[index], "path": hashes}
    wrong = [
        {"root": flipped(root, bit)},
        {"leaf": flipped(leaves[index], bit)},
        {"index": count},
        {"index": -1},
    ]
    wrong += [{"path": [*hashes, root]}]
    if hashes:
        one = data.draw(st.integers(0, len(hashes) - 1))
        wrong += [{"path": hashes[:one] + hashes[one + 1 :]}]
        wrong += [{"path": [*hashes[:one], flipped(hashes[one], bit), *hashes[one + 1 :]]}]
        wrong += [{"index": (index + 1) % count}]
    for change in wrong:
        assert not merkle.includes(**(right | change)), change  # type: ignore[arg-type]  # a dict of mixed values


@given(places(), st.data())
def test_a_changed_consistency_proof_shows_nothing(place: tuple[int, int], data: st.DataObject) -> None:
    newer, index = place
    older = index + 1
    leaves, bit = leaves_of(newer), data.draw(st.integers(0, 255))
    hashes, old, new = subproof(older, leaves, True), mth(leaves[:older]), mth(leaves)
    right = {"older_root": old, "older": older, "newer_root": new, "newer": newer, "path": hashes}
    wrong = [{"older_root": flipped(old, bit)}, {"newer_root": flipped(new, bit)}, {"path": [*hashes, new]}]
    wrong += [{"older": 0}, {"older": newer + 1}]
    if hashes:
        one = data.draw(st.integers(0, len(hashes) - 1))
        wrong += [{"path": hashes[:one] + hashes[one + 1 :]}, {"path": []}]
        wrong += [{"path": [*hashes[:one], flipped(hashes[one], bit), *hashes[one + 1 :]]}]
    for change in wrong:
        assert not merkle.continues(**(right | change)), change  # type: ignore[arg-type]  # as above


@given(st.integers(1, LARGEST), st.integers(1, LARGEST))
def test_a_tree_that_was_begun_anew_continues_no_other(older: int, more: int) -> None:
    leaves = leaves_of(older + more)
    other = [b"changed", *leaves[1:]]
    hashes = subproof(older, other, True)
    assert not merkle.continues(
        older_root=mth(leaves[:older]), older=older, newer_root=mth(other), newer=len(other), path=hashes
    )


def test_what_is_no_leaf_and_no_earlier_tree_is_refused() -> None:
    with pytest.raises(ValueError, match="no leaf 4 in a tree of 4"):
        merkle.inclusion_spans(4, 4)
    with pytest.raises(ValueError, match="can't be compared"):
        merkle.consistency_spans(5, 4)
    with pytest.raises(ValueError, match="There are 2 leaves, 3 are needed"):
        merkle.subtree_roots(leaves_of(2), 3, set())
    with pytest.raises(ValueError, match="no subtrees over"):
        merkle.subtree_roots(leaves_of(4), 4, {(1, 3)})
