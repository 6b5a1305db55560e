"""What a thing touched and what touched an assembly are the same, read from either end."""

from collections import defaultdict
from collections.abc import Iterator

import pytest
from django.db import connection, transaction
from django.db.models import Model
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.assemblies.making import correct_lots
from shop.assemblies.models import Assembly, Crimp, Measurement
from shop.core.refusals import Refusal
from shop.ledger.models import Record
from shop.people.models import User
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.links import LINKS
from shop.trace.reaching import reached_by, reached_from, ways_of_each, ways_to
from shop.trace.suspicion import Window
from tests.assemblies import bench
from tests.assemblies.test_runs import cut_run, make
from tests.assemblies.test_whatever_happens import days, work_through
from tests.world import World

pytestmark = pytest.mark.django_db


def walked(assembly: Assembly) -> Iterator[tuple[str, Model | None]]:
    """What touched the assembly, walked from record to record without the table of links."""
    line = assembly.run.line
    yield from (("run", assembly.run), ("order_line", line), ("order", line.order))
    yield from (("customer", line.order.customer), ("hose", line.hose))
    if cut := getattr(assembly, "cut", None):
        piece = cut.movement.piece
        yield from (("hose_lot", piece.lot), ("piece", piece), ("cut_by", doer(cut)))
    for crimp in assembly.crimps.all():
        yield from walked_from_a_crimp(crimp)
    for inspection in assembly.inspections.all():
        yield from (("tape", inspection.gauge), ("inspected_by", doer(inspection)))
    if release := getattr(assembly, "release", None):
        yield "released_by", doer(release)
    if shipment := getattr(assembly, "shipment", None):
        yield "shipped_by", doer(shipment)


def walked_from_a_crimp(crimp: Crimp) -> Iterator[tuple[str, Model | None]]:
    for named in (crimp, *crimp.lot_corrections.all()):
        yield from (("fitting_lot", named.fitting_lot), ("ferrule_lot", named.ferrule_lot))
    line, set_up = crimp.specification, crimp.set_up
    yield from (("fitting", crimp.fitting_lot.fitting), ("ferrule", line.ferrule), ("series", line.series))
    yield from (("chart_line", line), ("chart_issue", line.chart_issue), ("set_up", set_up))
    yield from (("crimper", set_up.crimper), ("die_set", set_up.die_set), ("stop_part", set_up.stop_part))
    yield from (("arrangement", set_up.arrangement), ("set_up_by", doer(set_up)), ("crimped_by", doer(crimp)))
    beside = [each for cover in crimp.coverages.all() for each in (cover.before, cover.after)]
    readings: list[Measurement | None] = [*crimp.measurements.all(), *beside]
    for reading in readings:
        if reading is not None:
            yield from (("gauge", reading.gauge), ("measured_by", doer(reading)))


def doer(record: Record) -> User:
    return User.objects.get(number=record.entry.doer_number)


def reached_by_walking() -> dict[tuple[str, Model], set[Assembly]]:
    found: dict[tuple[str, Model], set[Assembly]] = defaultdict(set)
    for assembly in Assembly.objects.all():
        for name, thing in walked(assembly):
            if thing is not None:
                found[name, thing].add(assembly)
    return found


@settings(max_examples=6, suppress_health_check=list(HealthCheck))
@given(acts=days(), corrected=st.sets(st.integers(0, 7), max_size=3))
def test_whatever_happened_forward_back_and_walking_the_records_agree(
    world: World, acts: list[tuple[str, int, object, str]], corrected: set[int]
) -> None:
    with transaction.atomic():
        bins = [
            receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch=f"F-{each}", quantity=10))
            for each in range(2)
        ]
        work_through(world, acts)  # type: ignore[arg-type]  # ends, as `days` draws them
        for number in corrected:
            correct_some_crimp(world, number, bins[number % 2])
        walked_to = reached_by_walking()
        for (name, thing), assemblies in walked_to.items():
            assert set(reached_by(thing, LINKS[name])) == assemblies, (name, thing)
        backward: dict[tuple[str, Model], set[Assembly]] = defaultdict(set)
        for assembly in Assembly.objects.all():
            for link, thing in reached_from(assembly):
                backward[link.name, thing].add(assembly)
        assert backward == walked_to
        transaction.set_rollback(True)


def correct_some_crimp(world: World, number: int, lot: Lot) -> None:
    crimps = list(Crimp.objects.order_by("pk"))
    if not crimps:
        return
    try:
        with transaction.atomic():
            correct_lots(
                actor=world.inspector,
                crimp=crimps[number % len(crimps)],
                fitting_lot=lot,
                ferrule_lot=world.ferrule_lot,
                reason="Two bins.",
            )
    except Refusal:
        return


def test_each_way_is_counted_and_an_assembly_counts_once_however_often_it_was_touched(world: World) -> None:
    assembly = bench.shipped(world)
    ways = {way.link.name: way.count for way in ways_to(world.bench)}
    assert ways["crimped_by"] == ways["cut_by"] == ways["measured_by"] == 1
    assert list(reached_by(world.bench)) == [assembly]
    assert {link.name for link in ways_of_each(world.bench, [assembly.pk])[assembly.pk]} == set(ways)


def test_a_lot_that_a_crimp_was_corrected_to_is_found_beside_the_one_first_named(world: World) -> None:
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=10))
    assembly, crimp = bench.crimped(world)
    assert ways_to(other) == []
    correct_some_crimp(world, 0, other)
    assert crimp.lot_corrections.exists()
    for lot in (world.fitting_lot, other):
        assert list(reached_by(lot)) == [assembly]
        assert (LINKS["fitting_lot"], lot) in reached_from(assembly)


def test_readings_of_the_pieces_beside_it_touched_a_crimp_that_was_not_measured(world: World) -> None:
    pieces = cut_run(world, 4, every=3)
    make(world, *pieces)
    between = pieces[1]
    assert not Measurement.objects.filter(crimp__assembly=between).exists()
    assert (LINKS["gauge"], world.caliper) in reached_from(between)
    assert between in reached_by(world.caliper, LINKS["gauge"])


def test_a_window_is_of_what_was_done_and_for_orders_of_the_cut(world: World) -> None:
    before, crimp = bench.crimped(world)
    cut, crimped = before.cut.happened_at, crimp.happened_at
    after = bench.plan_and_cut(world)
    assert list(reached_by(world.die_set, window=Window(until=crimped))) == [before]
    assert list(reached_by(world.die_set, window=Window(since=timezone.now()))) == []
    assert list(reached_by(world.customer, window=Window(until=cut))) == [before]
    assert list(reached_by(world.customer, window=Window(since=cut))) == [before, after]


def test_questions_are_the_same_in_number_at_three_and_at_thirty(world: World) -> None:
    made, lot = bench.made(world), world.reel.lot

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            ways_to(lot)
            list(reached_by(lot)[:25])
            ways_of_each(lot, Assembly.objects.values_list("pk", flat=True))
            reached_from(made)
        return len(queries)

    for _ in range(2):
        bench.plan_and_cut(world)
    at_three = asked()
    for _ in range(27):
        bench.plan_and_cut(world)
    assert reached_by(lot).count() == 30
    assert asked() == at_three
