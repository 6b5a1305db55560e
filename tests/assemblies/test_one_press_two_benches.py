"""Two benches at one press, or with one die set: the set-up made last is the one that holds."""

import pytest

from shop.assemblies.models import Assembly, End
from shop.assemblies.refusals import SetUpTakenApart
from shop.catalogue.models import StopKind
from shop.tooling.models import Crimper
from shop.tooling.services import save_arrangement
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def mine(world: World) -> Assembly:
    """Of the bench person: cut, and the press set up for its end A."""
    return bench.ready_to_crimp(world)


@pytest.fixture
def theirs(world: World) -> Assembly:
    """Of the inspector, who sometimes helps: only cut."""
    return bench.plan_and_cut(world)


def other_press(world: World) -> Crimper:
    """A second press that takes the same dies and the same stop."""
    press = factories.CrimperFactory()
    arrangement = factories.ArrangementFactory.build(
        crimper=press, die_type=world.die_type, stop_type=world.stop_type
    )
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    return press


def refused(world: World, assembly: Assembly, end: End = End.A) -> str:
    with pytest.raises(SetUpTakenApart) as refusal:
        bench.crimp(world, assembly, end)
    assert "set up once more" in refusal.value.what_to_do
    return refusal.value.what


def test_who_sets_up_a_press_ends_what_another_bench_had_set_up_there(
    world: World, mine: Assembly, theirs: Assembly
) -> None:
    bench.tool_up(world, theirs, actor=world.inspector)
    said = refused(world, mine)
    assert said.startswith(f"{world.inspector.name} has set up {world.crimper} for {theirs.run}, end A")
    bench.crimp(world, theirs, actor=world.inspector)


def test_setting_up_once_more_takes_the_press_back(world: World, mine: Assembly, theirs: Assembly) -> None:
    bench.tool_up(world, theirs, actor=world.inspector)
    bench.tool_up(world, mine)
    bench.crimp(world, mine)
    with pytest.raises(SetUpTakenApart):
        bench.crimp_end(
            actor=world.inspector,
            assembly=theirs,
            end=End.A,
            fitting_lot=world.fitting_lot,
            ferrule_lot=world.ferrule_lot,
            seen=[],
        )


@pytest.mark.parametrize("taken", ["die_set", "stop_part"])
def test_dies_or_a_stop_taken_to_another_press_end_the_set_up_that_they_were_in(
    world: World, mine: Assembly, theirs: Assembly, taken: str
) -> None:
    own = {
        "die_set": factories.DieSetFactory(die_type=world.die_type),
        "stop_part": factories.StopPartFactory(stop_type=world.stop_type),
    }
    del own[taken]
    press = other_press(world)
    bench.tool_up(world, theirs, actor=world.inspector, crimper=press, seen=[], **own)
    assert f"has set up {getattr(world, taken)} in {press} for" in refused(world, mine)


def test_a_press_of_its_own_with_tools_of_its_own_ends_nothing(
    world: World, mine: Assembly, theirs: Assembly
) -> None:
    bench.tool_up(
        world,
        theirs,
        actor=world.inspector,
        crimper=other_press(world),
        die_set=factories.DieSetFactory(die_type=world.die_type),
        stop_part=factories.StopPartFactory(stop_type=world.stop_type),
        seen=[],
    )
    bench.crimp(world, mine)


def test_the_same_person_with_the_same_tools_goes_back_to_the_run_before(
    world: World, mine: Assembly, theirs: Assembly
) -> None:
    bench.tool_up(world, theirs)
    bench.crimp(world, mine)
    bench.crimp(world, theirs)


def test_other_dies_end_it_for_the_same_person_too(world: World, mine: Assembly, theirs: Assembly) -> None:
    bench.tool_up(world, theirs, die_set=factories.DieSetFactory(die_type=world.die_type))
    assert refused(world, mine).startswith(f"{world.bench.name} has set up {world.crimper}")


def test_what_was_put_back_between_does_not_count_as_left(
    world: World, mine: Assembly, theirs: Assembly
) -> None:
    """Somebody else had it apart; that the first person then made the same of it for another run is new."""
    bench.tool_up(world, theirs, actor=world.inspector)
    bench.tool_up(world, bench.plan_and_cut(world))
    assert world.inspector.name in refused(world, mine)


def test_another_value_on_the_dial_ends_what_was_set_before(world: World) -> None:
    bench.reissue(world, "2", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="140")
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL)
    arrangement = factories.ArrangementFactory.build(crimper=dial, die_type=world.die_type, stop_type=None)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    mine, theirs = bench.plan_and_cut(world), bench.plan_and_cut(world)
    state = {"crimper": dial, "stop_part": None, "seen": []}
    bench.tool_up(world, mine, stop_setting="140", **state)
    bench.tool_up(world, theirs, stop_setting="140", **state)
    bench.crimp(world, mine)
    bench.tool_up(world, theirs, stop_setting="138", **state)
    bench.measure(world, mine.crimps.get())
    bench.tool_up(world, mine, End.B, stop_setting="140", **state)
    assert refused(world, theirs).endswith("for end A ended with that.")
