"""How assemblies lead to the things that they were made from, with and by: the one table of it.

A look-up follows one link, a suspicion any number of them together.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from django.db.models import F, Model, Q, QuerySet
from django.db.models.functions import Coalesce

from shop.assemblies.models import (
    Assembly,
    Crimp,
    Cut,
    Inspection,
    LotCorrection,
    Measurement,
    ProofTest,
    Release,
    Run,
    SetUp,
    Shipment,
)
from shop.catalogue.models import ChartIssue, CrimpSpecification, Ferrule, Fitting, FittingSeries, Hose
from shop.orders.models import Customer, Order, OrderLine
from shop.people.models import User
from shop.stock.models import Lot, Piece
from shop.tooling.models import Arrangement, Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.occurring import is_of


class Deed(StrEnum):
    """What was done to an assembly, as the records that a link begins at."""

    ORDERED = "ordered"
    CUT = "cut"
    CRIMPED = "crimped"
    MEASURED = "measured"
    INSPECTED = "inspected"
    TESTED = "tested"
    RELEASED = "released"
    SHIPPED = "shipped"


RECORDS: Mapping[Deed, type[Model]] = {
    Deed.ORDERED: Assembly,
    Deed.CUT: Cut,
    Deed.CRIMPED: Crimp,
    Deed.MEASURED: Measurement,
    Deed.INSPECTED: Inspection,
    Deed.TESTED: ProofTest,
    Deed.RELEASED: Release,
    Deed.SHIPPED: Shipment,
}


@dataclass(frozen=True)
class Link:
    """From the records of a deed to one kind of thing.

    `name` stands in kept suspicions and in addresses and never changes. `path` leads from the record to
    what it holds of the thing, which is the thing's `key`.
    """

    name: str
    words: str
    deed: Deed
    model: type[Model]
    path: str
    key: str = "pk"

    def records(self, keys: Iterable[int]) -> QuerySet[Model]:
        """The deed's records that lead to one of the things with these keys."""
        return RECORDS[self.deed]._default_manager.filter(self.leads_to(keys))

    def on_record(self, keys: Iterable[int], moment: datetime | None) -> QuerySet[Model]:
        """Those of `records` that were written down by that moment; None is now. Not of what was ordered."""
        records = self.records(keys)
        return records if moment is None else records.filter(entry__recorded_at__lte=moment)

    def leads_to(self, keys: Iterable[int]) -> Q:
        """What is true of a record that leads to one of the things with these keys."""
        return Q((f"{self.path}__in", list(keys)))

    def is_among(self, keys: Iterable[int]) -> Q:
        """The same of a record whose time is known: nothing is looked up by it."""
        return self.leads_to(keys) if self.is_used_up else is_of(self.path, keys)

    @property
    def is_used_up(self) -> bool:
        """Whether such a thing has only so many assemblies, however long the workshop is there."""
        return self.model in _USED_UP

    def holders(self) -> tuple[F | Coalesce, ...]:
        """Where a record holds keys of what it leads to: `leads_to` the other way round."""
        return (F(self.path),)


@dataclass(frozen=True)
class LinkToDoer(Link):
    """To who did it, whoever wrote it down. The path leads to the entry of what was done."""

    def leads_to(self, keys: Iterable[int]) -> Q:
        known, entry = list(keys), self.path
        itself = Q((f"{entry}__done_by", None), (f"{entry}__actor_number__in", known))
        return Q((f"{entry}__done_by__in", known)) | itself

    def holders(self) -> tuple[F | Coalesce, ...]:
        return (Coalesce(f"{self.path}__done_by", f"{self.path}__actor_number"),)

    def is_among(self, keys: Iterable[int]) -> Q:
        return self.leads_to(keys)  # entries are not looked up by their doer anyhow


@dataclass(frozen=True)
class LinkToLot(Link):
    """To the lot that was named for a crimp, and to those that it was corrected to: each may be in it."""

    def leads_to(self, keys: Iterable[int]) -> Q:
        named = Q((f"{self.path}__in", list(keys)))
        corrected = LotCorrection.objects.order_by().filter(named)
        # Together, not with OR: PostgreSQL would read every crimp for that.
        crimps = Crimp.objects.order_by().filter(named).values("pk")
        return Q(pk__in=crimps.union(corrected.values("crimp"), all=True))

    def on_record(self, keys: Iterable[int], moment: datetime | None) -> QuerySet[Model]:
        """A crimp that was corrected to it later was of another lot then, as far as was known."""
        if moment is None:
            return self.records(keys)
        named = Q((f"{self.path}__in", list(keys)), entry__recorded_at__lte=moment)
        crimps = Crimp.objects.order_by().filter(named).values("pk")
        corrected = LotCorrection.objects.order_by().filter(named).values("crimp")
        return Crimp.objects.filter(pk__in=crimps.union(corrected, all=True))

    def holders(self) -> tuple[F | Coalesce, ...]:
        return (*super().holders(), F(f"lot_corrections__{self.path}"))


def each_once(records: "QuerySet[Any]", key: str = "assembly") -> "QuerySet[Any, Any]":
    """The keys of the assemblies that these records are of, for `pk__in`.

    Each once: else PostgreSQL goes through all assemblies in the order of a page and asks whether there is a
    record of each, however few there are.
    """
    return records.order_by().values(key).distinct()


_USED_UP = (Run, OrderLine, Order, Lot, Piece, SetUp)


def _by(deed: Deed, words: str) -> Link:
    return LinkToDoer(f"{deed}_by", words, deed, User, "entry", key="number")


_ALL = (
    Link("run", "made in", Deed.ORDERED, Run, "run"),
    Link("order_line", "made for", Deed.ORDERED, OrderLine, "run__line"),
    Link("order", "ordered in", Deed.ORDERED, Order, "run__line__order"),
    Link("customer", "ordered by", Deed.ORDERED, Customer, "run__line__order__customer"),
    Link("hose", "of", Deed.ORDERED, Hose, "run__resolution__hose"),
    Link("hose_lot", "hose from", Deed.CUT, Lot, "movement__piece__lot"),
    Link("piece", "cut from", Deed.CUT, Piece, "movement__piece"),
    _by(Deed.CUT, "cut by"),
    LinkToLot("fitting_lot", "fitting from", Deed.CRIMPED, Lot, "fitting_lot"),
    LinkToLot("ferrule_lot", "ferrule from", Deed.CRIMPED, Lot, "ferrule_lot"),
    Link("fitting", "with", Deed.CRIMPED, Fitting, "fitting_lot__fitting"),
    Link("ferrule", "with", Deed.CRIMPED, Ferrule, "specification__ferrule"),
    Link("series", "with fittings of", Deed.CRIMPED, FittingSeries, "specification__series"),
    Link("chart_line", "crimped to", Deed.CRIMPED, CrimpSpecification, "specification"),
    Link("chart_issue", "crimped to", Deed.CRIMPED, ChartIssue, "specification__chart_issue"),
    Link("set_up", "crimped on", Deed.CRIMPED, SetUp, "set_up"),
    Link("crimper", "crimped in", Deed.CRIMPED, Crimper, "set_up__crimper"),
    Link("die_set", "crimped with die set", Deed.CRIMPED, DieSet, "set_up__die_set"),
    Link("stop_part", "crimped with stop part", Deed.CRIMPED, StopPart, "set_up__stop_part"),
    Link("arrangement", "crimped in the arrangement", Deed.CRIMPED, Arrangement, "set_up__arrangement"),
    LinkToDoer("set_up_by", "crimped on a set-up by", Deed.CRIMPED, User, "set_up__entry", key="number"),
    _by(Deed.CRIMPED, "crimped by"),
    Link("gauge", "measured with", Deed.MEASURED, Gauge, "gauge"),
    _by(Deed.MEASURED, "measured by"),
    Link("tape", "inspected with", Deed.INSPECTED, Gauge, "gauge"),
    _by(Deed.INSPECTED, "inspected by"),
    Link("pressure_gauge", "proof tested with", Deed.TESTED, PressureGauge, "gauge"),
    _by(Deed.TESTED, "proof tested by"),
    _by(Deed.RELEASED, "released by"),
    _by(Deed.SHIPPED, "shipped by"),
)
LINKS: Mapping[str, Link] = {link.name: link for link in _ALL}
# Those by which assemblies may share a weakness: the others come along with one of these, or judge only.
FACTORS = frozenset(
    {
        "hose_lot",
        "piece",
        "cut_by",
        "fitting_lot",
        "ferrule_lot",
        "chart_line",
        "set_up",
        "crimper",
        "die_set",
        "stop_part",
        "crimped_by",
        "gauge",
        "released_by",
    }
)


def links_to(model: type[Model]) -> tuple[Link, ...]:
    """All links that lead to things of that kind."""
    return tuple(link for link in _ALL if link.model is model)
