"""Rows of every table as the database holds them: read between two moments, and written in bulk."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from django.apps import apps
from django.core.management.color import no_style
from django.db import connection, models
from django.db.models import Max

from shop.ledger.models import Chain, Entry, Record
from shop.ledger.triggers import install, remove

Table = type[models.Model]
Keys = Mapping[Table, int]
_SPECIAL = str.maketrans({"\\": "\\\\", "\t": "\\t", "\n": "\\n", "\r": "\\r"})
CACHE_KIB = 400_000


def keyed_by(table: Table) -> Table:
    """The table whose key a row of this table has: a record has its entry's."""
    return Entry if issubclass(table, Record) else table


def tables() -> list[Table]:
    """Every table that work is recorded in; the chain's own row is none."""
    return [
        table
        for table in apps.get_models()
        if table is not Chain
        and table._meta.managed
        and isinstance(keyed_by(table)._meta.pk, models.AutoField)
    ]


def newest_keys() -> Keys:
    """The last key of each table so far."""
    return {
        table: table._base_manager.aggregate(last=Max("pk"))["last"] or 0
        for table in tables()
        if keyed_by(table) is table
    }


def columns(table: Table) -> list[str]:
    """The names of the table's columns."""
    return [str(field.column) for field in table._meta.concrete_fields]


def rows_between(table: Table, before: Keys, after: Keys) -> list[tuple[Any, ...]]:
    """The rows that came to a table between the two, in the order of their keys."""
    key = _quoted(str(table._meta.pk.column))
    named, root = ", ".join(map(_quoted, columns(table))), keyed_by(table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT {named} FROM {_quoted(table._meta.db_table)} "  # noqa: S608  # Django's own names
            f"WHERE {key} > %s AND {key} <= %s ORDER BY {key}",
            [before[root], after[root]],
        )
        return list(cursor.fetchall())


class Writer:
    """Takes rows in bulk. A text is in it as `text` makes it, any other value as `value` does."""

    zone = ""  # behind a time

    def value(self, value: object) -> object:
        """A value as a row to be written has it."""
        return value

    def text(self, text: str) -> str:
        """A text as a row to be written has it."""
        return text

    def write(self, table: Table, rows: Sequence[tuple[Any, ...]]) -> None:
        """Write them."""
        named = ", ".join(map(_quoted, columns(table)))
        places = ", ".join(["%s"] * len(columns(table)))
        with connection.cursor() as cursor:
            cursor.executemany(
                f"INSERT INTO {_quoted(table._meta.db_table)} ({named}) VALUES ({places})",  # noqa: S608  # as above
                rows,
            )


class CopyWriter(Writer):
    """PostgreSQL's: by COPY."""

    zone = "+00"

    def value(self, value: object) -> object:
        if value is None:
            return r"\N"
        return self.text(str(value))

    def text(self, text: str) -> str:
        return text.translate(_SPECIAL)

    def write(self, table: Table, rows: Sequence[tuple[Any, ...]]) -> None:
        named = ", ".join(map(_quoted, columns(table)))
        with (
            connection.cursor() as cursor,
            cursor.copy(f"COPY {_quoted(table._meta.db_table)} ({named}) FROM STDIN") as copy,
        ):
            copy.write("".join("\t".join(map(str, row)) + "\n" for row in rows))


def writer() -> Writer:
    """The one for this database."""
    return CopyWriter() if connection.vendor == "postgresql" else Writer()


@contextmanager
def unguarded() -> Iterator[None]:
    """The database takes rows without looking at their keys; it guards its records again afterwards.

    On PostgreSQL only a superuser may do that.
    """
    is_postgresql = connection.vendor == "postgresql"
    remove(connection)
    with connection.cursor() as cursor:
        if is_postgresql:
            cursor.execute("SET session_replication_role = replica")
        else:
            cursor.execute(f"PRAGMA cache_size = -{CACHE_KIB}")
            if not connection.in_atomic_block:
                cursor.execute("PRAGMA foreign_keys = OFF")
                cursor.execute("PRAGMA journal_mode = OFF")
                cursor.execute("PRAGMA synchronous = OFF")
        yield
        if is_postgresql:
            cursor.execute("SET session_replication_role = origin")
    install(connection)
    if not connection.in_atomic_block:
        connection.close()  # the next one begins with its own settings


def go_on_counting(written: Iterable[Table]) -> None:
    """Let the database give the keys after those that were written."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(written)):
            cursor.execute(statement)


def look_around() -> None:
    """Let the database see what it holds, as PostgreSQL does by itself now and then."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _quoted(name: str) -> str:
    return str(connection.ops.quote_name(name))
