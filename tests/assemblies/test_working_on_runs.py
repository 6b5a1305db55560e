"""Cutting, crimping, inspecting and tagging the pieces of a run together."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly, End, Run, Sampling, State
from shop.assemblies.planning import start_line
from shop.assemblies.points import At
from shop.assemblies.refusals import NoneOfThem, NotSoMany
from shop.assemblies.runs import crimp_pieces, cut_pieces, inspect_pieces, standing_of_run, tag_pieces
from shop.assemblies.steps import Step
from shop.ledger.models import Entry
from shop.stock.refusals import NotEnoughLeft
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def run(world: World) -> Run:
    """Five assemblies, planned; every third crimp is measured."""
    bench.choose(world, measured_every=3)
    return start_line(actor=world.counter, line=world.written_line(quantity=5))[0].run


def cut(world: World, run: Run, count: int = 5) -> None:
    cut_pieces(actor=world.bench, run=run, count=count, piece=world.reel, seen=bench.TICKED[At.CUT])


def crimp(world: World, run: Run, count: int, end: End = End.A) -> None:
    crimp_pieces(
        actor=world.bench,
        run=run,
        end=end,
        count=count,
        fitting_lot=world.fitting_lot,
        ferrule_lot=world.ferrule_lot,
        seen=bench.TICKED[At.CRIMP],
    )


def measure_what_waits(world: World, run: Run) -> None:
    waiting = standing_of_run(run).first
    assert waiting is not None
    assert waiting.step is Step.MEASURE
    for assembly in waiting.pieces:
        bench.measure(world, assembly.crimps.get(end=waiting.end))


def states(run: Run) -> list[str]:
    return list(Assembly.objects.filter(run=run).values_list("state", flat=True))


def test_a_run_goes_from_the_reel_to_its_tags(world: World, run: Run) -> None:
    cut(world, run)
    for end in End:
        first = standing_of_run(run).first
        assert first is not None
        assert (first.step, len(first.pieces)) == (Step.SET_UP, 5)
        bench.tool_up(world, first.pieces[0], end)
        for count in (1, 2, 2):
            crimp(world, run, count, end)
            measure_what_waits(world, run)
    pieces = Assembly.objects.filter(run=run)
    inspect_pieces(
        actor=world.inspector,
        run=run,
        measured={piece: (Decimal(930 + number), None) for number, piece in enumerate(pieces)},
        gauge=world.tape,
        seen=bench.EVERYTHING,
    )
    tags = tag_pieces(actor=world.inspector, run=run)
    assert [tag.assembly.serial for tag in tags] == [1, 2, 3, 4, 5]
    assert states(run) == [State.TAGGED] * 5
    assert [piece.inspections.get().finished_length for piece in pieces] == [930, 931, 932, 933, 934]


def test_each_piece_has_its_own_records_in_the_order_of_the_serials(world: World, run: Run) -> None:
    cut(world, run, 2)
    assert states(run) == [State.CUT] * 2 + [State.PLANNED] * 3
    verbs = Entry.objects.filter(verb="assemblies.cut").order_by("pk").values_list("subject", flat=True)
    assert list(verbs) == [f"assemblies.assembly:{piece.pk}" for piece in run.assemblies.all()[:2]]


def test_nothing_is_crimped_over_a_piece_that_is_measured_first(world: World, run: Run) -> None:
    cut(world, run)
    bench.tool_up(world, run.assemblies.all()[0])
    with pytest.raises(NotSoMany) as refused:
        crimp(world, run, 2)
    assert "is the first piece and is measured first. Take 1 or fewer." in str(refused.value)
    assert states(run) == [State.CUT] * 5
    crimp(world, run, 1)
    assert run.assemblies.all()[0].crimps.get().sampling == Sampling.FIRST


def test_if_the_reel_has_too_little_for_all_none_is_cut(world: World, run: Run) -> None:
    bench.choose(world)
    long = start_line(actor=world.counter, line=world.written_line(quantity=90, overall_length=Decimal(930)))[
        0
    ].run
    with pytest.raises(NotEnoughLeft):
        cut(world, long, 90)
    assert set(states(long)) == {State.PLANNED}


def test_one_that_is_too_long_is_not_right_and_the_others_go_on(world: World) -> None:
    pieces = start_line(actor=world.counter, line=world.written_line(quantity=2))
    for piece in pieces:
        bench.cut(world, piece)
    bench.finish_run(world, pieces)
    inspected = inspect_pieces(
        actor=world.inspector,
        run=pieces[0].run,
        measured={pieces[0]: (Decimal(932), None), pieces[1]: (Decimal(980), None)},
        gauge=world.tape,
        seen=bench.EVERYTHING,
    )
    assert [inspection.passed for inspection in inspected] == [True, False]


def test_what_is_not_ready_is_not_done(world: World, run: Run) -> None:
    with pytest.raises(NoneOfThem) as refused:
        tag_pieces(actor=world.inspector, run=run)
    assert "Cut" in str(refused.value)
    with pytest.raises(NotSoMany):
        cut(world, run, 6)


def test_where_a_run_stands_takes_as_many_queries_for_many_as_for_few(world: World, run: Run) -> None:
    few = start_line(actor=world.counter, line=world.written_line(quantity=2))[0].run
    counts = []
    for each in (few, run):
        with CaptureQueriesContext(connection) as captured:
            standing_of_run(each)
        counts.append(len(captured))
    assert counts[0] == counts[1]
