"""What led to what, drawn so that it can be read: nothing is left out of the count, however much there is."""

from collections.abc import Callable, Sequence

import pytest
from django.db import connection
from django.db.models import Model
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import correct_lots
from shop.assemblies.models import Assembly, End
from shop.assemblies.planning import start_line
from shop.orders.models import Customer, Order
from shop.orders.services import save_customer, save_order
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.genealogy import MOST, Genealogy, Node, ancestry_of, descent_of
from shop.trace.links import LINKS
from shop.trace.suspicion import Suspicion
from tests.assemblies import bench
from tests.world import World


def column(genealogy: Genealogy, heading: str) -> Sequence[Node]:
    [found] = [column for column in genealogy.columns if column.heading == heading]
    return found.nodes


def lines_by_words(genealogy: Genealogy) -> set[tuple[str, str]]:
    words = {node.key: node.words for column in genealogy.columns for node in column.nodes}
    return {(words[start], words[end]) for start, end in genealogy.lines}


def order_of_another(world: World, number: int) -> Order:
    customer = Customer(number=f"Z{number}", name=f"Customer {number}", contact="")
    save_customer(actor=world.counter, customer=customer)
    return save_order(actor=world.counter, order=Order(customer=customer, due_on=today()))


def many(world: World, runs: int, each: int = 2) -> None:
    """So many runs for so many customers; their hose is cut, no more."""
    for number in range(runs):
        line = world.written_line(order=order_of_another(world, number), quantity=each)
        for assembly in start_line(actor=world.counter, line=line):
            bench.cut(world, assembly)


def test_a_hose_lot_leads_by_its_pieces_to_runs_and_their_customers(world: World) -> None:
    assembly = bench.shipped(world)
    lot = world.reel.lot
    picture = descent_of(lot, LINKS["hose_lot"])
    [piece], [run] = column(picture, "Pieces"), column(picture, "Runs")
    assert piece.thing == world.reel
    assert run.note == "1 assembly: 1 out in service"
    customer = str(assembly.run.line.order.customer)
    assert lines_by_words(picture) == {
        (str(lot), str(world.reel)),
        (str(world.reel), str(assembly.run)),
        (str(assembly.run), customer),
    }


def test_a_tool_leads_by_the_months_of_its_work(world: World) -> None:
    assembly = bench.made(world)
    picture = descent_of(world.die_set, LINKS["die_set"])
    [month] = column(picture, "Crimped in")
    assert (month.words, month.note) == (f"{today():%Y-%m}", "2 times")
    assert month.narrowed is not None
    assert list(month.narrowed.assemblies()) == [assembly]


def test_each_group_stands_for_the_assemblies_that_are_found_behind_it(world: World) -> None:
    many(world, runs=3)
    bench.shipped(world)
    picture = descent_of(world.reel.lot, LINKS["hose_lot"])
    groups = [*column(picture, "Runs"), *column(picture, "Customers")]
    assert len(groups) == 8
    for group in groups:
        assert group.narrowed is not None
        assert group.narrowed.assemblies().count() == group.count


def test_however_many_there_are_they_are_all_counted_and_few_are_drawn(world: World) -> None:
    many(world, runs=MOST + 3)
    every = Suspicion(things={"hose_lot": (world.reel.lot.pk,)}).assemblies().count()
    assert every == 2 * (MOST + 3)
    picture = descent_of(world.reel.lot, LINKS["hose_lot"])
    for heading in ("Runs", "Customers"):
        nodes = column(picture, heading)
        assert len(nodes) == MOST
        assert sum(node.count for node in nodes) == every
        assert nodes[-1].words == f"4 more {heading.lower()}"
    keys = {node.key for column in picture.columns for node in column.nodes}
    assert {key for line in picture.lines for key in line} == keys


def test_it_asks_as_much_of_the_database_for_many_as_for_few(world: World) -> None:
    many(world, runs=2)
    with CaptureQueriesContext(connection) as few:
        descent_of(world.reel.lot, LINKS["hose_lot"])
    many_more = MOST + 3
    for number in range(100, 100 + many_more):
        line = world.written_line(order=order_of_another(world, number), quantity=1)
        bench.cut(world, start_line(actor=world.counter, line=line)[0])
    with CaptureQueriesContext(connection) as lots:
        descent_of(world.reel.lot, LINKS["hose_lot"])
    # The rest of each of the two long columns is counted by one question more.
    assert len(lots) - len(few) == 2


def test_an_assembly_came_from_lots_and_tools_by_the_work_that_was_done(world: World) -> None:
    assembly = bench.shipped(world)
    picture = ancestry_of(assembly)
    led = lines_by_words(picture)
    for end in End:
        work = f"crimp of end {end}"
        for thing in (world.crimper, world.die_set, world.stop_part, world.caliper, world.fitting_lot):
            assert (str(thing), work) in led
        assert (work, str(assembly)) in led
    assert (str(world.reel.lot), "cut") in led
    assert (str(world.tape), "inspection") in led
    assert (str(assembly), str(assembly.run.line.order.customer)) in led
    things = [node.thing for node in column(picture, "From and with")]
    assert len(things) == len(set(things)), "a tool that served both ends is drawn once"


def test_both_lots_are_drawn_where_one_was_corrected(world: World) -> None:
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=10))
    assembly, crimp = bench.crimped(world)
    correct_lots(
        actor=world.inspector,
        crimp=crimp,
        fitting_lot=other,
        ferrule_lot=world.ferrule_lot,
        reason="Two bins.",
    )
    led = lines_by_words(ancestry_of(assembly))
    assert {(str(world.fitting_lot), "crimp of end A"), (str(other), "crimp of end A")} <= led


THINGS: dict[str, Callable[[World], Model]] = {
    "hose_lot": lambda world: world.reel.lot,
    "piece": lambda world: world.reel,
    "fitting_lot": lambda world: world.fitting_lot,
    "die_set": lambda world: world.die_set,
    "crimper": lambda world: world.crimper,
    "gauge": lambda world: world.caliper,
    "customer": lambda world: world.customer,
}


@pytest.mark.parametrize("name", THINGS)
def test_what_an_assembly_came_from_leads_to_it(world: World, name: str) -> None:
    assembly = bench.shipped(world)
    [run] = column(descent_of(THINGS[name](world), LINKS[name]), "Runs")
    assert run.narrowed is not None
    assert list(run.narrowed.assemblies()) == [Assembly.objects.get(pk=assembly.pk)]
