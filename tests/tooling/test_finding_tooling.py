"""What in the cabinet serves a line of a chart, and what is lacking."""

import pytest
from django.db import IntegrityError, transaction

from shop.catalogue.models import StopKind
from shop.people.models import User
from shop.people.refusals import NotAllowed
from shop.tooling.finding import find_tooling
from shop.tooling.models import Arrangement
from shop.tooling.services import save_arrangement, save_crimper, save_die_set, save_stop_part
from tests import factories
from tests.world import World


def test_what_the_line_names_is_found(world: World) -> None:
    owned = find_tooling(world.chart_line())
    assert owned.die_sets == (world.die_set,)
    assert owned.stop_parts == (world.stop_part,)
    assert owned.arrangements == (world.arrangement,)
    assert owned.lacking == ()


def test_dies_and_stops_of_another_type_do_not_serve(world: World) -> None:
    line = world.chart_line(die_type=factories.DieTypeFactory(), stop_type=factories.StopTypeFactory())
    factories.DieSetFactory()
    factories.StopPartFactory()
    assert find_tooling(line).lacking == ("a die set", "a stop part", "a crimper with an arrangement for it")


@pytest.mark.parametrize("blocked", ["die_set", "stop_part", "crimper"])
def test_what_is_blocked_does_not_serve(world: World, blocked: str) -> None:
    saves = {"die_set": save_die_set, "stop_part": save_stop_part, "crimper": save_crimper}
    tool = getattr(world, blocked)
    tool.blocked_because = "a die is chipped"
    saves[blocked](actor=world.bench, **{blocked: tool})
    assert len(find_tooling(world.chart_line()).lacking) == 1


def test_a_dial_crimper_needs_no_stop_part_but_an_arrangement_of_its_own(world: World) -> None:
    line = world.chart_line(stop_kind=StopKind.DIAL, stop_type=None, stop_setting="3.5")
    assert find_tooling(line).lacking == ("a crimper with an arrangement for it",)
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL)
    arrangement = Arrangement(crimper=dial, die_type=world.die_type)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    owned = find_tooling(line)
    assert (owned.arrangements, owned.stop_parts, owned.lacking) == ((arrangement,), (), ())


def test_an_arrangement_for_another_kind_of_stop_does_not_serve(world: World) -> None:
    numeric = factories.CrimperFactory(stop_kind=StopKind.NUMERIC)
    arrangement = Arrangement(crimper=numeric, die_type=world.die_type)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[])
    line = world.chart_line(stop_kind=StopKind.DIAL, stop_type=None, stop_setting="3.5")
    assert find_tooling(line).arrangements == ()
    assert not arrangement.serves(line)


def test_the_counter_keeps_no_tools(world: World, counter: User) -> None:
    with pytest.raises(NotAllowed):
        save_die_set(actor=counter, die_set=world.die_set)


def test_a_crimper_without_stop_parts_has_one_arrangement_for_a_die(world: World) -> None:
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL)
    first = factories.ArrangementFactory(crimper=dial, die_type=world.die_type, stop_type=None)
    with pytest.raises(IntegrityError), transaction.atomic():
        factories.ArrangementFactory(crimper=dial, die_type=first.die_type, stop_type=None)
