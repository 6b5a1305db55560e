"""Cutting by what finished lengths say, and not before they say it."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.lengths import adopt_cut_correction, end_cut_correction, lengths_of, lengths_of_all
from shop.assemblies.models import End
from shop.assemblies.planning import start_line
from shop.assemblies.refusals import (
    CorrectionNotProven,
    CorrectionStandsAlready,
    NoCorrectionInForce,
    TooFewFinished,
)
from shop.catalogue.models import CutCorrection
from shop.catalogue.services import save_chart_line, save_fitting
from shop.ledger.services import history
from shop.people.refusals import NotAllowed
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from tests import factories
from tests.assemblies.bench import LONG, crimp, cut, finished, look_over, measure, tool_up
from tests.world import World


def adopt(world: World) -> CutCorrection:
    return adopt_cut_correction(actor=world.inspector, hose=world.hose, series=world.series)


def end(world: World) -> CutCorrection:
    return end_cut_correction(actor=world.inspector, hose=world.hose, series=world.series)


def test_what_five_pieces_say_is_adopted_with_its_figures(world: World) -> None:
    finished(world)
    correction = adopt(world)
    # 16 mm in five pieces are 3.2 each; squares of -0.2, 0.8, -1.2, -0.2 and 0.8 make 2.8, a quarter is 0.7.
    assert (correction.pieces, correction.mean, correction.applies) == (5, Decimal("3.2"), True)
    assert correction.spread**2 == pytest.approx(Decimal("0.7"), abs=Decimal("0.00001"))
    # Student's t of 4 degrees of freedom 2.776 (printed table), √(0.7/5) = 0.374; the tape is good for 1 mm.
    reach = (Decimal("2.776") ** 2 * Decimal("0.14") + 1).sqrt()
    assert correction.high - correction.mean == pytest.approx(reach, abs=Decimal("0.001"))
    assert correction.mean - correction.low == pytest.approx(reach, abs=Decimal("0.001"))
    newest = history(world.hose).last()
    assert newest is not None
    assert (newest.verb, newest.actor_number) == ("catalogue.cut_corrected", world.inspector.number)


def test_fewer_than_five_say_too_little(world: World) -> None:
    finished(world, LONG[:4])
    with pytest.raises(TooFewFinished, match="4 pieces say too little"):
        adopt(world)
    assert not CutCorrection.objects.exists()


def test_what_may_be_chance_is_not_adopted(world: World) -> None:
    finished(world, ("931", "929", "932", "928", "930"))
    with pytest.raises(CorrectionNotProven, match="may be chance"):
        adopt(world)


def test_pieces_alike_are_no_proof_of_less_than_the_tape_is_off(world: World) -> None:
    # Five times 931: no spread at all, but the tape itself may be 1 mm off (expanded uncertainty).
    finished(world, ["931"] * 5)
    with pytest.raises(CorrectionNotProven, match="the tape's own error"):
        adopt(world)


def test_only_the_first_inspection_of_a_piece_counts(world: World) -> None:
    [*_, last] = finished(world, (*LONG[:4], "950"))  # 950 is too long to pass: looked at again
    look_over(world, last, actor=world.owner, finished_length_mm=Decimal(930))
    found = lengths_of(world.hose, world.series)
    assert [piece.over_mm for piece in found.pieces] == [20, 3, 2, 4, 3]


def test_a_slip_of_the_tape_is_left_out_and_shown(world: World) -> None:
    finished(world, (*LONG, "36.7"))
    found = lengths_of(world.hose, world.series)
    assert len(found.pieces) == 5
    assert [piece.measured_mm for piece in found.slips] == [Decimal("36.7")]
    assert adopt(world).pieces == 5


def test_a_correction_that_the_cut_already_has_does_not_count_itself(world: World) -> None:
    # Cut 3.2 mm shorter and right on length: the hose still comes out 3.2 mm longer than its cut.
    finished(world)
    adopt(world)
    [assembly] = finished(world, ("930",))
    assert assembly.cut.length == 930 - 2 * world.fitting.cut_off - Decimal("3.2")
    newest = lengths_of(world.hose, world.series).pieces[0]
    assert (newest.serial, newest.over_mm) == (assembly.serial, Decimal("3.2"))


def test_a_cut_off_put_right_takes_the_finding_away(world: World) -> None:
    finished(world, ["934"] * 5)
    world.fitting.refresh_from_db()
    world.fitting.cut_off += 2
    save_fitting(actor=world.counter, fitting=world.fitting)
    assert {piece.over_mm for piece in lengths_of(world.hose, world.series).pieces} == {Decimal(0)}


def test_the_same_figures_are_not_adopted_twice(world: World) -> None:
    finished(world)
    adopt(world)
    with pytest.raises(CorrectionStandsAlready):
        adopt(world)
    assert CutCorrection.objects.count() == 1


def test_newer_pieces_may_be_adopted_over_it(world: World) -> None:
    finished(world)
    adopt(world)
    finished(world, ("934",))
    newer = adopt(world)
    assert newer.pieces == 6
    assert lengths_of(world.hose, world.series).in_force == newer


def test_a_correction_ends_and_may_be_adopted_again(world: World) -> None:
    finished(world)
    adopted = adopt(world)
    ended = end(world)
    assert (ended.applies, ended.mean) == (False, adopted.mean)
    assert lengths_of(world.hose, world.series).in_force is None
    with pytest.raises(NoCorrectionInForce):
        end(world)
    assert adopt(world).applies


def test_a_piece_with_another_series_at_one_end_tells_of_neither(world: World) -> None:
    other = factories.FittingFactory(connection=world.fitting.connection)
    ferrule = factories.FerruleFactory(series=other.series)
    world.confirm(other)
    save_chart_line(actor=world.bench, line=world.chart_line(series=other.series, ferrule=ferrule))
    world.chart.refresh_from_db()
    world.issue("2")
    [assembly] = start_line(actor=world.counter, line=world.written_line(fitting_b=other))
    cut(world, assembly)
    tool_up(world, assembly, End.A)
    measure(world, crimp(world, assembly, End.A))
    tool_up(world, assembly, End.B)
    lots = [
        receive_lot(actor=world.bench, lot=Lot(**part, quantity=1))
        for part in ({"fitting": other}, {"ferrule": ferrule})
    ]
    measure(world, crimp(world, assembly, End.B, fitting_lot=lots[0], ferrule_lot=lots[1]))
    look_over(world, assembly)
    assert lengths_of(world.hose, world.series).pieces == ()
    assert lengths_of(world.hose, other.series).pieces == ()
    assert lengths_of_all() == []


@pytest.mark.parametrize("who", ["counter", "bench", "auditor"])
def test_only_inspector_and_owner_change_the_cut(world: World, who: str) -> None:
    with pytest.raises(NotAllowed):
        adopt_cut_correction(actor=getattr(world, who), hose=world.hose, series=world.series)
    with pytest.raises(NotAllowed):
        end_cut_correction(actor=getattr(world, who), hose=world.hose, series=world.series)


def test_the_overview_asks_as_often_for_one_piece_as_for_many(world: World) -> None:
    finished(world, LONG[:1])
    with CaptureQueriesContext(connection) as for_one:
        lengths_of_all()
    finished(world)
    with CaptureQueriesContext(connection) as for_many:
        [found] = lengths_of_all()
    assert len(for_one) == len(for_many)
    assert len(found.pieces) == 6
