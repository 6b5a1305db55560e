"""What failures have in common: which lot, tool, chart line, person or month is over-represented among them.

It says where to look and proves nothing. What was shipped is the population, with its months in service up to
the failure, the end of its service or today. Which questions there are is settled before any probability is
worked out, by how many assemblies have a thing and have not, whether they failed or not; all of them count in
the correction. A probability is worked out only where several failures share the thing: if the rest did not
count, whatever a few failures happen to share would look telling.

The fewest counts are common practice, no source.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
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
from django.db.models.functions import Coalesce, TruncMonth
from django.utils import timezone

from shop.assemblies.models import Assembly, Coverage, Crimp
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
from shop.trace.links import FACTORS, LINKS, RECORDS, Deed, Link
from shop.trace.models import FailureMode
from shop.trace.suspicion import Suspicion, Window

FEWEST_FAILURES = 3  # of the mode, in all: with fewer there is only the list of them
FEWEST_WITH = 2  # failures that share a thing: one shares everything with itself
FEWEST_EXPOSED = 5  # in the population, with the thing and without it
MOST_WORKED_OUT = 60  # those that most failures share: each is one look at the population
SHARE_OF_CHANCE = Decimal("0.10")  # of the hints that stand out, how many may be chance: own choice
DAYS_A_MONTH = Decimal("30.4375")  # a year of 365.25 days, in twelve

# A set-up is of one run and on one press: its run's lots and its tools say as much.
ASKED = FACTORS - {"set_up"}
# How records lead to an assembly and to the things of a link: model, to the assembly, to the thing.
_Ways = tuple[tuple[type[Model], str, Any], ...]
_MONTH = "month"  # in which ends were crimped: a window, and no link

# What failed assemblies share, which of them in any mode (their keys), and whether it is a person.
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

    @cached_property
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
    """A question with what chance would make of its counts, corrected for how many questions there were."""

    question: Question
    odds: OddsRatio
    p: Decimal
    p_adjusted: Decimal

    @property
    def is_uneven(self) -> bool:
        """Whether so many questions would hardly bring this about by chance, to whichever side."""
        return self.p_adjusted <= SHARE_OF_CHANCE

    @property
    def stands_out(self) -> bool:
        """Whether more of those with it failed than chance would bring about."""
        return self.is_uneven and self.odds.value > 1


@dataclass(frozen=True)
class InCommon:
    """What the failures of a mode (or of any) have in common; the most telling hint first.

    `questions` is how many things could be asked about, by how many have them; `left_out` how many more than
    one failure shares of which nothing was worked out.
    """

    everything: Exposed
    failed: QuerySet[Assembly]
    hints: tuple[Hint, ...]
    questions: int
    left_out: int

    @property
    def are_enough(self) -> bool:
        """Whether there are as many failures as a question needs."""
        return self.everything.failed >= FEWEST_FAILURES


@dataclass(frozen=True)
class _Service:
    """The population at one moment, `now`: a later one for each question would give them unlike months.

    `months` of service has those that failed in any mode, by key; `failed` are those of the mode asked about.
    """

    now: datetime.datetime
    shipped: QuerySet[Assembly]
    months: Mapping[int, Decimal]
    failed: frozenset[int]

    @property
    def _time(self) -> Combinable:
        """How long one that has not failed was in service until now, or is retired."""
        ends = Coalesce("retirement__entry__happened_at", Value(self.now, DateTimeField()))
        return ExpressionWrapper(ends - F("shipment__entry__happened_at"), DurationField())

    def exposed(self, suspicion: Suspicion | None, ended: set[int]) -> Exposed:
        """Those of the population that are suspected; `ended` are those of them that failed in any mode."""
        rows = self.shipped
        if suspicion is not None:
            rows = rows.filter(pk__in=suspicion.assemblies().order_by().values("pk"))
        rest = rows.exclude(pk__in=self.months)
        found = rest.aggregate(count=Count("pk"), time=Sum(self._time))
        months = sum((self.months[key] for key in ended), _months(found["time"] or datetime.timedelta()))
        return Exposed(found["count"] + len(ended), len(ended & self.failed), months)


def in_common(mode: FailureMode | None = None) -> InCommon:
    """Ask of everything that failures share whether that is more than chance.

    Assemblies that failed in another mode count with the sound ones, until they failed.
    """
    service = _service(mode)
    every = service.exposed(None, set(service.months))
    failed = Assembly.objects.filter(pk__in=service.failed)
    if every.failed < FEWEST_FAILURES:
        return InCommon(every, failed, (), 0, 0)
    ways = _ways()
    questions = _how_many(ways, service.shipped, every)
    shared = _shared_by(ways, service)
    asked = [question for question in _questions(service, every, shared[:MOST_WORKED_OUT]) if question]
    # From here on nothing is added or taken away: what could be asked is what is corrected for.
    p_values = [fishers_p(question.counts) for question in asked]
    questions = max(questions, len(asked))  # what was shipped between the two looks
    corrected = adjusted(p_values, questions=questions)
    hints = [
        Hint(question, odds_ratio(question.counts), p, p_adjusted)
        for question, p, p_adjusted in zip(asked, p_values, corrected, strict=True)
    ]
    hints.sort(key=lambda hint: (hint.p, -hint.odds.value))
    return InCommon(every, failed, tuple(hints), questions, len(shared) - len(asked))


def _questions(service: _Service, every: Exposed, shared: list[_Shared]) -> Iterator[Question | None]:
    """What enough assemblies have and have not to be asked about; None for the rest."""
    for suspicion, ended, is_about_a_person in shared:
        with_it = service.exposed(suspicion, ended)
        without_it = Exposed(
            every.assemblies - with_it.assemblies,
            every.failed - with_it.failed,
            every.months - with_it.months,
        )
        is_enough = min(with_it.assemblies, without_it.assemblies) >= FEWEST_EXPOSED
        yield Question(suspicion, with_it, without_it, is_about_a_person) if is_enough else None


def _ways() -> Mapping[str, _Ways]:
    """The ways to things, and the one to the month in the workshop's zone."""
    month = TruncMonth("entry__happened_at", tzinfo=get_workshop().zone_info)
    ways = {name: tuple(_ways_of(LINKS[name])) for name in LINKS if name in ASKED}
    return {**ways, _MONTH: ((Crimp, "assembly", month),)}


def _ways_of(link: Link) -> Iterator[tuple[type[Model], str, Any]]:
    """The link's own, and from readings also those to the crimps that the measured pieces cover."""
    is_read = link.deed is Deed.MEASURED
    for holder in link.holders():
        yield RECORDS[link.deed], "crimp__assembly" if is_read else "assembly", holder
    if is_read:
        for side in ("before", "after"):
            yield Coverage, "crimp__assembly", F(f"{side}__{link.path}")


def _how_many(ways: Mapping[str, _Ways], shipped: QuerySet[Assembly], every: Exposed) -> int:
    """How many things and months enough of the population have and have not, whether any of it failed or not.

    An assembly that leads to a thing in two ways is counted twice: a question too many makes hints weaker.
    """
    number = 0
    for roads in ways.values():
        having: dict[Any, list[int]] = defaultdict(list)
        for model, to_assembly, to_thing in roads:
            rows = model._default_manager.order_by().filter((f"{to_assembly}__in", shipped.values("pk")))
            things = rows.annotate(thing=to_thing).exclude(thing=None).values_list("thing")
            for thing, count in things.annotate(count=Count(to_assembly, distinct=True)):
                having[thing].append(count)
        number += sum(
            sum(counts) >= FEWEST_EXPOSED and every.assemblies - max(counts) >= FEWEST_EXPOSED
            for counts in having.values()
        )
    return number


def _shared_by(ways: Mapping[str, _Ways], service: _Service) -> list[_Shared]:
    """What `FEWEST_WITH` or more of the failures share, with who shares it, what most share first."""
    found: dict[tuple[str, Any], set[int]] = defaultdict(set)
    for name, roads in ways.items():
        for model, to_assembly, to_thing in roads:
            rows = model._default_manager.order_by().filter((f"{to_assembly}__in", list(service.months)))
            pairs = rows.annotate(thing=to_thing).exclude(thing=None)
            for assembly, thing in pairs.values_list(to_assembly, "thing"):
                found[name, thing].add(assembly)
    shared = [
        (_suspicion(name, thing), ended, name in LINKS and LINKS[name].model is User)
        for (name, thing), ended in found.items()
        if len(ended & service.failed) >= FEWEST_WITH
    ]
    return sorted(shared, key=lambda one: (-len(one[1] & service.failed), str(one[0].as_json())))


def _suspicion(name: str, thing: Any) -> Suspicion:
    """What is suspected of all that lead to a thing, or of a month by its first moment."""
    if name != _MONTH:
        return Suspicion({name: (thing,)})
    following = thing.replace(year=thing.year + thing.month // 12, month=thing.month % 12 + 1)
    return Suspicion(windows={Deed.CRIMPED: Window(thing, following - datetime.timedelta(microseconds=1))})


def _service(mode: FailureMode | None) -> _Service:
    """What was ever shipped, and how long each of those that failed was in service until then."""
    shipped = Assembly.objects.filter(shipment__isnull=False).order_by()
    known = {failure.assembly: failure for failure in failures()}
    zone = get_workshop().zone_info
    rows = shipped.filter(pk__in=list(known)).values_list("pk", "shipment__entry__happened_at")
    months = {}
    for key, shipped_at in rows:
        served = known[key].day - shipped_at.astimezone(zone).date()
        months[key] = _months(max(served, datetime.timedelta()))
    failed = frozenset(key for key in months if mode in (None, known[key].mode))
    return _Service(timezone.now(), shipped, months, failed)


def _months(time: datetime.timedelta) -> Decimal:
    return Decimal(time // datetime.timedelta(seconds=1)) / 86_400 / DAYS_A_MONTH
