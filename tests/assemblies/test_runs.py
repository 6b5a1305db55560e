"""Equal assemblies on one set-up: which are measured, and what measured ones say of those between."""

import datetime
from decimal import Decimal
from unittest.mock import patch

import pytest
from django.utils import timezone

from shop.assemblies import refusals
from shop.assemblies.consistency import standings_that_disagree
from shop.assemblies.making import correct_measurement, crimp_end, decide
from shop.assemblies.models import Assembly, Crimp, DecisionKind, End, Run, Sampling, State, Trouble
from shop.assemblies.planning import resolve_again, start_line
from shop.assemblies.points import At
from shop.assemblies.refusals import (
    NotTheNextStep,
    RunInQuestion,
    RunNotProven,
    SetUpOfAnotherShift,
    SetUpOfSomebodyElse,
)
from shop.assemblies.release import make_tag, release
from shop.assemblies.sampling import shift_of
from shop.assemblies.standing import standing_of
from shop.assemblies.steps import Step, next_step
from shop.policy.models import Policy
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.dossier import record_of
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db

TOO_LARGE = ("24.41",) * 4
HELD = ("24.38",) * 4


@pytest.fixture
def run(world: World) -> list[Assembly]:
    """Six assemblies, cut, with the crimper set up for end A; every third crimp is measured."""
    return cut_run(world, 6, every=3)


def cut_run(world: World, quantity: int, every: int) -> list[Assembly]:
    bench.choose(world, measured_every=every)
    assemblies = start_line(actor=world.counter, line=world.written_line(quantity=quantity))
    for assembly in assemblies:
        bench.cut(world, assembly)
    bench.tool_up(world, assemblies[0])
    return assemblies


def make(world: World, *assemblies: Assembly, end: End = End.A) -> list[Crimp]:
    """Crimp one after the other, each measured and found good where it has to be."""
    made = []
    for assembly in assemblies:
        made.append(crimp := bench.crimp(world, assembly, end))
        if crimp.sampling != Sampling.BETWEEN:
            bench.measure(world, crimp)
    return made


def stages(assemblies: list[Assembly], end: End = End.A) -> list[str]:
    fresh = (Assembly.objects.get(pk=assembly.pk) for assembly in assemblies)
    return [standing_of(assembly).end(end).stage.value for assembly in fresh]


def test_first_every_third_and_last_are_measured(world: World, run: list[Assembly]) -> None:
    crimps = make(world, *run)
    assert [crimp.sampling for crimp in crimps] == [
        Sampling.FIRST,
        Sampling.BETWEEN,
        Sampling.NTH,
        Sampling.BETWEEN,
        Sampling.BETWEEN,
        Sampling.LAST,
    ]
    assert {crimp.first_piece for crimp in crimps[1:]} == {crimps[0]}
    assert set(stages(run)) == {"right"}


def test_nothing_is_crimped_before_the_first_piece_has_passed(world: World, run: list[Assembly]) -> None:
    first = bench.crimp(world, run[0])
    with pytest.raises(RunNotProven) as refused:
        bench.crimp(world, run[1])
    assert "the first piece" in refused.value.what
    bench.measure(world, first, TOO_LARGE)
    with pytest.raises(RunInQuestion):
        bench.crimp(world, run[1])
    bench.tool_up(world, run[1])
    assert bench.crimp(world, run[1]).sampling == Sampling.FIRST


def test_each_is_measured_where_the_policy_says_nothing_else(world: World) -> None:
    assemblies = cut_run(world, 3, every=1)
    bench.measure(world, bench.crimp(world, assemblies[0]))
    second = bench.crimp(world, assemblies[1])
    assert second.sampling == Sampling.EACH
    with pytest.raises(RunNotProven):
        bench.crimp(world, assemblies[2])


def test_a_piece_between_is_right_once_the_next_measured_one_has_passed(
    world: World, run: list[Assembly]
) -> None:
    make(world, run[0], run[1])
    assert stages(run[:2]) == ["right", "between"]
    assert next_step(Assembly.objects.get(pk=run[1].pk)).step is Step.SET_UP  # for end B: it may go on
    [third] = make(world, run[2])
    assert stages(run[:3]) == ["right", "right", "right"]
    coverage = run[1].crimps.get().coverages.get()
    assert coverage.covered
    assert (coverage.before.crimp, coverage.after.crimp) == (run[0].crimps.get(), third)


def test_it_is_not_inspected_before_it_is_proven(world: World) -> None:
    assemblies = cut_run(world, 3, every=5)
    make(world, *assemblies[:2])
    bench.tool_up(world, assemblies[0], End.B)
    make(world, *assemblies[:2], end=End.B)
    between = Assembly.objects.get(pk=assemblies[1].pk)
    assert between.state == State.CRIMPED_B
    with pytest.raises(NotTheNextStep) as refused:
        bench.look_over(world, between)
    assert "proven once a piece crimped after it has been measured" in str(refused.value)
    make(world, assemblies[2])
    assert stages([between]) == ["right"]


def test_one_that_fails_holds_all_since_the_last_good_one(world: World) -> None:
    assemblies = cut_run(world, 8, every=4)
    make(world, *assemblies[:6])
    assert stages(assemblies[:6]) == ["right"] * 4 + ["between"] * 2
    bench.measure(world, bench.crimp(world, assemblies[6]), TOO_LARGE)
    assert stages(assemblies[:7]) == ["right"] * 4 + ["held"] * 2 + ["failed"]
    assert Assembly.objects.get(pk=assemblies[4].pk).trouble == Trouble.HELD
    with pytest.raises(RunInQuestion):
        bench.crimp(world, assemblies[7])


def test_a_piece_in_question_is_right_if_it_passes_by_its_own_readings(world: World) -> None:
    assemblies = cut_run(world, 8, every=6)
    make(world, *assemblies[:5])
    bench.measure(world, bench.crimp(world, assemblies[5]), TOO_LARGE)
    bench.measure(world, assemblies[3].crimps.get())
    assert stages(assemblies[:6]) == ["right"] * 4 + ["held"] + ["failed"]
    with pytest.raises(refusals.NothingToDecide):
        decide(
            actor=world.inspector,
            assembly=assemblies[2],
            kind=DecisionKind.TREAT_AS_FAILED,
            reason="It stands between two good ones.",
        )


def test_more_readings_that_prove_a_held_piece_free_those_before_it(world: World) -> None:
    bench.choose(world, decision_rule="guarded_u", measured_every=3)
    assemblies = start_line(actor=world.counter, line=world.written_line(quantity=4))
    for assembly in assemblies:
        bench.cut(world, assembly)
    bench.tool_up(world, assemblies[0])
    make(world, *assemblies[:2])
    third = bench.crimp(world, assemblies[2])
    bench.measure(world, third, HELD)
    assert stages(assemblies[:3]) == ["right", "held", "held"]
    with pytest.raises(RunInQuestion):
        bench.crimp(world, assemblies[3])
    bench.measure(world, third, bench.GOOD * 2)
    assert stages(assemblies[:3]) == ["right", "right", "right"]


def test_readings_corrected_to_a_fail_put_those_beside_it_in_question(
    world: World, run: list[Assembly]
) -> None:
    crimps = make(world, *run[:3])
    correct_measurement(
        actor=world.bench, measurement=crimps[2].measurements.get(), readings_mm=bench.mm(*TOO_LARGE)
    )
    assert stages(run[:3]) == ["right", "held", "failed"]


def test_another_lot_of_fittings_begins_with_a_first_piece_and_ends_the_lot_before(
    world: World, run: list[Assembly]
) -> None:
    make(world, *run[:2])
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=50))
    with pytest.raises(RunNotProven) as refused:
        bench.crimp(world, run[2], fitting_lot=other)
    assert "the last piece" in refused.value.what
    bench.measure(world, run[1].crimps.get())
    first = bench.crimp(world, run[2], fitting_lot=other)
    assert (first.sampling, first.first_piece) == (Sampling.FIRST, None)


def test_a_set_up_is_one_person_s(world: World, run: list[Assembly]) -> None:
    make(world, run[0])
    with pytest.raises(SetUpOfSomebodyElse) as refused:
        crimp_end(
            actor=world.inspector,
            assembly=run[1],
            end=End.A,
            fitting_lot=world.fitting_lot,
            ferrule_lot=world.ferrule_lot,
            seen=bench.TICKED[At.CRIMP],
        )
    assert world.bench.name in refused.value.what


def test_a_set_up_is_for_one_shift(world: World, run: list[Assembly]) -> None:
    make(world, run[0])
    morning_after = timezone.now() + datetime.timedelta(days=1)
    with patch("django.utils.timezone.now", lambda: morning_after), pytest.raises(SetUpOfAnotherShift):
        bench.crimp(world, run[1])


def test_a_chart_superseded_in_mid_run_leaves_the_finished_as_they_were(world: World) -> None:
    assemblies = cut_run(world, 2, every=1)
    first = bench.finish_ends(world, assemblies[0])
    bench.look_over(world, first)
    make_tag(actor=world.inspector, assembly=first)
    release(actor=world.inspector, assembly=first, scanned=first.code)
    before = first.run.resolution
    bench.reissue(world, "2", upper=Decimal("24.35"))
    resolve_again(actor=world.counter, line=first.run.line)
    first, second = (Assembly.objects.get(pk=assembly.pk) for assembly in assemblies)
    assert first.resolution == before
    assert second.resolution == first.run.line.resolution != before
    assert [run.number for run in Run.objects.order_by("number")] == [1, 2]
    assert record_of(first).release is not None
    assert list(standings_that_disagree()) == []


def test_a_shift_begins_where_the_policy_says(world: World) -> None:
    policy = Policy(shift_starts="6:00 14:00 22:00")
    zone = datetime.UTC

    def at(hour: int) -> tuple[datetime.date, datetime.time]:
        return shift_of(datetime.datetime(2026, 3, 10, hour, 30, tzinfo=zone), policy)

    assert at(6) == at(13) != at(14)
    assert at(23) == (datetime.date(2026, 3, 10), datetime.time(22))
    assert at(5) == (datetime.date(2026, 3, 9), datetime.time(22))
