"""The triggers in SQLite's words.

SQLite has no TRUNCATE, but INSERT OR REPLACE deletes the row that is in the way without asking a
DELETE trigger. So an INSERT is refused when a row with the same key (any unique key) is there.
"""

from collections.abc import Iterator

from django.db.backends.utils import CursorWrapper

# Ends the sentence for an INSERT, so that a double can be told from an attempt to change a row.
THERE_ALREADY = "a row with this key is there"

_ERASED = """OLD.value IS NOT NULL AND NEW.value IS NULL AND NEW.salt IS NULL AND NEW.erased_by_id IS NOT NULL
    AND NEW.id IS OLD.id AND NEW.entry_id IS OLD.entry_id AND NEW.name IS OLD.name"""


def installing(cursor: CursorWrapper, once: list[str], erasable: list[str]) -> Iterator[str]:
    """The statements that put the triggers of these tables in place."""
    yield from removing(once, erasable)
    yield from _wanted(cursor, once, erasable).values()


def removing(once: list[str], erasable: list[str]) -> Iterator[str]:
    """The statements that take them away."""
    for table in [*once, *erasable]:
        for event in ("update", "delete", "replace"):
            yield f'DROP TRIGGER IF EXISTS "{table}_no_{event}"'


def missing(cursor: CursorWrapper, once: list[str], erasable: list[str]) -> list[str]:
    """Those that aren't there in exactly these words, as `table.trigger`."""
    wanted = _wanted(cursor, once, erasable)
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    there = dict(cursor.fetchall())
    return [f"{name.rpartition('_no_')[0]}.{name}" for name, sql in wanted.items() if there.get(name) != sql]


def _wanted(cursor: CursorWrapper, once: list[str], erasable: list[str]) -> dict[str, str]:
    triggers: dict[str, str] = {}
    for table in [*once, *erasable]:
        once_only = f"{table} is written once"
        update = f" WHEN NOT ({_ERASED})" if table in erasable else ""
        taken = "\n    OR ".join(_taken(cursor, table))
        for event, timing, says in (
            ("update", f'UPDATE ON "{table}"{update}', once_only),
            ("delete", f'DELETE ON "{table}"', once_only),
            ("replace", f'INSERT ON "{table}" WHEN {taken}', f"{once_only}: {THERE_ALREADY}"),
        ):
            name = f"{table}_no_{event}"
            triggers[name] = (
                f"CREATE TRIGGER \"{name}\" BEFORE {timing} BEGIN SELECT RAISE(ABORT, '{says}'); END"
            )
    return triggers


def _taken(cursor: CursorWrapper, table: str) -> Iterator[str]:
    """One condition per unique key: a row with the key of the new one is there."""
    rows = f'EXISTS (SELECT 1 FROM "{table}" WHERE'  # noqa: S608  # a name can't be a parameter
    # Django's keys of records are no alias of the rowid, so REPLACE could hit by rowid as well. It is
    # -1 where an INSERT names none.
    yield f"{rows} rowid = NEW.rowid)"
    cursor.execute("SELECT name FROM pragma_table_info(%s)", [table])
    new_row = ", ".join(f'NEW."{column}" AS "{column}"' for (column,) in cursor.fetchall())
    for columns, condition in _unique_keys(cursor, table):
        same = " AND ".join(f'"{column}" = NEW."{column}"' for column in columns)
        if condition:
            new_counts = f"EXISTS (SELECT 1 FROM (SELECT {new_row}) WHERE {condition})"  # noqa: S608  # as above
            yield f"({new_counts} AND {rows} {same} AND ({condition})))"
        else:
            yield f"{rows} {same})"


def _unique_keys(cursor: CursorWrapper, table: str) -> list[tuple[list[str], str]]:
    """The columns of each unique index, with the condition under which it counts ('' for always)."""
    cursor.execute(
        """SELECT keys.name, sql FROM pragma_index_list(%s) AS keys
        LEFT JOIN sqlite_master ON sqlite_master.name = keys.name WHERE "unique" ORDER BY keys.name""",
        [table],
    )
    keys = []
    for name, sql in cursor.fetchall():
        cursor.execute("SELECT name FROM pragma_index_info(%s) ORDER BY seqno", [name])
        columns = [column for (column,) in cursor.fetchall()]
        keys.append((columns, (sql or "").partition(" WHERE ")[2]))
    return keys
