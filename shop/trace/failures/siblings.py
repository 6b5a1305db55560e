"""What else was made of the same lots, with the same tools, by the same hands, and what became of it."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Case, Count, F, Model, QuerySet, Value, When

from shop.assemblies.models import Assembly, State
from shop.assemblies.recalls import keeping_from_use
from shop.people.models import User
from shop.trace.failures.counting import failed_assemblies, failures
from shop.trace.links import FACTORS, Link
from shop.trace.models import FailureMode
from shop.trace.reaching import reached_from, suspicion_of
from shop.trace.suspicion import Suspicion

# Whoever cuts or releases has many hands' work: too much stands beside one that failed.
COMPARED = FACTORS - {"cut_by", "released_by"}
FAILED, RECALLED = "failed", "recalled"
_WORDS = {
    FAILED: "failed in service",
    RECALLED: "recalled",
    State.SCRAPPED: "scrapped",
    State.RETIRED: "retired",
    State.SHIPPED: "in service",
}


@dataclass(frozen=True)
class Siblings:
    """Assemblies that share one thing with the one that failed, each counted once: what is gravest of it."""

    link: Link
    thing: Model
    every: int
    in_service: int
    retired: int
    recalled: int
    scrapped: int
    failed_by_mode: Mapping[FailureMode, int]

    @property
    def failed(self) -> int:
        """Those that were found to have failed, whatever the mode."""
        return sum(self.failed_by_mode.values())

    @property
    def here(self) -> int:
        """Those that have not left the workshop."""
        known = self.in_service + self.retired + self.recalled + self.scrapped
        return self.every - known - self.failed

    @property
    def suspicion(self) -> Suspicion:
        """What they have in common."""
        return suspicion_of(self.thing, self.link)

    @property
    def is_person(self) -> bool:
        """Whether what they share is who made them."""
        return isinstance(self.thing, User)

    def rows(self, assembly: Assembly) -> Iterator[tuple[int, str, str]]:
        """Serial, code and what became of each, by serial; not all of them in memory."""
        rows = _beside(assembly, self.suspicion).order_by("serial")
        told = rows.values_list("serial", "code", "outcome")
        for serial, code, outcome in told.iterator(chunk_size=2000):
            yield serial, code, _WORDS.get(outcome, "in the workshop")


def siblings_of(assembly: Assembly) -> list[Siblings]:
    """By each factor and each thing of it, in the order of the making."""
    modes = {failure.assembly: failure.mode for failure in failures()}
    touched = [(link, thing) for link, thing in reached_from(assembly) if link.name in COMPARED]
    return [_counted(assembly, link, thing, modes) for link, thing in touched]


def _beside(assembly: Assembly, suspicion: Suspicion) -> "QuerySet[Any]":
    """The others of which the same holds, with `outcome`."""
    recalled = keeping_from_use().order_by().values("assembly")
    outcome = Case(
        When(pk__in=failed_assemblies().order_by().values("pk"), then=Value(FAILED)),
        When(pk__in=recalled, then=Value(RECALLED)),
        default=F("state"),
    )
    return suspicion.assemblies().exclude(pk=assembly.pk).annotate(outcome=outcome)


def _counted(assembly: Assembly, link: Link, thing: Model, modes: Mapping[int, FailureMode]) -> Siblings:
    beside = _beside(assembly, suspicion_of(thing, link))
    counts = dict(beside.order_by().values_list("outcome").annotate(count=Count("pk")))
    failed: Counter[FailureMode] = Counter()
    if counts.get(FAILED):
        failed.update(modes[key] for key in beside.filter(outcome=FAILED).values_list("pk", flat=True))
    return Siblings(
        link=link,
        thing=thing,
        every=sum(counts.values()),
        in_service=counts.get(State.SHIPPED, 0),
        retired=counts.get(State.RETIRED, 0),
        recalled=counts.get(RECALLED, 0),
        scrapped=counts.get(State.SCRAPPED, 0),
        failed_by_mode=dict(failed),
    )
