"""How a service works on an assembly: alone, and once."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

from django.apps import apps
from django.db import IntegrityError, transaction

from shop.assemblies.models import Assembly, Run
from shop.assemblies.refusals import AlreadyDone
from shop.ledger.models import Record
from shop.ledger.triggers_sqlite import THERE_ALREADY

_UNIQUE_VIOLATION = "23505"  # PostgreSQL's code for a broken unique constraint
# SQLite's sentences for one, and for the trigger that guards the unique keys of records there.
_SQLITE_DOUBLE = re.compile(rf"UNIQUE constraint failed: (\w+)\.|(\w+) is written once: {THERE_ALREADY}")


@contextmanager
def working_on(assembly: Assembly) -> Iterator[None]:
    """One transaction with the assembly's row locked and read anew, and its run's before it.

    What is measured on one piece of a run says something of the others, so who works on one has the run
    to himself; only then the others' rows may be locked as well.

    Raises `AlreadyDone` if a unique constraint of a record of the assembly says that the same step was
    recorded meanwhile. Every other error is one of the program, and surfaces as such.
    """
    try:
        with transaction.atomic():
            run = Run.objects.select_for_update(no_key=True).get(assemblies=assembly)
            assembly.refresh_from_db(from_queryset=Assembly.objects.select_for_update(no_key=True))
            if assembly.run_id == run.pk:
                assembly.run = run
            yield
    except IntegrityError as error:
        if _doubled_table(error) not in _tables_of_steps():
            raise
        raise AlreadyDone(assembly=assembly) from error


@cache
def _tables_of_steps() -> frozenset[str]:
    config = apps.get_app_config(Assembly._meta.app_label)
    return frozenset(model._meta.db_table for model in config.get_models() if issubclass(model, Record))


def _doubled_table(error: IntegrityError) -> str | None:
    """The table in which a row with the same unique key is there already; None for any other error."""
    cause = error.__cause__
    if getattr(cause, "sqlstate", None) == _UNIQUE_VIOLATION:
        table: str | None = cause.diag.table_name  # type: ignore[union-attr]  # what psycopg raises
        return table
    match = _SQLITE_DOUBLE.match(str(cause))
    return match and (match[1] or match[2])
