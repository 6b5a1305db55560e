"""The triggers in PostgreSQL's words. They raise `restrict_violation`: Django's IntegrityError."""

from collections.abc import Iterator
from dataclasses import astuple, dataclass

from django.db.backends.utils import CursorWrapper

_REFUSAL = "RAISE EXCEPTION '% is written once', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';"
_FUNCTIONS = {
    "ledger_written_once": f"BEGIN {_REFUSAL} END",
    "ledger_erased_once": f"""BEGIN
    IF TG_OP = 'UPDATE' THEN
        IF OLD.value IS NOT NULL AND NEW.value IS NULL AND NEW.salt IS NULL AND NEW.erased_by_id IS NOT NULL
            AND NEW.id = OLD.id AND NEW.entry_id = OLD.entry_id AND NEW.name = OLD.name
        THEN
            RETURN NEW;
        END IF;
    END IF;
    {_REFUSAL}
END""",
}
# Bits of pg_trigger.tgtype, from PostgreSQL's catalog/pg_trigger.h: row 1, before 2, delete 8,
# update 16, truncate 32.
_EACH_ROW, _WHOLE_TABLE = 1 | 2 | 8 | 16, 2 | 32
_ACTIVE = "O"  # fires as usual; 'D' is disabled, 'R' fires on replicas only


@dataclass(frozen=True, slots=True)
class _Trigger:
    table: str
    name: str
    bits: int
    function: str

    @property
    def creation(self) -> str:
        timing = "UPDATE OR DELETE" if self.bits == _EACH_ROW else "TRUNCATE"
        each = "ROW" if self.bits == _EACH_ROW else "STATEMENT"
        return (
            f'CREATE TRIGGER {self.name} BEFORE {timing} ON "{self.table}"'
            f" FOR EACH {each} EXECUTE FUNCTION {self.function}()"
        )


def installing(cursor: CursorWrapper, once: list[str], erasable: list[str]) -> Iterator[str]:
    """The statements that put the triggers of these tables in place."""
    for name, body in _FUNCTIONS.items():
        yield f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $${body}$$"
    yield from removing(once, erasable)
    for trigger in _wanted(once, erasable):
        yield trigger.creation


def removing(once: list[str], erasable: list[str]) -> Iterator[str]:
    """The statements that take them away."""
    for trigger in _wanted(once, erasable):
        yield f'DROP TRIGGER IF EXISTS {trigger.name} ON "{trigger.table}"'


def missing(cursor: CursorWrapper, once: list[str], erasable: list[str]) -> list[str]:
    """Those that aren't there, are switched off, or whose function has another body."""
    cursor.execute(
        """SELECT relname, tgname, tgtype, proname, prosrc
        FROM pg_trigger
        JOIN pg_class ON pg_class.oid = tgrelid
        JOIN pg_namespace ON pg_namespace.oid = relnamespace
        JOIN pg_proc ON pg_proc.oid = tgfoid
        WHERE nspname = current_schema() AND tgenabled = %s AND tgqual IS NULL AND tgnargs = 0""",
        [_ACTIVE],
    )
    there = set(cursor.fetchall())
    return [
        f"{trigger.table}.{trigger.name}"
        for trigger in _wanted(once, erasable)
        if (*astuple(trigger), _FUNCTIONS[trigger.function]) not in there
    ]


def _wanted(once: list[str], erasable: list[str]) -> Iterator[_Trigger]:
    for table in [*once, *erasable]:
        function = "ledger_erased_once" if table in erasable else "ledger_written_once"
        yield _Trigger(table, "ledger_no_change", _EACH_ROW, function)
        yield _Trigger(table, "ledger_no_truncate", _WHOLE_TABLE, function)
