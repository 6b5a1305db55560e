"""The whole check."""

from collections.abc import Callable, Collection, Iterator, Mapping
from itertools import chain, islice

from django.db import connection

from shop.ledger import heads
from shop.ledger.checking.chains import chain_ends, chain_faults
from shop.ledger.checking.consistency import consistency_faults
from shop.ledger.checking.outside import copy_faults, copy_notices
from shop.ledger.checking.records import stray_faults
from shop.ledger.checking.results import ChainEnd, Checkpoint, CheckResult, Fault, Progress
from shop.ledger.checking.seals import SealWatch, kept_faults, key_faults
from shop.ledger.refusals import HeadsUnreadable
from shop.ledger.restores import lost_ranges
from shop.ledger.sealing.files import SealFile
from shop.ledger.triggers import missing


def check_ledger(
    *,
    resume_from: Mapping[str, Checkpoint] | None = None,
    progress: Callable[[Progress], None] | None = None,
    kept: SealFile | None = None,
) -> CheckResult:
    """Walk every chain, compare every record and every seal, and stop at the first fault.

    `resume_from` (by site) passes over entries that an earlier check has found right. `progress` is
    told now and then how far it is. `kept` are seals that were exported and held elsewhere. Holds a few
    thousand rows in memory, runs outside any transaction and lets the workshop go on writing.
    """
    copy = _read_copy()  # before the ends, so that it can't lead
    ends = chain_ends()
    watches = {end.site: SealWatch(end, kept.seals if kept is not None else ()) for end in ends}
    total = sum(end.length for end in ends)
    reached = dict(resume_from or {})

    def done() -> int:
        return sum(checkpoint.number for checkpoint in reached.values())

    def reach(site: str, checkpoint: Checkpoint) -> None:
        reached[site] = checkpoint
        if progress is not None:
            progress(Progress(done(), total, dict(reached)))

    def walk() -> Iterator[Fault]:
        if kept is not None:
            yield from kept_faults(kept, ends)
        for end in ends:
            yield from chain_faults(end, reached.get(end.site), watches[end.site], reach)
        yield from key_faults()

    faults = tuple(islice(chain(walk(), _other_faults(copy, ends)), 1))
    return CheckResult(
        faults=faults,
        entries=done(),
        seals=sum(watch.compared for watch in watches.values()),
        reached=reached,
        lost=() if faults else lost_ranges(),
        notices=() if isinstance(copy, Fault) else tuple(copy_notices(copy, ends)),
    )


def _read_copy() -> dict[str, heads.Head] | Fault:
    try:
        return heads.read_copy()
    except HeadsUnreadable as refusal:
        return Fault(str(refusal))


def _other_faults(copy: dict[str, heads.Head] | Fault, ends: Collection[ChainEnd]) -> Iterator[Fault]:
    """What is asked once the chains themselves are right; last of all, what guards them."""
    if isinstance(copy, Fault):
        yield copy
    else:
        yield from copy_faults(copy, ends, lost_ranges())
    yield from stray_faults()
    yield from consistency_faults()
    for name in missing(connection):
        yield Fault(f"The trigger {name} is missing: records can be changed. Run `manage.py migrate`.")
