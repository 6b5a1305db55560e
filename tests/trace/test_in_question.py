"""Whatever is found wrong, the same question is asked of it: what was made so, where it is, and whose."""

import datetime

from shop.assemblies.models import End
from shop.assemblies.wear import record_tool_check
from shop.authority.models import AuthorisedStep, Authority
from shop.authority.services import save_authority
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.tooling.services import report_damage
from shop.trace.in_question import InQuestion, Thing, in_question
from tests import factories
from tests.assemblies import bench
from tests.world import World


def only(thing: Thing) -> InQuestion:
    [answer] = in_question(thing)
    return answer


def test_a_lot_puts_in_question_what_was_made_from_it(world: World) -> None:
    out = bench.shipped(world)
    here, _ = bench.crimped(world)
    for lot in (world.reel.lot, world.fitting_lot, world.ferrule_lot):
        answer = only(lot)
        assert answer.suspicion is not None
        assert list(answer.suspicion.assemblies()) == [out, here]
        assert (answer.where.every, answer.where.out, answer.where.here) == (2, 1, 1)
        [concerned] = answer.customers
        assert concerned.customer == world.customer


def test_nothing_is_in_question_by_a_lot_that_nobody_took_from(world: World) -> None:
    bench.crimped(world)
    other = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, quantity=5))
    answer = only(other)
    assert (answer.where.every, answer.customers) == (0, ())
    assert answer.because == f"were made from {other}"


def test_a_chart_and_each_of_its_lines_put_in_question_what_was_crimped_to_them(world: World) -> None:
    assembly, made = bench.crimped(world)
    for thing in (world.chart_issue, made.specification):
        suspicion = only(thing).suspicion
        assert suspicion is not None
        assert list(suspicion.assemblies()) == [assembly]


def test_a_damaged_tool_puts_in_question_what_it_made_since_it_was_last_found_fit(world: World) -> None:

    bench.crimped(world)
    record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean")
    after, _ = bench.crimped(world)
    answer = only(report_damage(actor=world.bench, tool=world.die_set, what="a chipped segment"))
    assert answer.suspicion is not None
    assert list(answer.suspicion.assemblies()) == [after]
    assert answer.because == "were made with it since it was last looked at and found fit"


def test_an_authority_that_was_ended_for_a_past_day_tells_apart_what_came_after_it(world: World) -> None:
    """It was ended yesterday for the day before, and he has crimped today."""
    authority = save_authority(
        actor=world.owner,
        authority=Authority(
            person=world.bench, step=AuthorisedStep.CRIMP, valid_from=today() - datetime.timedelta(days=90)
        ),
    )
    assembly, _ = bench.crimped(world)
    [since] = in_question(authority)
    assert since.where.every == 1
    authority.expires_on = today() - datetime.timedelta(days=1)
    after, since = in_question(save_authority(actor=world.owner, authority=authority))
    for answer in (after, since):
        assert answer.suspicion is not None
        assert list(answer.suspicion.assemblies()) == [assembly]
    assert after.because == f"were crimped by {world.bench.name} after its last day, {authority.expires_on}"


def test_an_authority_for_another_series_or_step_puts_nothing_in_question(world: World) -> None:

    bench.crimped(world)
    for narrow in ({"series": factories.FittingSeriesFactory()}, {"crimper": factories.CrimperFactory()}):
        authority = save_authority(
            actor=world.owner,
            authority=Authority(person=world.bench, step=AuthorisedStep.CRIMP, valid_from=today(), **narrow),
        )
        assert only(authority).where.every == 0


def test_who_set_up_is_asked_for_what_others_crimped_on_it(world: World) -> None:
    """One person sets up and another crimps: the set-up is the first one's."""
    assembly = bench.ready_to_crimp(world)
    bench.crimp(world, assembly)
    for person, found in ((world.bench, 1), (world.inspector, 0)):
        authority = save_authority(
            actor=world.owner,
            authority=Authority(person=person, step=AuthorisedStep.SET_UP, valid_from=today()),
        )
        assert only(authority).where.every == found
    assert assembly.crimps.filter(end=End.A).exists()
