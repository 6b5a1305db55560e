"""Policy, charts, gauges, authorities and tools as they stood on a past day, as they were known then."""

import datetime

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.authority.models import AuthorisedStep, Authority
from shop.authority.services import save_authority
from shop.catalogue.services import withdraw_issue
from shop.policy.services import today
from shop.tooling.models import DieSet
from shop.tooling.services import report_damage, save_die_set
from shop.trace.in_force import workshop_as_of
from tests import factories
from tests.assemblies import bench
from tests.trace.test_as_of_a_day import the_next_day
from tests.world import World


def changed(day: datetime.date) -> dict[str, tuple[str, str]]:
    return {one.what: (one.then, one.now) for kind in workshop_as_of(day) for one in kind.changed}


def noted_die_set(world: World) -> DieSet:
    """A die set that was added by a person, so that the ledger knows when."""
    made: DieSet = factories.DieSetFactory.build(number="d 77", die_type=world.die_type)
    return save_die_set(actor=world.bench, die_set=made)


def test_what_was_withdrawn_damaged_set_and_ended_later_stood_otherwise(world: World) -> None:
    dies = noted_die_set(world)
    authority = save_authority(
        actor=world.owner,
        authority=Authority(person=world.bench, step=AuthorisedStep.CRIMP, valid_from=today()),
    )
    day = today()
    assert dies.number not in str(changed(day))
    with the_next_day():
        withdraw_issue(actor=world.inspector, chart_issue=world.chart_issue, reason="a misprint")
        report_damage(actor=world.bench, tool=dies, what="die 3 chipped")
        bench.choose(world, number=2)
        authority.expires_on = day
        save_authority(actor=world.owner, authority=authority)
        found = changed(day)
        assert found["Policy"] == ("policy 1", "policy 2")
        assert found[f"chart {world.chart}"] == ("issue 1", "none in force: issue 1 withdrawn")
        assert found["die set d 77"] == ("usable", "not to be used: die 3 chipped")
        assert found[str(authority)] == ("holds", f"doesn't hold: {day} to {day}")


def test_what_was_added_later_was_not_in_the_book(world: World) -> None:
    day = today()
    with the_next_day():
        noted_die_set(world)
        assert changed(day)["die set d 77"] == ("not in the book", "usable")


def test_more_tools_take_no_more_queries(world: World) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            workshop_as_of(today())
        return len(queries)

    few = asked()
    for _ in range(3):
        factories.DieSetFactory(die_type=world.die_type)
        world.calibrate(factories.GaugeFactory())
    assert asked() == few


def test_the_page_asks_for_a_day_and_compares(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    assert "stood as" not in client.get("/quality/as-of/").content.decode()
    assert "Write a valid date" not in client.get("/quality/as-of/").content.decode()
    text = client.get("/quality/as-of/", {"as_of": str(today())}).content.decode()
    assert f"As of {today()}" in text
    assert "stood as" in text
