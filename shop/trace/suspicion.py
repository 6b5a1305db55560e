"""A suspicion: what assemblies have in common that may be their weakness."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any, cast

from django.db.models import Exists, F, Model, OuterRef, Q, QuerySet, Value

from shop.assemblies.models import Assembly, Crimp, Measurement
from shop.core.fields import LengthField
from shop.engineering.numbers import plain
from shop.ledger.models import Record
from shop.policy.services import get_workshop
from shop.trace.links import LINKS, RECORDS, Deed, Link, each_once
from shop.trace.occurring import occurring

# Readings are of a crimp: a crimp rests on its own and on those of the pieces that cover it.
OF_A_CRIMP = (Deed.CRIMPED, Deed.MEASURED)


@dataclass(frozen=True)
class Window:
    """A span of time, both ends included; None is open."""

    since: datetime | None = None
    until: datetime | None = None

    def __bool__(self) -> bool:
        return self.since is not None or self.until is not None


@dataclass(frozen=True)
class Suspicion:
    """Everything that is said here holds for a suspected assembly.

    `things` gives, by the name of a link, keys of which it has one; `windows` when a deed was done;
    `below_upper` and `above_lower` how near to a limit the mean of a crimp is (mm). What is said of
    crimps and readings is true of one and the same crimp.
    """

    things: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    windows: Mapping[Deed, Window] = field(default_factory=dict)
    below_upper: Decimal | None = None
    above_lower: Decimal | None = None

    def assemblies(self) -> QuerySet[Assembly]:
        """The suspected assemblies, by serial; none if nothing is suspected."""
        if not self:
            return Assembly.objects.none()
        found = Assembly.objects.all()
        for deed in Deed:
            if deed in OF_A_CRIMP or not self._says_of(deed):
                continue
            records = self._records(deed)
            key = "pk" if deed is Deed.ORDERED else "assembly"
            found = found.filter(pk__in=each_once(records, key))
        if any(self._says_of(deed) for deed in OF_A_CRIMP) or self._is_near:
            found = found.filter(pk__in=each_once(self.crimps()))
        return found

    def crimps(self) -> QuerySet[Crimp]:
        """The crimps for which all holds that is said of crimps and readings."""
        crimps = cast("QuerySet[Crimp]", self._records(Deed.CRIMPED))
        if self._says_of(Deed.MEASURED):
            crimps = crimps.filter(pk__in=resting_on(self._records(Deed.MEASURED)))
        if self._is_near:
            crimps = crimps.filter(pk__in=resting_on(self._near()))
        return crimps

    def __bool__(self) -> bool:
        return bool(any(self.things.values()) or any(self.windows.values()) or self._is_near)

    def as_json(self) -> dict[str, Any]:
        """What a recall keeps of it; `from_json` reads it."""
        near = {"below_upper_mm": self.below_upper, "above_lower_mm": self.above_lower}
        return {
            "things": {name: list(keys) for name, keys in self.things.items() if keys},
            "windows": {
                deed.value: [_iso(window.since), _iso(window.until)]
                for deed, window in self.windows.items()
                if window
            },
            **{name: plain(distance) for name, distance in near.items() if distance is not None},
        }

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> "Suspicion":
        """The suspicion that was kept. Raises `KeyError` and `ValueError` for what none is."""
        return cls(
            things={LINKS[name].name: tuple(keys) for name, keys in kept["things"].items()},
            windows={
                Deed(deed): Window(*(datetime.fromisoformat(end) if end else None for end in ends))
                for deed, ends in kept["windows"].items()
            },
            below_upper=Decimal(kept["below_upper_mm"]) if "below_upper_mm" in kept else None,
            above_lower=Decimal(kept["above_lower_mm"]) if "above_lower_mm" in kept else None,
        )

    def sentences(self) -> list[str]:
        """What is suspected, a sentence for each thing that is said."""
        return list(self._sentences())

    @property
    def _is_near(self) -> bool:
        return self.below_upper is not None or self.above_lower is not None

    def _says_of(self, deed: Deed) -> bool:
        return bool(self.windows.get(deed)) or any(self._links_of(deed))

    def _links_of(self, deed: Deed) -> Iterator[tuple[Link, tuple[int, ...]]]:
        for name, keys in self.things.items():
            if keys and LINKS[name].deed is deed:
                yield LINKS[name], keys

    def _records(self, deed: Deed) -> QuerySet[Model]:
        records, window = RECORDS[deed]._default_manager.order_by(), self.windows.get(deed)
        for link, keys in self._links_of(deed):
            records = records.filter(link.is_among(keys) if window else link.leads_to(keys))
        if not window:
            return records
        happened = cast("QuerySet[Record]", records)  # no time is said of what was ordered
        return occurring(happened, since=window.since, until=window.until)

    def _near(self) -> QuerySet[Measurement]:
        """The newest readings of crimps whose mean is as near to a limit as is suspected."""
        newer = Measurement.objects.filter(crimp=OuterRef("crimp"), number__gt=OuterRef("number"))
        near = Q()
        if self.below_upper is not None:
            upper = F("crimp__specification__upper") - Value(self.below_upper, LengthField())
            near |= Q(mean__gte=upper)
        if self.above_lower is not None:
            lower = F("crimp__specification__lower") + Value(self.above_lower, LengthField())
            near |= Q(mean__lte=lower)
        return Measurement.objects.order_by().filter(near, ~Exists(newer))

    def _sentences(self) -> Iterator[str]:
        for name, keys in self.things.items():
            if keys:
                yield f"{_capital(LINKS[name].words)} {_or(_names(LINKS[name], keys))}."
        for deed, window in self.windows.items():
            if window:
                yield f"{_capital(deed.value)} {_span(window)}."
        if self.below_upper is not None:
            yield f"The mean of an end is within {plain(self.below_upper)} mm of its upper limit, or above."
        if self.above_lower is not None:
            yield f"The mean of an end is within {plain(self.above_lower)} mm of its lower limit, or below."


def resting_on(
    readings: "QuerySet[Any]",
    *others: "QuerySet[Any, Any]",
    of: str = "crimp",
    by: datetime | None = None,
) -> "QuerySet[Any, Any]":
    """The keys of the crimps that were measured by these readings, or covered by crimps that were.

    `of` is "crimp__assembly" for those of their assemblies; `others` are keys that are added; with `by`,
    only what was on record of covered crimps at that moment counts.
    """
    readings = readings.order_by()
    known = ("isnull", False) if by is None else ("entry__recorded_at__lte", by)
    covered = (
        readings.filter((f"{beside}__{known[0]}", known[1])).values_list(f"{beside}__{of}")
        for beside in ("covers_after", "covers_before")
    )
    return readings.values_list(of).union(*covered, *others)


def _names(link: Link, keys: Iterable[int]) -> list[str]:
    found = link.model._default_manager.filter((f"{link.key}__in", keys)).order_by("pk")
    return [str(thing) for thing in found]


def _span(window: Window) -> str:
    since, until = _clock(window.since), _clock(window.until)
    if window.since is None:
        return f"until {until}"
    return f"since {since}" if window.until is None else f"from {since} to {until}"


def _clock(moment: datetime | None) -> str:
    return "" if moment is None else f"{moment.astimezone(get_workshop().zone_info):%Y-%m-%d %H:%M}"


def _iso(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


def _or(names: list[str]) -> str:
    return " or ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
