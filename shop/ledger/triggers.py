"""Triggers that make the database itself refuse to change what is written once.

Django knows nothing of them, and on SQLite it drops them unasked: a migration that rebuilds a table
makes a new one in its place. So they are put back after every `migrate`, from one list of models;
the system check and the start of the program ask whether they are there.

They keep honest programs honest. Whoever may alter the database's structure can drop them; what is
changed then is found by `checking`.
"""

from collections.abc import Iterator
from typing import Any, Protocol

from django.apps import AppConfig, apps
from django.db import connections, models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.utils import CursorWrapper

from shop.ledger import triggers_postgresql, triggers_sqlite
from shop.ledger.misuse import TriggersMissing
from shop.ledger.models import Entry, PrivateText, Record


class _Dialect(Protocol):
    """Statements for the tables whose rows never change and those whose rows can be erased once."""

    def installing(self, cursor: CursorWrapper, once: list[str], erasable: list[str]) -> Iterator[str]: ...
    def removing(self, once: list[str], erasable: list[str]) -> Iterator[str]: ...
    def missing(self, cursor: CursorWrapper, once: list[str], erasable: list[str]) -> list[str]: ...


_DIALECTS: dict[str, _Dialect] = {"sqlite": triggers_sqlite, "postgresql": triggers_postgresql}


def record_models() -> list[type[Record]]:
    """Every table of records, sorted by its label."""
    found = [model for model in apps.get_models() if issubclass(model, Record)]
    return sorted(found, key=lambda model: model._meta.label)


def write_once_models() -> list[type[models.Model]]:
    """Every table whose rows never change: the entries and all records."""
    return [Entry, *record_models()]


def install(connection: BaseDatabaseWrapper) -> None:
    """Put every trigger in place, anew if it is there. Tables that aren't there yet are left out."""
    with connection.cursor() as cursor:
        for statement in _DIALECTS[connection.vendor].installing(cursor, *_tables(connection)):
            cursor.execute(statement)


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take every trigger away: for test suites, which empty all tables between tests."""
    with connection.cursor() as cursor:
        for statement in _DIALECTS[connection.vendor].removing(*_tables(connection)):
            cursor.execute(statement)


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """`table.trigger` for each that isn't there, is switched off or does something else."""
    with connection.cursor() as cursor:
        return _DIALECTS[connection.vendor].missing(cursor, *_tables(connection))


def ensure_triggers(alias: str = "default") -> None:
    """Raise `TriggersMissing` if the database would let records be changed: asked at the start."""
    gone = missing(connections[alias])
    if gone:
        raise TriggersMissing(
            f"Records can be changed, because these triggers are missing: {', '.join(gone)}. "
            "Run `manage.py check_ledger` to see whether any was, then `manage.py migrate` to put them back."
        )


def install_after_migrate(sender: AppConfig, using: str, **_: Any) -> None:
    """Receives `post_migrate`, which Django sends once for each app: the last of them counts."""
    with_models = [config for config in apps.get_app_configs() if config.models_module is not None]
    if sender is with_models[-1]:
        install(connections[using])


def _tables(connection: BaseDatabaseWrapper) -> tuple[list[str], list[str]]:
    """The tables whose rows never change, and those whose rows can be erased once."""
    there = set(connection.introspection.table_names())
    once = [model._meta.db_table for model in write_once_models()]
    return [t for t in once if t in there], [t for t in (PrivateText._meta.db_table,) if t in there]
