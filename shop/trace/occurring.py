"""Records by when they happened, asked so that the time is looked up first.

A tool, a person or a chart's line has many thousands of records after some years, a span of time few.
SQLite doesn't know that and would begin at the tool. So the entries are found by verb and time, and of
each it is asked whether its record is one of the tool's.
"""

import datetime
from typing import TypeVar

from django.db.models import Exists, OuterRef, QuerySet

from shop.ledger.models import Record
from shop.ledger.registry import verbs_of

R = TypeVar("R", bound=Record)
# SQLite takes a span with one end for a quarter of everything, and reads the whole table instead.
_FIRST = datetime.datetime.min.replace(tzinfo=datetime.UTC)
_LAST = datetime.datetime.max.replace(tzinfo=datetime.UTC)


def occurring(
    records: "QuerySet[R]", *, since: datetime.datetime | None = None, until: datetime.datetime | None = None
) -> "QuerySet[R]":
    """Those of the records that happened from then to then, both included; None is open."""
    if since is None and until is None:
        return records
    found: QuerySet[R] = records.model._default_manager.filter(
        Exists(records.order_by().filter(pk=OuterRef("pk"))),
        entry__verb__in=sorted(verbs_of(records.model)),
        entry__happened_at__range=(since or _FIRST, until or _LAST),
    )
    return found
