"""What copies are made of: a day's calibrations, a lot of hose and one run, all by the services."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import IntEnum

from django.db import models, transaction

from shop.assemblies.models import Assembly, End
from shop.assemblies.release import make_tag, ship
from shop.demo.cabinet import Cabinet, Stores, fill_cabinet
from shop.demo.catalogue import Catalogue, write_catalogue
from shop.demo.load.many.rows import Keys, newest_keys
from shop.demo.people import Cast, begin
from shop.demo.work import Demo
from shop.ledger.facts import record_columns
from shop.orders.models import Customer
from shop.orders.services import save_customer
from shop.policy.models import Policy
from shop.policy.services import policy_in_force, set_policy, today
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose, receive_lot
from shop.tooling.models import Calibration, DieSet, Gauge, GaugeKind
from shop.tooling.services import record_calibration, save_die_set, save_gauge

LENGTH_MM = Decimal(930)
SPARE_MM = Decimal(200)  # more on each piece than its run needs, for each of its assemblies
MEASURED_EVERY = 4
ERROR_MM = Decimal("0.01")
SURE_FOR = datetime.timedelta(days=365)


@dataclass(frozen=True)
class Shape:
    """How work is spread, whatever there is of it: so each question has an answer of the same size.

    A run is for the next customer and cut from a piece of its own. A lot has the next die set and the
    next gauge. Each day begins with a calibration of every gauge.
    """

    assemblies_of_a_run: int = 10
    runs_of_a_lot: int = 20
    lots_of_a_day: int = 5
    customers: int = 40
    die_sets: int = 4
    gauges: int = 2

    def lots_for(self, assemblies: int) -> int:
        """How many whole lots so many assemblies take."""
        return -(-assemblies // (self.assemblies_of_a_run * self.runs_of_a_lot))

    def days_for(self, assemblies: int) -> int:
        """How many days they take."""
        return -(-self.lots_for(assemblies) // self.lots_of_a_day)


class Level(IntEnum):
    """What is copied as a whole."""

    DAY = 0
    LOT = 1
    RUN = 2


@dataclass(frozen=True)
class Template:
    """What was recorded of each level, by the keys before and after it, and what copies take in turn."""

    spans: dict[Level, tuple[Keys, Keys]]
    die_sets: list[DieSet]
    gauges: list[Gauge]
    customers: list[Customer]
    first_day: datetime.date


@dataclass
class _Making:
    cast: Cast
    parts: Catalogue
    cabinet: Cabinet
    shape: Shape
    spans: dict[Level, tuple[Keys, Keys]] = field(default_factory=dict)

    @contextmanager
    def level(self, level: Level) -> Iterator[None]:
        before = newest_keys()
        yield
        self.spans[level] = before, newest_keys()


@transaction.atomic
def make_template(shape: Shape, days: int) -> Template:
    """Begin a workshop and record in it once what the copies are of, which go back so many days."""
    cast = begin()
    chosen = {name: getattr(policy_in_force(), name) for name in record_columns(Policy)}
    set_policy(actor=cast.owner, policy=Policy(**chosen | {"measured_every": MEASURED_EVERY}))
    first_day = today() - datetime.timedelta(days=days)
    parts = write_catalogue(cast)
    making = _Making(cast, parts, fill_cabinet(cast, parts), shape)
    gauges = [_gauge(cast, number) for number in range(shape.gauges)]
    die_sets = [_die_set(cast, parts, number) for number in range(shape.die_sets)]
    customers = [_customer(cast, number) for number in range(shape.customers)]
    with making.level(Level.DAY):
        for gauge in gauges:
            _calibrate(cast, gauge, first_day)
    with making.level(Level.LOT):
        stores, pieces = _receive(making)
    cabinet = replace(making.cabinet, caliper=gauges[0], die_sets={parts.die_24: die_sets[0]})
    with making.level(Level.RUN):
        _make_run(Demo(cast, parts, cabinet, stores), customers[0], shape)
    _cut_alike(pieces)
    return Template(making.spans, die_sets, gauges, customers, first_day)


def _gauge(cast: Cast, number: int) -> Gauge:
    return save_gauge(
        actor=cast.bench,
        gauge=Gauge(
            number=f"caliper 1{number}",
            kind=GaugeKind.CALIPER,
            resolution=ERROR_MM,
            permitted_error=3 * ERROR_MM,
        ),
    )


def _calibrate(cast: Cast, gauge: Gauge, day: datetime.date) -> None:
    record_calibration(
        actor=cast.inspector,
        calibration=Calibration(
            gauge=gauge,
            done_on=day,
            due_on=today() + SURE_FOR,
            error_as_found=ERROR_MM,
            error_as_left=ERROR_MM,
            expanded_uncertainty=3 * ERROR_MM,
            certificate="own check piece",
        ),
    )


def _die_set(cast: Cast, parts: Catalogue, number: int) -> DieSet:
    return save_die_set(actor=cast.bench, die_set=DieSet(number=f"1{number:02}", die_type=parts.die_24))


def _customer(cast: Cast, number: int) -> Customer:
    new = Customer(number=f"K{number}", name=f"Wharf {number}", contact="the foreman")
    return save_customer(actor=cast.counter, customer=new)


def _receive(making: _Making) -> tuple[Stores, list[Piece]]:
    cast, parts, shape = making.cast, making.parts, making.shape
    each, made = shape.assemblies_of_a_run, f"1Q{today().year}"
    ends = 2 * each * shape.runs_of_a_lot
    pieces = receive_hose(
        actor=cast.bench,
        lot=Lot(hose=parts.cascade, batch="R1", made_printed=made),
        lengths_mm=[each * (LENGTH_MM + SPARE_MM)] * shape.runs_of_a_lot,
    )
    fittings = receive_lot(actor=cast.counter, lot=Lot(fitting=parts.straight, batch="T1", quantity=ends))
    ferrules = receive_lot(actor=cast.counter, lot=Lot(ferrule=parts.ferrule, batch="F1", quantity=ends))
    stores = Stores({parts.cascade: pieces[0]}, {parts.straight: fittings}, {parts.ferrule: ferrules})
    return stores, pieces


def _make_run(demo: Demo, customer: Customer, shape: Shape) -> None:
    line = demo.line(
        demo.order(customer, "", 5),
        hose=demo.parts.cascade,
        fitting_a=demo.parts.straight,
        fitting_b=demo.parts.straight,
        overall_length=LENGTH_MM,
        overall_typed=str(LENGTH_MM),
        pressure_typed="240",
        quantity=shape.assemblies_of_a_run,
    )
    run = demo.start(line)
    for assembly in _as_they_are(run):
        demo.cut(assembly)
    for end in End:
        demo.set_up(next(_as_they_are(run)), end)
        for assembly in _as_they_are(run):
            demo.press(assembly, end)
    for step in (
        demo.inspect,
        lambda one: make_tag(actor=demo.cast.inspector, assembly=one),
        demo.release,
        lambda one: ship(actor=demo.cast.counter, assembly=one),
    ):
        for assembly in _as_they_are(run):
            step(assembly)


def _as_they_are(run: list[Assembly]) -> Iterator[Assembly]:
    """The assemblies of the run, each read anew: services write into rows of their own."""
    for assembly in run:
        assembly.refresh_from_db()
        yield assembly


def _cut_alike(pieces: list[Piece]) -> None:
    """What the copies of the run leave on the lot's other pieces."""
    first = Piece.objects.get(pk=pieces[0].pk)
    others: models.QuerySet[Piece] = Piece.objects.filter(pk__in=[piece.pk for piece in pieces[1:]])
    others.update(length_left=first.length_left, movements_made=first.movements_made)
