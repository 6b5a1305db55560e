"""The databases themselves refuse to change what is written once."""

import pytest
from django.core import checks
from django.core.management import call_command
from django.db import IntegrityError, connection, models, transaction

from shop.ledger import triggers
from shop.ledger.checking import check_ledger
from shop.ledger.checks import check_triggers
from shop.ledger.misuse import TriggersMissing
from shop.ledger.models import Entry, PrivateText
from shop.people.models import User
from tests.ledger.drawer import fill_drawer, keep, look
from tests.ledger.testapp.models import Loss, Tool, Wear

pytestmark = pytest.mark.django_db

# What each database has besides UPDATE and DELETE to get rid of a row. `last` is true for one look.
ROUNDABOUT = {
    "sqlite": [
        "INSERT OR REPLACE INTO drawer_wear (entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT entry_id, 90, 1, '[]', 0, tool_id FROM drawer_wear WHERE attempt = 1",
        "INSERT OR REPLACE INTO drawer_wear (entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT 900, attempt, 1, '[]', 0, tool_id FROM drawer_wear WHERE attempt = 1",
        "INSERT OR REPLACE INTO drawer_wear (entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT 900, 90, 1, '[]', 1, tool_id FROM drawer_wear WHERE attempt = 1",
        "INSERT OR REPLACE INTO drawer_wear (rowid, entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT rowid, 900, 90, 1, '[]', 0, tool_id FROM drawer_wear WHERE attempt = 1",
        "INSERT INTO drawer_wear (entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT entry_id, attempt, 1, '[]', 0, tool_id FROM drawer_wear WHERE attempt = 1"
        " ON CONFLICT (entry_id) DO UPDATE SET bore = 1",
        "INSERT OR REPLACE INTO ledger_entry SELECT * FROM ledger_entry WHERE number = 3",
    ],
    "postgresql": [
        "TRUNCATE drawer_wear",
        "TRUNCATE ledger_entry CASCADE",
        "INSERT INTO drawer_wear (entry_id, attempt, bore, parts, last, tool_id)"
        " SELECT entry_id, 90, 1, '[]'::jsonb, false, tool_id FROM drawer_wear WHERE attempt = 1"
        " ON CONFLICT (entry_id) DO UPDATE SET bore = 1",
    ],
}


@pytest.fixture
def drawer(bench: User) -> Tool:
    tool = fill_drawer(bench)
    look(bench, tool, 13, last=True)
    connection.check_constraints()  # PostgreSQL empties no table while a foreign key waits to be checked
    return tool


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE drawer_wear SET bore = 1",
        "DELETE FROM drawer_wear",
        "UPDATE ledger_entry SET facts = '{}' WHERE number = 3",
        "DELETE FROM ledger_entry WHERE number = 16",
        "UPDATE ledger_privatetext SET value = 'Lent to Bob'",
        "UPDATE ledger_privatetext SET value = NULL, salt = NULL, name = 'x', erased_by_id = entry_id + 1",
        "DELETE FROM ledger_privatetext",
    ],
)
def test_it_refuses_raw_sql(drawer: Tool, sql: str) -> None:
    with pytest.raises(IntegrityError, match="is written once"), connection.cursor() as cursor:
        cursor.execute(sql)


def test_it_refuses_the_roundabout_ways_of_this_database(drawer: Tool) -> None:
    for sql in ROUNDABOUT[connection.vendor]:
        with (
            pytest.raises(IntegrityError, match="is written once"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql)


def test_it_refuses_the_usual_ways_of_django(drawer: Tool) -> None:
    wear = Wear.objects.get(attempt=1)
    for act in (
        wear.save,
        wear.delete,
        lambda: Wear.objects.update(bore=1),
        lambda: Loss.objects.all().delete(),
        lambda: Entry.objects.filter(number=1).update(actor_number=4),
    ):
        with pytest.raises(IntegrityError, match="is written once"), transaction.atomic():
            act()


def test_a_key_that_counts_under_a_condition_stops_only_rows_that_fulfil_it(bench: User) -> None:
    tool = keep(bench)
    for attempt, last in ((1, False), (2, True), (3, False)):
        look(bench, tool, attempt, last=last)
    assert list(Wear.objects.order_by("attempt").values_list("last", flat=True)) == [False, True, False]


def test_a_private_text_can_be_erased_but_not_filled_again(drawer: Tool) -> None:
    PrivateText.objects.update(salt=None, value=None, erased_by=Entry.objects.get(number=9))
    with pytest.raises(IntegrityError):
        PrivateText.objects.update(salt="salt", value="Lent to Bob", erased_by=None)


def test_installing_again_changes_nothing(drawer: Tool) -> None:
    triggers.install(connection)
    triggers.install(connection)
    assert triggers.missing(connection) == []
    with pytest.raises(IntegrityError):
        Wear.objects.update(bore=1)


def test_every_record_table_is_guarded() -> None:
    once = triggers.write_once_models()
    assert once[0] is Entry
    assert {Wear, Loss} <= set(once)
    connection.check_constraints()
    triggers.remove(connection)
    missing = triggers.missing(connection)
    for table in [*(model._meta.db_table for model in once), PrivateText._meta.db_table]:
        assert [name for name in missing if name.startswith(f"{table}.")], table


def test_a_trigger_that_does_nothing_is_as_good_as_missing() -> None:
    statements = {
        "sqlite": (
            "DROP TRIGGER drawer_wear_no_update",
            "CREATE TRIGGER drawer_wear_no_update BEFORE UPDATE ON drawer_wear BEGIN SELECT 1; END",
        ),
        "postgresql": ("ALTER TABLE drawer_wear DISABLE TRIGGER ledger_no_change",),
    }
    with connection.cursor() as cursor:
        for sql in statements[connection.vendor]:
            cursor.execute(sql)
    (name,) = triggers.missing(connection)
    assert name.startswith("drawer_wear.")


def test_the_program_does_not_start_without_them() -> None:
    triggers.ensure_triggers()
    triggers.remove(connection)
    with pytest.raises(TriggersMissing, match="drawer_wear"):
        triggers.ensure_triggers()


@pytest.mark.django_db(transaction=True)
def test_a_migration_that_rebuilds_a_record_table_is_found_and_the_next_migrate_heals_it(bench: User) -> None:
    fill_drawer(bench)
    narrow = Wear._meta.get_field("finish")
    wide = models.CharField(max_length=40, null=True, blank=True)
    wide.set_attributes_from_name("finish")
    wide.model = Wear
    with connection.schema_editor() as editor:
        editor.alter_field(Wear, narrow, wide)
    try:
        rebuilds = connection.vendor == "sqlite"  # PostgreSQL changes the column in its place
        assert bool(triggers.missing(connection)) is rebuilds
        assert check_ledger().is_right is not rebuilds
        warnings = check_triggers(databases=["default"])
        assert bool(warnings) is rebuilds
        assert all(warning.level == checks.WARNING for warning in warnings), "migrate runs over no error"
        call_command("migrate", verbosity=0)
        assert triggers.missing(connection) == []
        assert check_ledger().is_right
    finally:
        with connection.schema_editor() as editor:
            editor.alter_field(Wear, wide, narrow)
        triggers.install(connection)
