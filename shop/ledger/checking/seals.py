"""Comparing the chains with the seals over them, those in the ledger and those that were kept elsewhere."""

from collections.abc import Collection, Iterator
from itertools import pairwise

from shop.ledger.checking.records import UNREADABLE
from shop.ledger.checking.results import ChainEnd, Fault
from shop.ledger.merkle import Frontier
from shop.ledger.models import KeyReason, LedgerSeal, SealingKey
from shop.ledger.refusals import ChainDamaged
from shop.ledger.restores import lost_ranges
from shop.ledger.sealing.files import SealFile, file_faults
from shop.ledger.sealing.leaves import leaf_of, leaves
from shop.ledger.sealing.statements import Sealed


class SealWatch:
    """Lets the tree over a chain grow with the walk, and compares it with each seal where that ends."""

    def __init__(self, end: ChainEnd, kept: Collection[Sealed]) -> None:
        self.compared = 0  # how many seals in the ledger have been
        self._end = end
        self._tree = Frontier()
        self._kept = sorted((seal for seal in kept if seal.chain == end.site), key=lambda seal: seal.last)
        self._sealed = 0  # up to where the seals in the ledger have been compared
        self._right = 0  # up to where one that was kept elsewhere has been found right
        self._stop = self._next_stop()

    def pass_over(self, number: int) -> Iterator[Fault]:
        """Let the tree grow up to an entry that an earlier check has reached, and compare its seals anew."""
        try:
            for leaf in leaves(self._end.key, self._end.site, up_to=number):
                if self._grow(leaf):
                    yield from self.faults()
        except ChainDamaged as refusal:
            yield Fault("it is missing or has no hash.", self._end.site, refusal.facts["number"])

    def pass_by(self, digest: str) -> bool:
        """Let the tree grow by the next entry of the walk; whether a seal ends there, so ask for `faults`."""
        return self._grow(leaf_of(digest, site=self._end.site, number=self._tree.size + 1))

    def faults(self) -> Iterator[Fault]:
        """What is wrong with the seals that end where the tree does now."""
        yield from self._own_faults()
        yield from self._kept_faults()
        self._stop = self._next_stop()

    def pass_the_end(self) -> Iterator[Fault]:
        """Seals that were kept elsewhere and cover more entries than there are."""
        site, length = self._end.site, self._end.length
        for seal in self._kept:
            if seal.last > length:
                what = f"{seal}, kept elsewhere, covers entries {length + 1} to {seal.last}, which are gone."
                yield Fault(what + _explanation(seal), site, length + 1)

    def _grow(self, leaf: bytes) -> bool:
        self._tree.add(leaf)
        return self._tree.size == self._stop

    def _next_stop(self) -> int | None:
        """The size of the tree at which a seal is to be compared next."""
        size = self._tree.size
        own = LedgerSeal.objects.filter(chain_id=self._end.key, last__gt=size).order_by("last")
        sizes = [*own.values_list("last", flat=True)[:1], *(s.last for s in self._kept if s.last > size)]
        return min(sizes, default=None)

    def _own_faults(self) -> Iterator[Fault]:
        rows = LedgerSeal.objects.filter(chain_id=self._end.key, last=self._tree.size)
        try:
            for seal in rows.select_related("chain", "entry__chain", "key"):
                for what in self._wrong_with(seal):
                    yield Fault(f"the {seal} {what}", seal.entry.chain.site, seal.entry.number)
                self._sealed = seal.last
                self.compared += 1
        except (AttributeError, *UNREADABLE) as error:  # Django reads what is no time as none at all
            what = f"the seal over entries up to this one can't be read ({error})."
            yield Fault(what, self._end.site, self._tree.size)

    def _wrong_with(self, seal: LedgerSeal) -> Iterator[str]:
        if seal.first != self._sealed + 1:
            yield f"does not go on from the one before, which ends at entry {self._sealed}."
        if seal.root != self._tree.root().hex():
            yield "has another root than they have now: one of them was changed since."
        if seal.frontier != [root.hex() for root in self._tree.roots]:
            yield "has other roots of subtrees than they have now."
        if not seal.plain.is_signed():
            yield f"is not signed by {seal.key}."
        if seal.key != SealingKey.objects.filter(pk__lt=seal.pk).order_by("-pk").first():
            yield f"is signed by {seal.key}, which was not the key of its day."

    def _kept_faults(self) -> Iterator[Fault]:
        for seal in self._kept:
            if seal.last != self._tree.size:
                continue
            if seal.root != self._tree.root().hex():
                what = f"{seal}, kept elsewhere, has another root than they have now: one of the entries "
                what += f"{self._right + 1} to {seal.last} was changed, taken out or put in."
                yield Fault(what + _explanation(seal), self._end.site, seal.last)
            else:
                self._right = seal.last


def key_faults() -> Iterator[Fault]:
    """Keys that don't follow the one before as they say."""
    keys = list(SealingKey.objects.select_related("entry__chain").order_by("pk"))
    for number, key in enumerate(keys, start=1):
        if key.number != number or (key.reason == KeyReason.FIRST) != (number == 1):
            what = f"it made {key}, but {number - 1} keys were made before."
            yield Fault(what, key.entry.chain.site, key.entry.number)
    for before, after in pairwise(keys):
        turn = after.reason == KeyReason.ROTATED
        if turn and not after.known.is_vouched_for_by(before.public_key):
            what = f"it made {after}, which {before} did not sign."
            yield Fault(what, after.entry.chain.site, after.entry.number)


def kept_faults(file: SealFile, ends: Collection[ChainEnd]) -> Iterator[Fault]:
    """What is wrong with exported seals before they are compared with any entry."""
    for sentence in file_faults(file):
        yield Fault(sentence)
    trusted = set(SealingKey.objects.values_list("public_key", flat=True))
    for before, after in pairwise(file.keys):
        if before.public_key in trusted and after.is_vouched_for_by(before.public_key):
            trusted.add(after.public_key)
    sites = {end.site for end in ends}
    for seal in file.seals:
        if seal.key not in trusted:
            yield Fault(
                f"{seal}, kept elsewhere, is signed with a key that this ledger does not know: it is of "
                f"another workshop, or the ledger was cut back or made anew.{_explanation(seal)}"
            )
        if seal.chain not in sites:
            yield Fault(f"{seal}, kept elsewhere, is over a chain that is not here.")


def _explanation(seal: Sealed) -> str:
    """What recorded restores have to do with it; nothing if they haven't."""
    try:
        lost = [one for one in lost_ranges() if one.chain == seal.chain and one.first <= seal.last]
    except (KeyError, *UNREADABLE):
        return " An entry that tells of a restored backup can't be read."
    return "".join(f" The ledger tells that a restored backup lost {one}." for one in lost)
