"""What the tree over a chain is made of.

A leaf is the hash of an entry, as 32 bytes: it covers all that the entry says, its place and the hash
before. So a tree can be made from one narrow column, and whoever holds an entry can work out its leaf.
"""

from collections.abc import Iterator

from shop.ledger.merkle import Frontier
from shop.ledger.models import Entry, LedgerSeal
from shop.ledger.refusals import ChainDamaged, SealDamaged

BATCH = 5000  # leaves in memory at a time


def leaves(chain: int, site: str, *, after: int = 0, up_to: int) -> Iterator[bytes]:
    """The leaves of the entries `after` + 1 to `up_to` of the chain. Raises `ChainDamaged`."""
    number = after
    while number < up_to:
        rows = Entry.objects.filter(chain_id=chain, number__gt=number, number__lte=up_to).order_by("number")
        batch = list(rows.values_list("number", "hash")[:BATCH])
        if not batch:
            raise ChainDamaged(site=site, number=number + 1)
        for found, digest in batch:
            number += 1
            if found != number:
                raise ChainDamaged(site=site, number=number)
            yield leaf_of(digest, site=site, number=number)


def leaf_of(digest: str, *, site: str, number: int) -> bytes:
    """The leaf of an entry, from the hash as its row has it. Raises `ChainDamaged`."""
    try:
        leaf = bytes.fromhex(digest)
    except ValueError as error:
        raise ChainDamaged(site=site, number=number) from error
    return leaf


def tree_as_sealed(seal: LedgerSeal) -> Frontier:
    """The tree as the seal left it, to go on from. Raises `SealDamaged`.

    It is signed, so whatever was changed in older entries since gets into no later tree.
    """
    try:
        tree = Frontier(seal.last, [bytes.fromhex(root) for root in seal.frontier])
    except (TypeError, ValueError) as error:
        raise SealDamaged(seal=seal) from error
    if not (tree.is_whole() and tree.root().hex() == seal.root and seal.plain.is_signed()):
        raise SealDamaged(seal=seal)
    return tree
