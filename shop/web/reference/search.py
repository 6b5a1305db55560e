"""One search over all of the reference, grouped by register."""

from dataclasses import dataclass
from typing import Any

import django_tables2 as tables
from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.engineering.errors import EngineeringError
from shop.engineering.sizes import Size, parse_size
from shop.people.permissions import Permission
from shop.standards.loading import published_sizes
from shop.web.access import StaffRequest, needs
from shop.web.quality.charts.register import CHARTS
from shop.web.reference import registers
from shop.web.registers.register import Register

SHOWN = 8  # of each group; the list behind it has them all
# What people look for first comes first.
SEARCHED = (
    registers.HOSES,
    registers.HOSE_RATINGS,
    registers.FITTINGS,
    registers.CONNECTIONS,
    CHARTS,
    registers.FERRULES,
    registers.SERIES,
    registers.DIE_TYPES,
    registers.STOP_TYPES,
    registers.FLUIDS,
    registers.SEALS,
)


@dataclass(frozen=True)
class Group:
    """What was found in one register: the first rows as its list shows them, and where all are."""

    register: Register
    table: tables.Table
    count: int
    url: str

    @property
    def left(self) -> int:
        """How many more there are than are shown."""
        return max(0, self.count - SHOWN)


@require_GET
@needs(Permission.READ)
def search(request: StaffRequest) -> HttpResponse:
    """Everything in the reference that has all of the words."""
    words = request.GET.get("q", "").strip()
    found = [find(register, words) for register in SEARCHED] if words else []
    context = {
        "words": words,
        "groups": [group for group in found if group is not None],
        "size": size_named(words),
    }
    return render(request, "web/reference/search.html", context)


def find(register: Register, words: str) -> Group | None:
    """The rows of a register that its own list finds by these words; None if there are none."""
    assert register.filterset is not None, "what is searched has a search box of its own"
    asked = QueryDict(mutable=True)
    asked["q"] = words
    rows: Any = register.filterset(asked, queryset=register.all_rows()).qs
    count = rows.count()
    if not count:
        return None
    # As a list, since a table that has an order of its own can't order rows that were cut off already.
    table = register.table(list(rows[:SHOWN]), orderable=False)
    table.caption = register.title
    return Group(register, table, count, f"{register.list_url}?{asked.urlencode()}")


def size_named(words: str) -> Size | None:
    """The size that the words name by themselves, such as DN 20; None for any other words."""
    try:
        return parse_size(words, published_sizes())
    except EngineeringError:  # most words are no size, and one that can be two is asked on its own page
        return None
