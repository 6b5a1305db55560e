"""A workshop of many assemblies, copied in bulk, is like one whose every step was recorded."""

from itertools import pairwise
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly, Coverage, Crimp, Measurement, State
from shop.demo.load.asking import Asked, faults_of
from shop.demo.load.many.building import ManyAssemblies
from shop.demo.load.many.template import Shape
from shop.demo.load.questions import Question, questions
from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry
from shop.ledger.triggers import missing
from shop.orders.models import Customer
from shop.stock.models import Lot
from shop.tooling.models import DieSet

SMALL = Shape(assemblies_of_a_run=5, runs_of_a_lot=2, lots_of_a_day=3, customers=3, die_sets=2, gauges=2)


@pytest.fixture
def sixty(db: None, data_folder: Path) -> ManyAssemblies:
    """Sixty assemblies, of which five were made by the services, in a workshop for three hundred."""
    many = ManyAssemblies(300, SMALL)
    many.grow_to(60)
    return many


def test_its_ledger_and_every_record_are_right_and_guarded(sixty: ManyAssemblies) -> None:
    connection.check_constraints()
    assert check_ledger().faults == ()
    assert missing(connection) == []


def test_all_of_them_were_shipped_and_each_has_a_code_and_a_serial_of_its_own(sixty: ManyAssemblies) -> None:
    assert Assembly.objects.filter(state=State.SHIPPED).count() == 60
    assert sorted(Assembly.objects.values_list("serial", flat=True)) == list(range(1, 61))
    assert len(set(Assembly.objects.values_list("code", flat=True))) == 60
    for assembly in Assembly.objects.all():
        assert assembly.code in assembly.tags.get().address


def test_each_leads_to_its_own_lots_and_the_next_tools_and_customers(sixty: ManyAssemblies) -> None:
    cut_from = Lot.objects.exclude(hose=None).filter(pieces__movements__cut__isnull=False).distinct()
    assert len(cut_from) == 6
    for lot in cut_from:
        assert Assembly.objects.filter(cut__movement__piece__lot=lot).count() == 10
        fittings = Lot.objects.filter(crimps_of_fitting__assembly__cut__movement__piece__lot=lot).distinct()
        assert Crimp.objects.filter(fitting_lot=fittings.get()).count() == 20
    made_for = Assembly.objects.values_list("run__line__order__customer", flat=True)
    assert len(set(made_for)) == 2  # a lot has two runs, and begins again with the first customer
    assert Customer.objects.count() == 3
    crimped_in = DieSet.objects.filter(set_ups__crimps__isnull=False).distinct()
    assert sorted(die_set.number for die_set in crimped_in) == ["100", "101"]


def test_crimps_are_measured_or_covered_with_a_calibration_of_the_day(
    sixty: ManyAssemblies,
) -> None:
    assert Crimp.objects.count() == 120
    assert Measurement.objects.count() + Coverage.objects.count() == 120
    assert Coverage.objects.filter(covered=True).exists()
    copies = Measurement.objects.filter(crimp__assembly__serial__gt=10).select_related("calibration", "entry")
    assert len(copies) > 0
    for measurement in copies:
        assert measurement.calibration.gauge_id == measurement.gauge_id
        assert measurement.calibration.done_on == measurement.happened_at.date()


def test_each_copy_was_made_after_the_one_before(sixty: ManyAssemblies) -> None:
    moments = [entry.recorded_at for entry in Entry.objects.filter(pk__gt=_of_the_template()).order_by("pk")]
    assert all(before <= after for before, after in pairwise(moments))


def _of_the_template() -> int:
    """The last entry that a service wrote."""
    last = Entry.objects.order_by("-recorded_at").values_list("pk", flat=True).first()
    assert last is not None
    return last


def test_each_question_has_the_answer_of_the_sql_by_hand_in_as_many_queries_among_more(
    sixty: ManyAssemblies,
) -> None:
    few = [_queries_of(question) for question in questions()]
    sixty.grow_to(300)
    assert Assembly.objects.count() == 300
    assert [_queries_of(question) for question in questions()] == few


def _queries_of(question: Question) -> int:
    with CaptureQueriesContext(connection) as queries:
        answer = question.as_the_page()
    assert answer == question.by_hand(), question.words
    return len(queries)


def test_what_is_slow_among_more_or_beside_the_sql_is_said() -> None:
    quick, slow = Asked("lot", 5, 2, 2, 10), Asked("lot", 11, 2, 3, 10)
    assert faults_of([quick], [quick]) == []
    assert faults_of([quick], [slow]) == [
        "lot: more than the SQL allows.",
        "lot: 2.2 times as long among more.",
        "lot: 2 queries became 3.",
    ]
