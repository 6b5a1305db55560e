"""Records by when they happened, asked so that the time is looked up first.

A tool, a person or a chart's line has many thousands of records after some years, a span of time few.
SQLite doesn't know that and would begin at the tool. So the entries are looked up by verb and time, and of
each record found it is asked whose it is, in a form for which no index can be used.
"""

import datetime
from collections.abc import Iterable
from typing import Any, TypeVar

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import BigIntegerField, F, Func, Q, QuerySet
from django.db.models.lookups import In
from django.db.models.sql.compiler import SQLCompiler

from shop.ledger.models import Record
from shop.ledger.registry import verbs_of

R = TypeVar("R", bound=Record)
# SQLite takes a span with one end for a quarter of everything, and reads the whole table instead.
_FIRST = datetime.datetime.min.replace(tzinfo=datetime.UTC)
_LAST = datetime.datetime.max.replace(tzinfo=datetime.UTC)


class _Unindexed(Func):
    """The same number, for SQLite as something that is in no index: PostgreSQL knows how many have it."""

    template = "%(expressions)s"
    arity = 1
    output_field = BigIntegerField()

    def as_sqlite(self, compiler: SQLCompiler, connection: BaseDatabaseWrapper, **context: Any) -> Any:
        return self.as_sql(compiler, connection, template="+%(expressions)s", **context)


def is_of(path: str, keys: Iterable[int]) -> Q:
    """What is true of a record that leads to one of these keys, to be asked when its time is known."""
    return Q(In(_Unindexed(F(path)), list(keys)))


def occurring(
    records: "QuerySet[R]", *, since: datetime.datetime | None = None, until: datetime.datetime | None = None
) -> "QuerySet[R]":
    """Those of the records that happened from then to then, both included; None is open."""
    if since is None and until is None:
        return records
    return records.filter(
        entry__verb__in=sorted(verbs_of(records.model)),
        entry__happened_at__range=(since or _FIRST, until or _LAST),
    )
