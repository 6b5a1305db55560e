"""Comparing the chains with the copy of their heads outside the database."""

from collections.abc import Collection, Iterator, Mapping

from shop.ledger.checking.results import ChainEnd, Fault
from shop.ledger.heads import Head
from shop.ledger.models import Entry
from shop.ledger.restores import LostRange


def copy_faults(
    copy: Mapping[str, Head], ends: Collection[ChainEnd], lost: Collection[LostRange]
) -> Iterator[Fault]:
    """Entries that the copy knows and the database doesn't, unless a restore says that they are lost.

    `copy` was read before `ends`, so that entries written meanwhile can't make it lead.
    """
    lengths = {end.site: end.length for end in ends}
    explained = {(one.chain, one.last, one.hash) for one in lost}
    for site, head in sorted(copy.items()):
        length = lengths.get(site, 0)
        if (site, head.number, head.hash) in explained:
            continue
        if head.number > length:
            yield Fault(
                f"the copy of the heads outside the database knows entries up to {head.number}, the chain "
                f"ends at {length}: they were cut off, or an older database was put back by hand.",
                site,
                length + 1,
            )
        elif not Entry.objects.filter(chain__site=site, number=head.number, hash=head.hash).exists():
            what = "the copy of the heads outside the database knows it with another hash."
            yield Fault(what, site, head.number)


def copy_notices(copy: Mapping[str, Head], ends: Collection[ChainEnd]) -> Iterator[str]:
    """Where the copy lags behind; it catches up by itself at the next entry."""
    for end in ends:
        known = copy[end.site].number if end.site in copy else 0
        if known < end.length:
            yield (
                f"The copy of the heads outside the database knows the chain {end.site} up to entry {known}; "
                f"entries {known + 1} to {end.length} could be cut off without its noticing."
            )
