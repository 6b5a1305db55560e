"""Queries that are put together once and asked many times.

Django puts a query together anew each time it is asked. For one with twenty joins that takes ten times as
long as the database needs to answer it, and whoever scans a tag waits for twenty queries.
"""

import threading
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connection
from django.db.models import Expression, Model, QuerySet
from django.db.models.query import get_related_populators

M = TypeVar("M", bound=Model)

Size = tuple[int, ...]  # how many values each gap takes


class Prepared(Generic[M]):
    """A query with gaps: `build` gets an expression, for `__in`, for values that come only when it is asked.

    It filters, orders and follows keys with `select_related` as any; it may not annotate or prefetch, and
    a gap does not stand in what is excluded.
    """

    def __init__(self, build: Callable[..., QuerySet[M]]) -> None:
        self._build = build
        self._plans = _Plans()

    def ask(self, *given: Sequence[int] | Sequence[str]) -> list[M]:
        """The rows for these values, a sequence for each gap."""
        values = [_filled_up(one) for one in given]
        size = tuple(map(len, values))
        plans = self._plans.by_size
        if size not in plans:
            plans[size] = self._planned(size)
        return plans[size].rows(values)

    def _planned(self, size: Size) -> "_Plan[M]":
        gaps = (_Gap(position, count) for position, count in enumerate(size))
        compiler = self._build(*gaps).query.get_compiler(using=DEFAULT_DB_ALIAS)
        sql, asked = compiler.as_sql()
        model = compiler.klass_info["model"]
        columns = compiler.klass_info["select_fields"]
        own = slice(columns[0], columns[-1] + 1)
        return _Plan(
            sql=sql,
            asked=asked,
            model=model,
            own=own,
            names=[column.target.attname for column, *_ in compiler.select[own]],
            converters=compiler.get_converters([column for column, *_ in compiler.select]),
            followed=get_related_populators(  # type: ignore[call-arg]  # known to mypy as of a later Django
                compiler.klass_info, compiler.select, DEFAULT_DB_ALIAS
            ),
        )


def grouped(rows: Iterable[M], name: str) -> defaultdict[int, list[M]]:
    """The rows by the key that each has under that name."""
    groups: defaultdict[int, list[M]] = defaultdict(list)
    for row in rows:
        groups[getattr(row, name)].append(row)
    return groups


def fill(parents: Iterable[Model], name: str, children: Iterable[Model], *, of: str) -> None:
    """Let `parent.<name>.all()` give the children whose key to a parent is in their column `of`.

    What `prefetch_related` does, with rows that were read already; they know their parent, too.
    """
    by_parent, key = grouped(children, of), of.removesuffix("_id")
    for parent in parents:
        own = by_parent.get(parent.pk, [])
        for child in own:
            setattr(child, key, parent)
        found = getattr(parent, name).all() if own else _nothing(type(parent), name)
        found._result_cache = own
        vars(parent).setdefault("_prefetched_objects_cache", {})[name] = found


@cache
def _nothing(model: type[Model], name: str) -> QuerySet[Any]:
    related: type[Model] = getattr(model, name).rel.related_model
    return related._default_manager.none()


class _Plans(threading.local):
    """Those of one thread, which has a connection of its own: they hold its converters."""

    def __init__(self) -> None:
        self.by_size: dict[Size, _Plan[Any]] = {}


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a value stands among those that are given: for which gap, and which of its values."""

    position: int
    index: int


class _Gap(Expression):
    """Stands in the query for so many values in brackets."""

    def __init__(self, position: int, count: int) -> None:
        super().__init__()
        self.position, self.count = position, count

    def as_sql(self, compiler: Any, connection: Any) -> Any:
        places = [_Place(self.position, index) for index in range(self.count)]
        return f"({', '.join(['%s'] * self.count)})", places


@dataclass(frozen=True, slots=True)
class _Plan(Generic[M]):
    """A statement, and how its rows become instances: what Django works out for each query anew."""

    sql: str
    asked: Sequence[Any]
    model: type[M]
    own: slice
    names: Sequence[str]
    converters: Mapping[int, tuple[Sequence[Callable[..., Any]], Expression]]
    followed: Sequence[Any]

    def rows(self, given: Sequence[Sequence[Any]]) -> list[M]:
        asked = [given[one.position][one.index] if isinstance(one, _Place) else one for one in self.asked]
        with connection.cursor() as cursor:
            cursor.execute(self.sql, asked)
            return [self._instance(list(row)) for row in cursor.fetchall()]

    def _instance(self, row: list[Any]) -> M:
        for column, (converters, expression) in self.converters.items():
            for convert in converters:
                row[column] = convert(row[column], expression, connection)
        instance = self.model.from_db(DEFAULT_DB_ALIAS, self.names, row[self.own])
        for related in self.followed:
            related.populate(row, instance)
        return instance


def _filled_up(values: Sequence[Any]) -> Sequence[Any]:
    """The last one again until there are 1, 2, 4, 8 …: each number of them is a statement of its own.

    For none there is NULL, which nothing is equal to.
    """
    wanted = 1 << max(len(values) - 1, 0).bit_length()
    last = values[-1] if values else None
    return [*values, *[last] * (wanted - len(values))]
