"""What failures have in common: which lot, tool, chart line, person or month is over-represented among them.

It says where to look and proves nothing. What was shipped is the population, with its months in service up to
the failure, the end of its service or today. Which questions are asked is settled before any probability is
worked out, by counts alone, and all that were asked count in the correction.

The fewest counts are common practice, no source.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import (
    Count,
    DateTimeField,
    DurationField,
    ExpressionWrapper,
    F,
    Model,
    QuerySet,
    Sum,
    Value,
)
from django.db.models.expressions import Combinable
from django.db.models.functions import Coalesce
from django.utils import timezone

from shop.assemblies.models import Assembly, Coverage, Crimp, Cut, LotCorrection, Measurement, Release
from shop.engineering.common_factors import (
    Counts,
    OddsRatio,
    adjusted,
    fishers_p,
    odds_ratio,
    rate_per_1000_months,
)
from shop.people.models import User
from shop.policy.services import get_workshop
from shop.trace.failures import failures
from shop.trace.links import LINKS, Deed
from shop.trace.models import FailureMode
from shop.trace.suspicion import Suspicion, Window

FEWEST_FAILURES = 3  # of the mode, in all: with fewer there is only the list of them
FEWEST_WITH = 2  # failures that share a thing: one shares everything with itself
FEWEST_EXPOSED = 5  # in the population, with the thing and without it
MOST_QUESTIONS = 60  # those that most failures share: each is one look at the population
SHARE_OF_CHANCE = Decimal("0.10")  # of the hints that stand out, how many may be chance: own choice
DAYS_A_MONTH = Decimal("30.4375")  # a year of 365.25 days, in twelve

_DOER = Coalesce("entry__done_by", "entry__actor_number")
# How the records of a failed assembly lead to the things of each link: model, to the assembly, to the thing.
_WAYS: Mapping[str, tuple[tuple[type[Model], str, Any], ...]] = {
    "hose_lot": ((Cut, "assembly", F("movement__piece__lot")),),
    "piece": ((Cut, "assembly", F("movement__piece")),),
    "cut_by": ((Cut, "assembly", _DOER),),
    "fitting_lot": (
        (Crimp, "assembly", F("fitting_lot")),
        (LotCorrection, "crimp__assembly", F("fitting_lot")),
    ),
    "ferrule_lot": (
        (Crimp, "assembly", F("ferrule_lot")),
        (LotCorrection, "crimp__assembly", F("ferrule_lot")),
    ),
    "chart_line": ((Crimp, "assembly", F("specification")),),
    "crimper": ((Crimp, "assembly", F("set_up__crimper")),),
    "die_set": ((Crimp, "assembly", F("set_up__die_set")),),
    "stop_part": ((Crimp, "assembly", F("set_up__stop_part")),),
    "crimped_by": ((Crimp, "assembly", _DOER),),
    "gauge": (
        (Measurement, "crimp__assembly", F("gauge")),
        (Coverage, "crimp__assembly", F("before__gauge")),
        (Coverage, "crimp__assembly", F("after__gauge")),
    ),
    "released_by": ((Release, "assembly", _DOER),),
}


# What failed assemblies share, which of them (their keys), and whether it is a person.
_Shared = tuple[Suspicion, set[int], bool]


@dataclass(frozen=True)
class Exposed:
    """Assemblies that were shipped, how many of them failed, and their months in service together."""

    assemblies: int
    failed: int
    months: Decimal

    @property
    def rate(self) -> Decimal | None:
        """Failures in a thousand months of service."""
        return rate_per_1000_months(self.failed, self.months)


@dataclass(frozen=True)
class Question:
    """Whether what the suspicion says is more frequent among the failures than in the population."""

    suspicion: Suspicion
    with_it: Exposed
    without_it: Exposed
    is_about_a_person: bool

    @property
    def says(self) -> str:
        """What is asked about, as a suspicion is told."""
        return " ".join(self.suspicion.sentences())

    @property
    def counts(self) -> Counts:
        """The four counts of the question."""
        with_it, without_it = self.with_it, self.without_it
        return Counts(
            failed_with=with_it.failed,
            sound_with=with_it.assemblies - with_it.failed,
            failed_without=without_it.failed,
            sound_without=without_it.assemblies - without_it.failed,
        )


@dataclass(frozen=True)
class Hint:
    """A question with what chance would make of its counts, corrected for how many were asked."""

    question: Question
    odds: OddsRatio
    p: Decimal
    p_adjusted: Decimal

    @property
    def stands_out(self) -> bool:
        """Whether it is more than the questions that were asked would bring about by chance."""
        return self.p_adjusted <= SHARE_OF_CHANCE and self.odds.value > 1


@dataclass(frozen=True)
class InCommon:
    """What the failures of a mode (or of any) have in common; the most telling hint first.

    `left_out` is how many things more than one of them shares that were not asked about.
    """

    everything: Exposed
    failed: QuerySet[Assembly]
    hints: tuple[Hint, ...]
    left_out: int

    @property
    def are_enough(self) -> bool:
        """Whether there are as many failures as a question needs."""
        return self.everything.failed >= FEWEST_FAILURES


@dataclass(frozen=True)
class _Service:
    """The months in service of each failed assembly, by its key, and the population they are of."""

    shipped: QuerySet[Assembly]
    months: Mapping[int, Decimal]

    def exposed(self, suspicion: Suspicion | None, failed: set[int]) -> Exposed:
        """Those of the population that are suspected, in one query; `failed` are those among them."""
        rows = self.shipped
        if suspicion is not None:
            rows = rows.filter(pk__in=suspicion.assemblies().order_by().values("pk"))
        rest = rows.exclude(pk__in=self.months)
        found = rest.aggregate(count=Count("pk"), time=Sum(_time_in_service()))
        months = sum((self.months[key] for key in failed), _months(found["time"] or datetime.timedelta()))
        return Exposed(found["count"] + len(failed), len(failed), months)


def in_common(mode: FailureMode | None = None) -> InCommon:
    """Ask of everything that failures share whether that is more than chance.

    Assemblies that failed in another mode count with the sound ones.
    """
    service = _service(mode)
    every = service.exposed(None, set(service.months))
    failed = Assembly.objects.filter(pk__in=service.months)
    if every.failed < FEWEST_FAILURES:
        return InCommon(every, failed, (), 0)
    shared = _shared_by(service.months)
    asked = [question for question in _questions(service, every, shared[:MOST_QUESTIONS]) if question]
    # From here on nothing is added or taken away: what was asked is what is corrected for.
    p_values = [fishers_p(question.counts) for question in asked]
    hints = [
        Hint(question, odds_ratio(question.counts), p, p_adjusted)
        for question, p, p_adjusted in zip(asked, p_values, adjusted(p_values), strict=True)
    ]
    hints.sort(key=lambda hint: (hint.p, -hint.odds.value))
    return InCommon(every, failed, tuple(hints), len(shared) - len(asked))


def _questions(service: _Service, every: Exposed, shared: list[_Shared]) -> Iterator[Question | None]:
    """What there is enough of to be asked: by counts alone."""
    for suspicion, failed, is_about_a_person in shared:
        with_it = service.exposed(suspicion, failed)
        without_it = Exposed(
            every.assemblies - with_it.assemblies, every.failed - len(failed), every.months - with_it.months
        )
        is_enough = min(with_it.assemblies, without_it.assemblies) >= FEWEST_EXPOSED
        yield Question(suspicion, with_it, without_it, is_about_a_person) if is_enough else None


def _shared_by(failed: Mapping[int, Decimal]) -> list[_Shared]:
    """What `FEWEST_WITH` or more of them share, with who shares it, what most share first."""
    found: dict[tuple[str, int], set[int]] = defaultdict(set)
    for name, ways in _WAYS.items():
        for model, to_assembly, to_thing in ways:
            rows = model._default_manager.order_by().filter((f"{to_assembly}__in", list(failed)))
            pairs = rows.annotate(thing=to_thing).exclude(thing=None)
            for assembly, thing in pairs.values_list(to_assembly, "thing"):
                found[name, thing].add(assembly)
    shared = [
        (Suspicion({name: (thing,)}), keys, LINKS[name].model is User)
        for (name, thing), keys in found.items()
    ]
    for month, keys in _months_made(failed):
        shared.append((Suspicion(windows={Deed.CRIMPED: month}), keys, False))
    kept = [one for one in shared if len(one[1]) >= FEWEST_WITH]
    return sorted(kept, key=lambda one: (-len(one[1]), str(one[0].as_json())))


def _months_made(failed: Mapping[int, Decimal]) -> Iterator[tuple[Window, set[int]]]:
    """The months in which ends of them were crimped, in the workshop's zone."""
    zone = get_workshop().zone_info
    crimps = Crimp.objects.order_by().filter(assembly__in=list(failed))
    found: dict[tuple[int, int], set[int]] = defaultdict(set)
    for assembly, happened_at in crimps.values_list("assembly", "entry__happened_at"):
        there = happened_at.astimezone(zone)
        found[there.year, there.month].add(assembly)
    for (year, month), keys in found.items():
        begins = datetime.datetime(year, month, 1, tzinfo=zone)
        following = datetime.datetime(year + month // 12, month % 12 + 1, 1, tzinfo=zone)
        yield Window(begins, following - datetime.timedelta(microseconds=1)), keys


def _service(mode: FailureMode | None) -> _Service:
    """What was ever shipped, and how long each of those that failed was in service until then."""
    shipped = Assembly.objects.filter(shipment__isnull=False).order_by()
    days = {failure.assembly: failure.day for failure in failures(mode)}
    zone = get_workshop().zone_info
    rows = shipped.filter(pk__in=list(days)).values_list("pk", "shipment__entry__happened_at")
    months = {}
    for key, shipped_at in rows:
        served = days[key] - shipped_at.astimezone(zone).date()
        months[key] = _months(max(served, datetime.timedelta()))
    return _Service(shipped, months)


def _time_in_service() -> Combinable:
    ends = Coalesce("retirement__entry__happened_at", Value(timezone.now(), DateTimeField()))
    return ExpressionWrapper(ends - F("shipment__entry__happened_at"), DurationField())


def _months(time: datetime.timedelta) -> Decimal:
    return Decimal(time // datetime.timedelta(seconds=1)) / 86_400 / DAYS_A_MONTH
