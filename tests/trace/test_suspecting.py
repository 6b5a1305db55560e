"""Which assemblies share a weakness: any combination of what they were made from, with and by."""

import datetime
from decimal import Decimal

from django.db.models import Model
from django.utils import timezone

from shop.assemblies.models import Assembly, Coverage, End
from shop.engineering.crimp import Outcome
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.tooling.models import DieSet, StopPart
from shop.trace.links import LINKS, Deed
from shop.trace.reaching import reached_by
from shop.trace.suspicion import Suspicion, Window
from tests import factories
from tests.assemblies import bench
from tests.assemblies.test_runs import cut_run, make
from tests.world import World

NEAR_THE_TOP = ("24.38", "24.38", "24.38", "24.38")


def found(suspicion: Suspicion) -> list[Assembly]:
    return list(suspicion.assemblies())


def with_other_dies(world: World, assembly: Assembly, readings: tuple[str, ...] = bench.GOOD) -> DieSet:
    """End B of the assembly crimped with another die set."""
    dies: DieSet = factories.DieSetFactory(die_type=world.die_type)
    bench.tool_up(world, assembly, End.B, die_set=dies)
    bench.measure(world, bench.crimp(world, assembly, End.B), readings)
    return dies


def test_whoever_suspects_nothing_finds_nothing(world: World) -> None:
    bench.made(world)
    assert found(Suspicion()) == []


def test_one_lot_or_another(world: World) -> None:
    first, _ = bench.crimped(world)
    other_lot = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=10))
    second = bench.ready_to_crimp(world)
    bench.crimp(world, second, fitting_lot=other_lot)
    bench.plan_and_cut(world)
    assert found(Suspicion(things={"fitting_lot": (other_lot.pk,)})) == [second]
    assert found(Suspicion(things={"fitting_lot": (other_lot.pk, world.fitting_lot.pk)})) == [first, second]


def test_what_is_said_of_a_crimp_is_true_of_one_and_the_same_crimp(world: World) -> None:
    """End A near the limit on one die set, end B in the middle on another: neither is both."""
    assembly, _ = bench.crimped(world, NEAR_THE_TOP)
    dies = with_other_dies(world, assembly)
    near = Decimal("0.02")
    assert found(Suspicion(things={"die_set": (dies.pk,)})) == [assembly]
    assert found(Suspicion(below_upper=near)) == [assembly]
    assert found(Suspicion(things={"die_set": (dies.pk,)}, below_upper=near)) == []
    assert found(Suspicion(things={"die_set": (world.die_set.pk,)}, below_upper=near)) == [assembly]


def test_the_distance_itself_is_near_enough(world: World) -> None:
    assembly, crimp = bench.crimped(world, NEAR_THE_TOP)
    assert crimp.measurements.get().outcome == Outcome.PASS
    assert found(Suspicion(below_upper=Decimal("0.02"))) == [assembly]
    assert found(Suspicion(below_upper=Decimal("0.019"))) == []
    assert found(Suspicion(above_lower=Decimal("0.38"))) == [assembly]


def test_only_what_was_crimped_in_that_span(world: World) -> None:
    before, crimp = bench.crimped(world)
    moment = crimp.happened_at
    bench.crimped(world)
    on_the_dies = {"die_set": (world.die_set.pk,)}
    until = Suspicion(things=on_the_dies, windows={Deed.CRIMPED: Window(until=moment)})
    assert found(until) == [before]
    later = Window(since=timezone.now() + datetime.timedelta(hours=1))
    assert found(Suspicion(things=on_the_dies, windows={Deed.CRIMPED: later})) == []


def test_a_crimp_covered_by_suspected_ones_is_suspected_with_them(world: World) -> None:
    pieces = cut_run(world, 4, every=3)
    make(world, *pieces)
    assert Coverage.objects.filter(crimp__assembly=pieces[1]).exists()
    assert found(Suspicion(things={"gauge": (world.caliper.pk,)})) == pieces


def test_a_person_is_found_by_staff_number_in_whatever_they_did(world: World) -> None:
    assembly = bench.shipped(world)
    bench.plan_and_cut(world)
    assert found(Suspicion(things={"inspected_by": (world.inspector.number,)})) == [assembly]
    assert list(reached_by(world.inspector)) == [assembly]
    assert reached_by(world.bench).count() == 2
    assert reached_by(world.auditor).count() == 0


def test_everything_that_an_assembly_was_made_from_leads_back_to_it(world: World) -> None:
    assembly = bench.shipped(world)
    unused: StopPart = factories.StopPartFactory(stop_type=world.stop_type)
    things: list[Model] = [
        world.reel, world.reel.lot, world.fitting_lot, world.ferrule_lot, world.hose, world.fitting,
        world.ferrule, world.series, world.crimper, world.die_set, world.stop_part, world.arrangement,
        world.caliper, world.tape, world.chart_issue, world.customer, world.order, assembly.run,
        assembly.run.line, world.bench, world.inspector, world.counter,
        assembly.crimps.all()[0].set_up, assembly.crimps.all()[0].specification,
    ]  # fmt: skip
    for thing in things:
        assert list(reached_by(thing)) == [assembly], thing
    assert {type(thing) for thing in things} == {
        link.model for link in LINKS.values() if link.name != "pressure_gauge"
    }
    assert list(reached_by(unused)) == []


def test_a_suspicion_is_kept_and_read_again(world: World) -> None:
    suspicion = Suspicion(
        things={"die_set": (world.die_set.pk,), "customer": (world.customer.pk,)},
        windows={Deed.CRIMPED: Window(timezone.now(), None)},
        below_upper=Decimal("0.02"),
    )
    assert Suspicion.from_json(suspicion.as_json()) == suspicion
    assert suspicion.sentences()[0] == f"Crimped with die set {world.die_set}."
    assert suspicion.sentences()[-1] == "The mean of an end is within 0.02 mm of its upper limit, or above."
