"""A database of its own for tests in which several processes write."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import quote
from uuid import uuid4

import psycopg
from django.db import connection


@contextmanager
def database_url(folder: Path, *, empty: bool = False) -> Iterator[str]:
    """The DATABASE_URL of a copy of the test database, triggers and all, or of an empty database."""
    name = f"copy_{uuid4().hex}"
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        with closing(sqlite3.connect(folder / name)) as copy:
            if not empty:
                connection.connection.backup(copy)
        yield f"sqlite:///{folder / name}"
        return
    template = "template0" if empty else connection.settings_dict["NAME"]
    connection.close()  # PostgreSQL copies no database that somebody is connected to
    with connection._nodb_cursor() as cursor:
        cursor.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    try:
        yield _url(name)
    finally:
        with connection._nodb_cursor() as cursor:
            cursor.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def _url(name: str) -> str:
    parts = {
        key: quote(str(connection.settings_dict[key]), safe="")
        for key in ("USER", "PASSWORD", "HOST", "PORT")
    }
    who = f"{parts['USER']}:{parts['PASSWORD']}" if parts["PASSWORD"] else parts["USER"]
    where = f"{parts['HOST']}:{parts['PORT']}" if parts["PORT"] else parts["HOST"]
    return f"postgres://{who}@{where}/{name}"


def run_sql(url: str, sql: str) -> None:
    """Run a statement on a PostgreSQL database by its address."""
    with psycopg.connect(url, autocommit=True) as other:
        other.execute(sql)
