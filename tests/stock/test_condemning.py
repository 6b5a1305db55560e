"""A lot in which something wrong was found is condemned: nothing is made from it any more, for good."""

from collections.abc import Callable

import pytest

from shop.assemblies.making import check_tool, correct_lots
from shop.assemblies.models import End
from shop.people.refusals import NotAllowed
from shop.stock.models import Lot, LotCondemnation
from shop.stock.refusals import CondemnedAlready, LotCondemned, WhyCondemned
from shop.stock.services import condemn_lot, receive_lot
from tests.assemblies import bench
from tests.world import World


def condemn(world: World, lot: Lot, reason: str = "Cracks in the thread of three.") -> LotCondemnation:
    return condemn_lot(actor=world.bench, lot=lot, reason=reason)


def test_who_condemned_it_and_why_is_kept(world: World) -> None:
    done = condemn(world, world.fitting_lot)
    assert (done.actor_number, done.private("reason")) == (
        world.bench.number,
        "Cracks in the thread of three.",
    )
    assert world.fitting_lot.condemnation == done


def test_nothing_is_cut_from_it(world: World) -> None:
    assembly = bench.plan(world)
    condemn(world, world.reel.lot)
    with pytest.raises(LotCondemned, match="is condemned"):
        bench.cut(world, assembly)
    assert not hasattr(assembly, "cut")


@pytest.mark.parametrize("lot_of", [lambda w: w.fitting_lot, lambda w: w.ferrule_lot])
def test_nothing_is_crimped_with_it(world: World, lot_of: Callable[[World], Lot]) -> None:
    assembly = bench.ready_to_crimp(world)
    condemn(world, lot_of(world))
    with pytest.raises(LotCondemned):
        bench.crimp(world, assembly)
    assert not assembly.crimps.exists()


def test_its_label_is_refused_before_the_press_moves(world: World) -> None:
    assembly = bench.ready_to_crimp(world)
    condemn(world, world.fitting_lot)
    condemn(world, world.reel.lot)
    for thing in (world.fitting_lot, world.reel):
        with pytest.raises(LotCondemned):
            check_tool(assembly=assembly, end=End.A, thing=thing)


def test_that_a_crimp_was_made_of_it_after_all_can_still_be_written_down(world: World) -> None:
    """That is what recalls rest on."""
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=5))
    _, made = bench.crimped(world)
    condemn(world, other)
    corrected = correct_lots(
        actor=world.inspector, crimp=made, fitting_lot=other, ferrule_lot=world.ferrule_lot, reason="mixed up"
    )
    assert corrected.fitting_lot == other


def test_it_is_condemned_once_and_for_a_reason(world: World) -> None:
    with pytest.raises(WhyCondemned):
        condemn(world, world.fitting_lot, " ")
    condemn(world, world.fitting_lot)
    with pytest.raises(CondemnedAlready):
        condemn(world, world.fitting_lot)


def test_the_counter_condemns_nothing(world: World) -> None:
    with pytest.raises(NotAllowed):
        condemn_lot(actor=world.counter, lot=world.fitting_lot, reason="Looks bad.")
