"""Showing that entries are under a seal, without the rest of the ledger.

Whoever is handed an entry works out its hash, and from that and the path the root that was signed
(RFC 9162, section 2.1.3). What is proven is plain data, to be handed over with the entries themselves.
"""

from collections.abc import Collection
from dataclasses import dataclass

from shop.ledger.merkle import Frontier, includes, inclusion_spans, subtree_roots
from shop.ledger.models import Chain, Entry, LedgerSeal, SealingKey
from shop.ledger.refusals import NotSealedYet
from shop.ledger.sealing.leaves import leaves, tree_as_sealed
from shop.ledger.sealing.statements import KnownKey, Sealed
from shop.ledger.services.sealing import newest_seal


@dataclass(frozen=True, slots=True)
class Inclusion:
    """An entry by number and hash, with the hashes that lead from its leaf to the root, hexadecimal."""

    number: int
    hash: str
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SealedEntries:
    """A seal, the keys that the ledger knew when it was made, and entries that are shown to be under it."""

    seal: Sealed
    keys: tuple[KnownKey, ...]
    entries: tuple[Inclusion, ...]


def prove_entries(chain: Chain, numbers: Collection[int], *, seal: LedgerSeal | None = None) -> SealedEntries:
    """Show that these entries of the chain are under its newest seal, or under the one given.

    Goes once over the hashes from the last seal before the oldest of the entries, in memory that grows
    with the logarithm of the chain's length and with what is asked. Raises `NotSealedYet`, `ChainDamaged`,
    `SealDamaged`.
    """
    wanted = sorted(set(numbers))
    under = seal if seal is not None else newest_seal(chain)
    if under is None or wanted[-1] > under.last:
        raise NotSealedYet(number=wanted[-1], site=chain.site)
    before = LedgerSeal.objects.filter(chain=chain, last__lt=wanted[0]).select_related("chain", "key")
    start = before.order_by("-last").first()
    begun = tree_as_sealed(start) if start is not None else Frontier()
    paths = {number: inclusion_spans(number - 1, under.last) for number in wanted}
    spans = {span for path in paths.values() for span in path}
    behind = leaves(chain.pk, chain.site, after=begun.size, up_to=under.last)
    roots = subtree_roots(behind, under.last, spans, begun)
    hashes = dict(Entry.objects.filter(chain=chain, number__in=wanted).values_list("number", "hash"))
    keys = SealingKey.objects.filter(pk__lt=under.pk).order_by("number")
    return SealedEntries(
        seal=under.plain,
        keys=tuple(key.known for key in keys),
        entries=tuple(
            Inclusion(number, hashes[number], tuple(roots[span].hex() for span in paths[number]))
            for number in wanted
        ),
    )


def is_under(entry: Inclusion, seal: Sealed) -> bool:
    """Whether the path shows that the entry is under the seal, and the seal is signed."""
    return seal.is_signed() and includes(
        root=bytes.fromhex(seal.root),
        size=seal.last,
        index=entry.number - 1,
        leaf=bytes.fromhex(entry.hash),
        path=[bytes.fromhex(node) for node in entry.path],
    )
