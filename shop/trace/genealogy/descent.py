"""What a thing led to: pieces of work, runs and customers, the largest of each and the rest together.

However many assemblies there are, a column has `MOST` nodes, the last of which stands for all that have
no node of their own: nothing is left out of the count.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, F, Model, Q, QuerySet
from django.db.models.functions import TruncMonth

from shop.assemblies.models import Assembly, Run
from shop.assemblies.models.assembly import DONE_WITH
from shop.orders.models import Customer
from shop.policy.services import get_workshop
from shop.stock.models import Piece
from shop.trace.genealogy.nodes import SUBJECT, Genealogy, Node, NodeColumn
from shop.trace.links import Deed, Link
from shop.trace.recalling import OUT
from shop.trace.suspicion import Suspicion, Window

MOST = 12
REST = "rest"
RUN_OF = {Deed.ORDERED: "run", Deed.MEASURED: "crimp__assembly__run"}  # others name the assembly


@dataclass(frozen=True)
class _Groups:
    """The groups that have a node of their own, how many assemblies each has, and how many the rest."""

    shown: dict[Any, int]
    others: int
    in_others: int

    @property
    def every(self) -> int:
        """How many assemblies all groups have together."""
        return sum(self.shown.values()) + self.in_others

    def node_of(self, group: Any) -> Any:
        """The group itself, or the rest that it is in."""
        return group if group in self.shown else REST


def descent_of(thing: Model, link: Link) -> Genealogy:
    """What the thing led to by that link, in a number of queries that doesn't grow with it."""
    key = getattr(thing, link.key)
    suspicion = Suspicion({link.name: (key,)})
    found = suspicion.assemblies().order_by()
    runs = _groups(found, "run")
    customers = _groups(found, "run__line__order__customer")
    rows = Run.objects.select_related("line__order").in_bulk(list(runs.shown))
    columns = [
        NodeColumn("From", (Node(SUBJECT, str(thing), thing=thing, count=runs.every),)),
        NodeColumn("Runs", tuple(_runs(runs, rows, found, suspicion))),
        NodeColumn("Customers", tuple(_customers(customers, suspicion))),
    ]
    lines = list(_to_customers(runs, customers, rows, found))
    work = _work(thing, link, suspicion, runs)
    if work is None:
        lines += [(SUBJECT, node.key) for node in columns[1].nodes]
    else:
        column, onward = work
        columns.insert(1, column)
        lines += [(SUBJECT, node.key) for node in column.nodes] + onward
    return Genealogy(f"What {thing} led to", tuple(columns), tuple(lines))


def _groups(rows: "QuerySet[Any]", *by: str, newest: bool = False) -> _Groups:
    """The largest groups, or the newest; one more than fits is never drawn alone as 'the rest'."""
    [name] = by
    counted = rows.values_list(name).annotate(count=Count("pk"))
    ranked = counted.order_by(F(name).desc() if newest else "-count", name)
    head = list(ranked[: MOST + 1])
    if len(head) <= MOST:
        return _Groups(dict(head), 0, 0)
    shown = dict(head[: MOST - 1])
    every = rows.aggregate(rows=Count("pk"), groups=Count(name, distinct=True))
    return _Groups(shown, every["groups"] - len(shown), every["rows"] - sum(shown.values()))


def _runs(
    groups: _Groups, rows: dict[int, Run], found: QuerySet[Assembly], suspicion: Suspicion
) -> Iterator[Node]:
    out = found.filter(run__in=list(groups.shown)).values("run")
    places = {
        row["run"]: row
        for row in out.annotate(
            out=Count("pk", filter=Q(state__in=OUT)), done=Count("pk", filter=Q(state__in=DONE_WITH))
        )
    }
    for run, count in groups.shown.items():
        here = count - places[run]["out"] - places[run]["done"]
        parts = [(places[run]["out"], "out in service"), (here, "here"), (places[run]["done"], "done with")]
        note = ", ".join(f"{number} {words}" for number, words in parts if number)
        yield Node(
            f"run {run}",
            str(rows[run]),
            f"{_assemblies(count)}: {note}",
            count,
            narrowed=replace(suspicion, things={**suspicion.things, "run": (run,)}),
            is_group=count > 1,
        )
    yield from _rest("run", groups, "more runs")


def _customers(groups: _Groups, suspicion: Suspicion) -> Iterator[Node]:
    rows = Customer.objects.in_bulk(list(groups.shown))
    for key, count in groups.shown.items():
        narrowed = replace(suspicion, things={**suspicion.things, "customer": (key,)})
        yield Node(
            f"customer {key}",
            str(rows[key]),
            _assemblies(count),
            count,
            narrowed=narrowed,
            is_group=count > 1,
        )
    yield from _rest("customer", groups, "more customers")


def _to_customers(
    runs: _Groups, customers: _Groups, rows: dict[int, Run], found: QuerySet[Assembly]
) -> Iterator[tuple[str, str]]:
    """A run has one customer; the rest of the runs has whoever has more than the runs that are shown."""
    left, left_of_the_rest = dict(customers.shown), customers.in_others
    for run, row in rows.items():
        customer = customers.node_of(row.line.order.customer_id)
        yield f"run {run}", f"customer {customer}"
        if customer == REST:
            left_of_the_rest -= runs.shown[run]
        else:
            left[customer] -= runs.shown[run]
    for customer, count in [*left.items(), (REST, left_of_the_rest)]:
        if runs.others and count:
            yield f"run {REST}", f"customer {customer}"


def _work(
    thing: Model, link: Link, suspicion: Suspicion, runs: _Groups
) -> tuple[NodeColumn, list[tuple[str, str]]] | None:
    """What was done with it on the way to the runs: pieces that were cut from, or months of work."""
    if link.deed is Deed.ORDERED or isinstance(thing, Piece):
        return None
    records = link.records([getattr(thing, link.key)]).order_by()
    if link.name == "hose_lot":
        records = records.annotate(group=F("movement__piece"))
    else:
        records = records.annotate(group=TruncMonth("entry__happened_at", tzinfo=get_workshop().zone_info))
    is_hose = link.name == "hose_lot"
    groups = _groups(records, "group", newest=not is_hose)
    nodes = _pieces(groups) if is_hose else _months(groups, link, suspicion)
    heading = "Pieces" if is_hose else f"{link.deed.value.capitalize()} in"
    return NodeColumn(heading, tuple(nodes)), list(_to_runs(records, link, groups, runs))


def _pieces(groups: _Groups) -> Iterator[Node]:
    rows = Piece.objects.in_bulk(list(groups.shown))
    for key, count in groups.shown.items():
        yield Node(f"work {key}", str(rows[key]), _assemblies(count), count, thing=rows[key])
    yield from _rest("work", groups, "more pieces")


def _months(groups: _Groups, link: Link, suspicion: Suspicion) -> Iterator[Node]:
    for month, count in groups.shown.items():
        window = Window(month, _end_of(month))
        yield Node(
            f"work {month}",
            f"{month:%Y-%m}",
            f"{count} times",
            count,
            narrowed=replace(suspicion, windows={link.deed: window}),
            is_group=count > 1,
        )
    yield from _rest("work", groups, "months before", "times")


def _to_runs(records: "QuerySet[Any]", link: Link, work: _Groups, runs: _Groups) -> Iterator[tuple[str, str]]:
    """Which work is in which run. What work has beyond the runs that are shown is in the rest of them."""
    path = RUN_OF.get(link.deed, "assembly__run")
    pairs = records.filter((f"{path}__in", list(runs.shown))).values_list("group", path)
    left = {**work.shown, REST: work.in_others}
    drawn = set()
    for group, run, count in pairs.annotate(count=Count("pk")):
        node = work.node_of(group)
        left[node] -= count
        drawn.add((f"work {node}", f"run {run}"))
    drawn |= {(f"work {group}", f"run {REST}") for group, count in left.items() if runs.others and count}
    yield from sorted(drawn)


def _rest(column: str, groups: _Groups, words: str, unit: str = "assemblies") -> Iterator[Node]:
    if groups.others:
        note = f"{groups.in_others} {unit}"
        yield Node(f"{column} {REST}", f"{groups.others} {words}", note, groups.in_others, is_group=True)


def _assemblies(count: int) -> str:
    return "1 assembly" if count == 1 else f"{count} assemblies"


def _end_of(month: datetime) -> datetime:
    """The last moment of a month that is given by its first."""
    after = (month + timedelta(days=32)).replace(day=1)
    return after - timedelta(microseconds=1)
