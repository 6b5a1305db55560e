"""The invented workshop: it is built by the services, and shows assemblies at every stage."""

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from shop.assemblies.models import Assembly, Recall, State
from shop.assemblies.recalls import Progress, progress_of
from shop.assemblies.stops import stop_hints
from shop.catalogue.models import ChartIssue, CrimpChart, Fitting, Fluid, Hose
from shop.demo.building import build_demo
from shop.demo.people import PASSWORD
from shop.ledger.checking import check_ledger
from shop.orders.models import Measured, Resolution
from shop.people.models import User
from shop.people.permissions import Role
from shop.policy.models import Workshop
from shop.trace.failures import failures
from shop.trace.models import FailureMode, FailureReport
from tests.world import World


@pytest.fixture
def demo(db: None) -> None:
    build_demo()


def test_it_shows_an_assembly_at_every_stage_and_its_book_is_right(demo: None) -> None:
    shown = set(Assembly.objects.values_list("state", flat=True))
    assert shown == set(State)
    # Keys are only compared at the end of a transaction, which a test never reaches.
    connection.check_constraints()
    assert [fault.what for fault in check_ledger().faults] == []


def test_it_shows_what_came_back_from_the_field_and_a_recall_that_goes_on(demo: None) -> None:
    [failure] = failures()
    assert failure.mode == FailureMode.LEAK_AT_FERRULE
    assert FailureReport.objects.unread().count() == 1
    recall = Recall.objects.get()
    assert progress_of(recall) == Progress(members=4, made_safe=1, unheard_of=3)
    assert not recall.is_closed


def test_there_is_one_sign_in_for_each_role(demo: None) -> None:
    people = User.objects.all()
    assert {role for person in people for role in person.roles} == set(Role)
    assert all(person.check_password(PASSWORD) for person in people)


def test_it_shows_what_documents_print_beside_a_rating(demo: None) -> None:
    hose = Hose.objects.get(designation="Bastion")
    assert hose.rating_choice is not None
    assert hose.rating_choice.private("reason")
    assert (str(hose.proof), str(hose.burst)) == ("840 bar", "1680 bar")
    assert Fitting.objects.exclude(seal=None).exists()
    assert not Fitting.objects.filter(beyond_datum=None).exists()
    water = Fluid.objects.get(name="water")
    assert (water.temperature_min_c, water.temperature_max_c) == (0, 70)


def test_it_shows_what_a_customer_measured_in_another_way(demo: None) -> None:
    confirmed = Resolution.objects.get(line__measured=Measured.TIPS)
    assert (confirmed.surge_typed, confirmed.demand_typed) == ("45", "210")
    assert (confirmed.angle_typed, confirmed.angle_deg) == (90, 270)
    assert confirmed.overall_length < 990  # between the datums; over all metal it is 990 mm


def test_who_checks_the_waiting_chart_is_told_of_the_wrong_ring(demo: None) -> None:
    waiting = CrimpChart.objects.get(number="LN-3")
    [[hint]] = stop_hints(waiting.lines.all()).values()
    assert (hint.check.agrees, hint.crimper.number) == (False, "press 1")
    for issue in ChartIssue.objects.all():
        assert stop_hints(issue.specifications.all()) == {}, "charts in force agree with what was crimped"


def test_it_is_not_served_over_a_workshop_of_somebodys_own(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DATABASE_URL", "said by somebody")
    with pytest.raises(CommandError, match="not the demo"):
        call_command("demo", build_only=True)
    assert Workshop.objects.count() == 1
