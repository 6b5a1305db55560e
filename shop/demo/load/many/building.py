"""A workshop of so many assemblies, in an empty database."""

import datetime
from collections import defaultdict
from collections.abc import Callable
from typing import Any

from django.db import transaction

from shop.demo.load.many.blocks import Block, Counted, Moment
from shop.demo.load.many.rows import Table, go_on_counting, look_around, unguarded, writer
from shop.demo.load.many.template import Level, Shape, make_template
from shop.ledger.models import HOME, Chain, Entry
from shop.orders.models import Customer
from shop.tooling.models import DieSet, Gauge

AT_ONCE = 50_000  # rows in memory
MORNING_S = 7 * 3600
WORKING_S = 16 * 3600
MOST_APART_S = 20  # between two entries
SAMPLES = 500  # entries whose hash is worked out anew
TOLD = 20  # times


class NotCopied(Exception):
    """An entry did not come out as the ledger would have written it."""


class ManyAssemblies:
    """A workshop that has made so many assemblies by yesterday, all shipped, once it is grown to that number.

    The first run is made by the services, today; the others are copies of it, of whole lots. What is
    printed on the tags of copies has the serial of the template's.
    """

    def __init__(self, assemblies: int, shape: Shape | None = None) -> None:
        self._shape = shape or Shape()
        self._template = make_template(self._shape, self._shape.days_for(assemblies))
        self._writer = writer()
        outside: dict[tuple[Table, int], str] = {
            (Customer, self._template.customers[0].pk): "customer",
            (DieSet, self._template.die_sets[0].pk): "die set",
            (Gauge, self._template.gauges[0].pk): "caliper",
        }
        self._blocks: dict[Level, Block] = {}
        for level in Level:
            self._blocks[level] = Block(
                level,
                self._template.spans[level],
                above=tuple(self._blocks.values()),
                outside=outside if level is Level.RUN else {},
                writer=self._writer,
            )
        self._next: dict[Counted, int] = {}
        for block in self._blocks.values():
            for counted in block.count:
                table, column = counted
                newest = table._base_manager.order_by(f"-{column}").values_list(column, flat=True)[0]
                self._next[counted] = newest + 1
        self._head = Chain.objects.get(site=HOME).head
        self._waiting: defaultdict[Table, list[tuple[Any, ...]]] = defaultdict(list)
        of_a_lot = (
            self._blocks[Level.LOT].entries + self._shape.runs_of_a_lot * self._blocks[Level.RUN].entries
        )
        of_a_day = self._blocks[Level.DAY].entries + self._shape.lots_of_a_day * of_a_lot
        self._apart_s = min(WORKING_S // of_a_day, MOST_APART_S)
        self._lots = 0

    def grow_to(self, assemblies: int, say: Callable[[str], object] = lambda _: None) -> None:
        """Go on until there are so many, or the rest of a lot more. Raises `NotCopied`."""
        lots, of_a_lot = (
            self._shape.lots_for(assemblies),
            self._shape.runs_of_a_lot * self._shape.assemblies_of_a_run,
        )
        with unguarded():
            for lot in range(self._lots, lots):
                self._make_lot(lot)
                if (lot + 1) % max(1, lots // TOLD) == 0:
                    say(f"{(lot + 1) * of_a_lot} assemblies …")
            self._lots = max(lots, self._lots)
            self._finish()
        look_around()
        _look_at_samples()

    def _make_lot(self, lot: int) -> None:
        """A lot and all of its runs; with the first of a day, that day's calibrations."""
        shape = self._shape
        if lot % shape.lots_of_a_day == 0:
            self._begin_day(lot)
            if lot:
                self._copy(Level.DAY, lot, 0)
        if lot:
            self._copy(Level.LOT, lot, 0)
        for run in range(0 if lot else 1, shape.runs_of_a_lot):
            self._copy(Level.RUN, lot, run)

    def _finish(self) -> None:
        """Write what waits, and the end of the chain."""
        self._write()
        last = self._next[Entry, "number"] - 1
        Chain.objects.filter(site=HOME).update(length=last, head=self._head)
        go_on_counting(table for block in self._blocks.values() for table in block.plans)

    def _copy(self, level: Level, lot: int, run: int) -> None:
        template, block = self._template, self._blocks[level]
        turns = {
            "customer": template.customers[run % len(template.customers)].pk,
            "die set": template.die_sets[lot % len(template.die_sets)].pk,
            "caliper": template.gauges[lot % len(template.gauges)].pk,
            "gauge": lot % len(template.gauges),
            "piece": run,
        }
        moment = Moment(self._day, self._second, self._apart_s)
        self._head = block.copy(self._next, moment, self._head, turns, self._waiting)
        self._second += self._apart_s * block.entries
        for counted, count in block.count.items():
            self._next[counted] += count
        if len(self._waiting[Entry]) > AT_ONCE:
            self._write()

    def _begin_day(self, lot: int) -> None:
        day = self._template.first_day + datetime.timedelta(days=lot // self._shape.lots_of_a_day)
        self._day, self._second = day.isoformat(), MORNING_S

    def _write(self) -> None:
        with transaction.atomic():
            for table, rows in self._waiting.items():
                if rows:
                    self._writer.write(table, rows)
        self._waiting.clear()


def _look_at_samples() -> None:
    """Let the ledger itself work out the hashes of some entries, evenly over the chain."""
    length = Chain.objects.get(site=HOME).length
    wanted = range(1, length + 1, max(1, length // SAMPLES))
    for entry in Entry.objects.filter(chain__site=HOME, number__in=wanted):
        if entry.hash != entry.compute_hash(HOME):
            raise NotCopied(f"Entry {entry.number} has another hash than it should.")
