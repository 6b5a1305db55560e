"""Whatever is changed in a record, an entry or a chain by raw SQL is found, and the column is named."""

import datetime
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from django.db import connection, models, transaction

from shop.ledger import triggers
from shop.ledger.canonical import canonical
from shop.ledger.checking import Checkpoint, Fault, check_ledger
from shop.ledger.checking.chains import chain_faults
from shop.ledger.checking.results import ChainEnd
from shop.ledger.checking.seals import SealWatch
from shop.ledger.facts import record_columns, row_facts
from shop.ledger.models import Chain, Entry, PrivateText, Record
from shop.ledger.services import erase_private
from shop.ledger.stored import texts_between
from shop.ledger.triggers import record_models
from shop.orders.models import Customer
from shop.orders.services import save_customer
from tests.assemblies.test_runs import cut_run, make
from tests.ledger.testapp.models import Loss, Wear
from tests.rules.test_every_service_records import SCENARIOS
from tests.world import World

# After which deed there is a record of the kind; the others are in the small workshop from the beginning.
DEEDS: dict[str, str | Callable[[World], Any]] = {
    "attached_worksheet": "attach_worksheet",
    "chart_withdrawal": "withdraw_issue",
    "concession": "concede",
    "coverage": lambda world: make(world, *cut_run(world, 4, every=3)),
    "crimp": "crimp_end",
    "customer_answer": "answer_recall",
    "cut": "cut_hose",
    "cut_correction": "adopt_cut_correction",
    "decision": "decide",
    "failure_finding": "judge_report",
    "failure_report": "report_failure",
    "figure_confirmation": "confirm_figures",
    "gauge_check": "check_gauge",
    "hose_rating_confirmation": "confirm_hose_rating",
    "inspection": "inspect",
    "ledger_seal": "seal_ledger",
    "lot_condemnation": "condemn_lot",
    "lot_correction": "correct_lots",
    "measurement": "measure_crimp",
    "paper": "print_tag",
    "pressure_calibration": "record_pressure_calibration",
    "proof_test": "prove_assembly",
    "rating_choice": "choose_rating",
    "recall": "open_recall",
    "recall_addition": "add_to_recall",
    "recall_closing": "close_recall",
    "recall_finding": "record_finding",
    "release": "release",
    "resolution": "confirm_line",
    "retirement": "retire",
    "sealing_key": "seal_ledger",
    "set_up": "set_up",
    "shipment": "ship",
    "tag": "make_tag",
    "tool_check": "record_tool_check",
    "worksheet_removal": "take_worksheet_off",
}
KINDS = {model.KIND: model for model in record_models() if model not in {Loss, Wear}}
# Which row it is in its table says nothing: records and private texts are found by it, so one that goes by
# another key is missing where it was.
KEYS = {"id"}


def other(field: "models.Field[Any, Any]", value: Any) -> Any:
    """Another value that the column can hold."""
    if isinstance(field, models.BooleanField):
        return not value
    if isinstance(field, models.ForeignKey):
        return (value or 0) + 1_000_000
    if isinstance(field, models.IntegerField | models.DecimalField):
        return (value or 0) + 1000
    if isinstance(field, models.DateTimeField):
        return (value or datetime.datetime(2020, 1, 1, tzinfo=datetime.UTC)) + datetime.timedelta(days=1)
    if isinstance(field, models.DateField):
        return (value or datetime.date(2020, 1, 1)) + datetime.timedelta(days=1)
    if isinstance(field, models.JSONField):
        return ["changed"]
    if isinstance(field, models.BinaryField):
        return b"changed"
    return value[:-1] + ("y" if value.endswith("x") else "x") if value else "x"


@contextmanager
def changed(row: models.Model, name: str) -> Iterator[None]:
    """Another value in one column, past triggers and constraints, as long as it lasts."""
    table, field = type(row)._meta.db_table, type(row)._meta.get_field(name)
    assert isinstance(field, models.Field)
    value = field.get_db_prep_save(other(field, field.value_from_object(row)), connection)
    key = type(row)._meta.pk.column
    connection.check_constraints()
    with transaction.atomic():
        triggers.remove(connection)
        with connection.cursor() as cursor:
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA ignore_check_constraints = ON")
            for constraint in type(row)._meta.constraints if connection.vendor == "postgresql" else ():
                if isinstance(constraint, models.CheckConstraint):
                    cursor.execute(f'ALTER TABLE "{table}" DROP CONSTRAINT "{constraint.name}"')
            cursor.execute(f'UPDATE "{table}" SET "{field.column}" = %s WHERE "{key}" = %s', [value, row.pk])
            assert cursor.rowcount == 1
        yield
        transaction.set_rollback(True)
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA ignore_check_constraints = OFF")


def faults_of(entry: Entry) -> list[Fault]:
    """What the check says when it comes to this entry."""
    number, site = entry.number, entry.chain.site
    end = ChainEnd(entry.chain_id, site, length=number, head=entry.hash, last=number, count=number)
    before = Checkpoint(number - 1, entry.previous)
    return list(chain_faults(end, before, SealWatch(end, ()), lambda *_: None))


def test_each_kind_of_record_is_looked_at() -> None:
    assert set(DEEDS) <= set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_each_changed_column_of_a_record_is_named(world: World, kind: str) -> None:
    deed = DEEDS.get(kind)
    if deed is not None:
        (SCENARIOS[deed][1] if isinstance(deed, str) else deed)(world)
    model: type[Record] = KINDS[kind]
    row = model._default_manager.select_related("entry__chain").order_by("-pk").first()
    assert row is not None, f"Nothing makes a {kind} here: add to DEEDS what does."
    assert faults_of(row.entry) == []
    names = record_columns(model)
    as_stored = texts_between(model, names, row.pk, row.pk, most=1)
    assert as_stored == {row.pk: canonical(row_facts(row, names))}
    for name in names:
        with changed(row, name):
            faults = faults_of(row.entry)
        assert (row.entry.number, name) in {(fault.number, fault.field) for fault in faults}


@pytest.mark.parametrize("name", [f.name for f in Entry._meta.concrete_fields if f.name not in KEYS])
def test_each_changed_column_of_an_entry_is_named(world: World, name: str) -> None:
    for entry in (Entry.objects.earliest("pk"), Entry.objects.latest("pk")):
        with changed(entry, name):
            result = check_ledger()
        assert not result.is_right
        assert result.faults[0].number in {None, entry.number}


@pytest.mark.parametrize("name", [field.name for field in Chain._meta.concrete_fields])
def test_each_changed_column_of_a_chain_is_found(world: World, name: str) -> None:
    with changed(Chain.objects.get(), name):
        assert not check_ledger().is_right


@pytest.mark.parametrize("name", [f.name for f in PrivateText._meta.concrete_fields if f.name not in KEYS])
def test_each_changed_column_of_a_private_text_is_found(world: World, name: str) -> None:
    customer = save_customer(actor=world.counter, customer=Customer(number="K9", name="New"))
    with changed(PrivateText.objects.latest("pk"), name):
        assert not check_ledger().is_right
    erase_private(actor=world.owner, subject=customer)
    with changed(PrivateText.objects.exclude(erased_by=None).latest("pk"), name):
        assert not check_ledger().is_right
