"""What becomes of a failed crimp: again where the chart allows it, or scrap; never accepted as it is."""

import pytest

from shop.assemblies import refusals
from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, Crimp, DecisionKind, State, Trouble
from shop.assemblies.remedies import Remedy
from shop.assemblies.steps import Step, next_step
from shop.catalogue.models import StopKind
from shop.engineering.crimp import Judged
from shop.people.models import User
from shop.people.refusals import NeedsSecondPerson, NotAllowed
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db

TOO_LARGE = ["24.45"] * 4
TOO_SMALL = ["23.95"] * 4


def again(world: World, assembly: Assembly, actor: User | None = None) -> None:
    decide(
        actor=actor or world.inspector,
        assembly=assembly,
        kind=DecisionKind.CRIMP_AGAIN,
        reason="The dial was one step off.",
    )


def scrap(actor: User, assembly: Assembly, reason: str = "Outside its limits.") -> None:
    decide(actor=actor, assembly=assembly, kind=DecisionKind.SCRAP, reason=reason)


@pytest.fixture
def too_large(world: World) -> tuple[Assembly, Crimp]:
    """A failed crimp that a second person may have crimped again."""
    bench.allow_crimping_again(world)
    return bench.crimped(world, TOO_LARGE)


def test_a_crimp_that_is_too_large_is_crimped_again_on_the_same_parts(
    world: World, too_large: tuple[Assembly, Crimp]
) -> None:
    assembly, first = too_large
    assert bench.offered(world.owner, assembly, Remedy.CRIMP_AGAIN)
    again(world, assembly)
    assembly.refresh_from_db()
    assert (assembly.state, assembly.trouble) == (State.CUT, Trouble.NONE)
    assert next_step(assembly).words == "Crimp end A again."
    second = bench.crimp(world, assembly)
    assert (second.attempt, second.ferrule_lot) == (2, first.ferrule_lot)
    bench.measure(world, second)
    assembly.refresh_from_db()
    assert assembly.state == State.CRIMPED_A


def test_it_is_crimped_again_only_once(world: World, too_large: tuple[Assembly, Crimp]) -> None:
    assembly, _ = too_large
    again(world, assembly)
    bench.measure(world, bench.crimp(world, assembly), TOO_LARGE)
    assert not bench.offered(world.owner, assembly, Remedy.CRIMP_AGAIN)
    with pytest.raises(refusals.CrimpAgainRefused) as refused:
        again(world, assembly)
    assert refused.value.what.endswith("it was crimped again once already.")


def test_it_refuses_another_ferrule_for_crimping_again(
    world: World, too_large: tuple[Assembly, Crimp]
) -> None:
    assembly, _ = too_large
    again(world, assembly)
    lot = receive_lot(actor=world.bench, lot=Lot(ferrule=world.ferrule, batch="H-2", quantity=10))
    with pytest.raises(refusals.OnlyTheSameParts):
        bench.crimp(world, assembly, ferrule_lot=lot)


def test_a_crimp_that_is_too_small_is_not_crimped_again(world: World) -> None:
    bench.allow_crimping_again(world)
    assembly, _ = bench.crimped(world, TOO_SMALL)
    with pytest.raises(refusals.CrimpAgainRefused) as refused:
        again(world, assembly)
    assert refused.value.what == (
        "This end can't be crimped again: only one that is too large, above 24.4 mm, can be pressed further."
    )


def test_where_each_reading_is_judged_none_may_be_too_small(world: World) -> None:
    bench.reissue(world, "2", crimp_again_allowed=True, judged=Judged.EACH)
    assembly, _ = bench.crimped(world, ["24.45", "24.20", "23.99", "24.20"])
    assert not bench.offered(world.owner, assembly, Remedy.CRIMP_AGAIN)
    other, _ = bench.crimped(world, ["24.45", "24.20", "24.20", "24.20"])
    assert bench.offered(world.owner, other, Remedy.CRIMP_AGAIN)


def test_it_is_not_crimped_again_where_the_chart_does_not_allow_it(world: World) -> None:
    assembly, _ = bench.crimped(world, TOO_LARGE)
    with pytest.raises(refusals.CrimpAgainRefused) as refused:
        again(world, assembly)
    assert refused.value.what.endswith("RW-8 issue 1 doesn't allow it.")


def test_who_crimped_it_cannot_decide_to_crimp_it_again(world: World) -> None:
    bench.allow_crimping_again(world)
    assembly = bench.ready_to_crimp(world)
    crimp = bench.crimp(world, assembly, actor=world.inspector)
    bench.measure(world, crimp, TOO_LARGE)
    with pytest.raises(NeedsSecondPerson):
        again(world, assembly)
    again(world, assembly, actor=world.owner)
    assert assembly.decisions.get().independently_checked


def test_the_bench_alone_cannot_decide_to_crimp_again(
    world: World, too_large: tuple[Assembly, Crimp]
) -> None:
    with pytest.raises(NotAllowed):
        again(world, too_large[0], actor=world.bench)


def test_in_a_one_person_workshop_the_record_says_that_nobody_else_checked(world: World) -> None:
    bench.allow_crimping_again(world)
    bench.choose(world, needs_second_person=False)
    assembly = bench.ready_to_crimp(world)
    bench.measure(world, bench.crimp(world, assembly, actor=world.owner), TOO_LARGE)
    again(world, assembly, actor=world.owner)
    assert not assembly.decisions.get().independently_checked


def test_what_is_treated_as_failed_was_not_too_large(world: World) -> None:
    bench.allow_crimping_again(world)
    bench.choose(world, decision_rule="guarded_u")
    assembly, _ = bench.crimped(world, ["24.38"] * 4)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.TREAT_AS_FAILED, reason="In doubt.")
    with pytest.raises(refusals.CrimpAgainRefused):
        again(world, assembly)


def test_anyone_at_the_bench_scraps_their_own_work_and_the_reason_stands_beside_the_entry(
    world: World,
) -> None:
    assembly, crimp = bench.crimped(world, TOO_SMALL)
    scrap(world.bench, assembly, "Stop ring was in the wrong way round.")
    decision = assembly.decisions.get()
    assert (assembly.state, assembly.trouble) == (State.SCRAPPED, Trouble.NONE)
    assert (decision.about, decision.private("reason")) == (crimp, "Stop ring was in the wrong way round.")
    assert next_step(assembly).step == Step.NONE


def test_a_decision_needs_its_reason(world: World) -> None:
    assembly, _ = bench.crimped(world, TOO_SMALL)
    with pytest.raises(refusals.ReasonMissing):
        scrap(world.bench, assembly, "  ")


@pytest.mark.parametrize("kind", [DecisionKind.TREAT_AS_FAILED, DecisionKind.CRIMP_AGAIN])
def test_it_refuses_to_decide_where_nothing_is_open(world: World, kind: DecisionKind) -> None:
    assembly, _ = bench.crimped(world)
    with pytest.raises(refusals.NothingToDecide):
        decide(actor=world.inspector, assembly=assembly, kind=kind, reason="To be sure.")


def test_it_refuses_to_scrap_twice_or_after_release(world: World) -> None:
    assembly, _ = bench.crimped(world)
    scrap(world.bench, assembly)
    for gone in (assembly, bench.released(world)):
        with pytest.raises(refusals.NothingToDecide) as refused:
            scrap(world.bench, gone)
        assert refused.value.what == f"{gone} is not on the bench any more."


def test_nothing_more_is_done_with_a_failed_or_scrapped_assembly(world: World) -> None:
    failed, _ = bench.crimped(world, TOO_SMALL)
    scrapped, _ = bench.crimped(world)
    scrap(world.bench, scrapped)
    for assembly in (failed, scrapped):
        with pytest.raises(refusals.NotTheNextStep):
            bench.look_over(world, assembly)
        with pytest.raises(refusals.NotTheNextStep):
            bench.tool_up(world, assembly)


def test_crimping_again_follows_the_chart_of_today(world: World, too_large: tuple[Assembly, Crimp]) -> None:
    assembly, _ = too_large
    again(world, assembly)
    bench.reissue(world, "3", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="140")
    with pytest.raises(refusals.ChartMovedOn):
        bench.crimp(world, assembly)
