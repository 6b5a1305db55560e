"""Copying a whole database into a file and back, by each database's own means."""

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.db import connection
from django.utils import timezone

from shop.ledger.refusals import CopyFailed, ToolMissing

_SET_ASIDE = "before_restore"  # PostgreSQL: the schema that keeps the old tables until the new ones are in


def dump_database(path: Path) -> None:
    """Copy the database, as of one moment, while the workshop goes on. Raises `ToolMissing`, `CopyFailed`."""
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        with closing(sqlite3.connect(path)) as copy:
            connection.connection.backup(copy)
    else:
        _run("pg_dump", "--format=custom", f"--file={path}")


def load_database(path: Path) -> None:
    """Replace everything in the database by the copy, or nothing. Raises `ToolMissing`, `CopyFailed`."""
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        try:
            with closing(sqlite3.connect(path)) as copy:
                copy.backup(connection.connection)
        except sqlite3.DatabaseError as error:
            raise CopyFailed(program="SQLite", reason=str(error)) from error
        connection.close()
    else:
        options = ("--clean", "--if-exists", "--no-owner", "--single-transaction", "--exit-on-error")
        with _old_tables_aside():
            _run("pg_restore", *options, str(path))


def set_damaged_file_aside() -> None:
    """SQLite: rename a file that is no database any more, so that a new one can take its place."""
    connection.close()
    database = Path(connection.settings_dict["NAME"])
    ending = f".damaged-{timezone.now():%Y%m%d-%H%M%S}"
    for file in database.parent.glob(f"{database.name}*"):
        if file.name.removeprefix(database.name) in {"", "-wal", "-shm", "-journal"}:
            file.rename(file.with_name(file.name + ending))


@contextmanager
def _old_tables_aside() -> Iterator[None]:
    """Keep the old tables in a schema of their own until the new ones are complete."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT FROM pg_namespace WHERE nspname = %s", [_SET_ASIDE])
        if cursor.fetchone() is not None:
            raise CopyFailed(
                program="restore",
                reason=f"the schema {_SET_ASIDE} holds the tables from before an interrupted restore. "
                "Look at them, then drop the schema or rename it to public.",
            )
        cursor.execute(f"ALTER SCHEMA public RENAME TO {_SET_ASIDE}")
        cursor.execute("CREATE SCHEMA public")
        loaded = False
        try:
            yield
            loaded = True
        finally:
            if loaded:
                cursor.execute(f"DROP SCHEMA {_SET_ASIDE} CASCADE")
            else:
                cursor.execute("DROP SCHEMA public CASCADE")
                cursor.execute(f"ALTER SCHEMA {_SET_ASIDE} RENAME TO public")
    connection.close()


def _run(program: str, *arguments: str) -> None:
    """Run one of PostgreSQL's programs on the database that Django is connected to."""
    if shutil.which(program) is None:
        raise ToolMissing(program=program)
    (_, *options, database), settings = connection.client.settings_to_cmd_args_env(
        connection.settings_dict, []
    )
    command = [program, *options, f"--dbname={database}", *arguments]
    done = subprocess.run(  # noqa: S603  # a fixed program, options from the settings
        command, env={**os.environ, **(settings or {})}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise CopyFailed(program=program, reason=done.stderr.strip())
