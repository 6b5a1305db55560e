"""How a service works on an assembly: alone, and once."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import IntegrityError, transaction

from shop.assemblies.models import Assembly
from shop.assemblies.refusals import AlreadyDone

# PostgreSQL's code for a broken unique constraint; SQLite's names for one, and for the trigger that
# guards the unique keys of records there.
_UNIQUE_VIOLATION = "23505"
_SQLITE_DOUBLES = frozenset(
    {"SQLITE_CONSTRAINT_UNIQUE", "SQLITE_CONSTRAINT_PRIMARYKEY", "SQLITE_CONSTRAINT_TRIGGER"}
)


@contextmanager
def working_on(assembly: Assembly) -> Iterator[None]:
    """One transaction with the assembly's row locked and read anew.

    Raises `AlreadyDone` if a unique constraint says that the same step was recorded meanwhile.
    """
    try:
        with transaction.atomic():
            assembly.refresh_from_db(from_queryset=Assembly.objects.select_for_update(no_key=True))
            yield
    except IntegrityError as error:
        if not _is_a_double(error):
            raise
        raise AlreadyDone(assembly=assembly) from error


def _is_a_double(error: IntegrityError) -> bool:
    cause = error.__cause__
    return (
        getattr(cause, "sqlstate", None) == _UNIQUE_VIOLATION
        or getattr(cause, "sqlite_errorname", None) in _SQLITE_DOUBLES
    )
