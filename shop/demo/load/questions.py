"""What is asked of a workshop of very many assemblies, each as its page asks it and as SQL by hand does."""

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import QuerySet

from shop.assemblies.models import Assembly, Crimp
from shop.demo.load.by_hand import (
    COUNTED,
    CUSTOMERS,
    ENTRIES,
    OF_A_DIE_SET,
    OF_A_GAUGE,
    OF_A_LOT,
    PAGE,
    PEOPLE,
    RECORD,
    SCANNED,
    SINCE,
    TEXTS,
)
from shop.tooling.models import Gauge
from shop.trace.dossier import record_of
from shop.trace.links import Deed
from shop.trace.lookup import find_labelled
from shop.trace.made_with import measured_with, morning_of, span_before_fault
from shop.trace.recalling import customers_of, whereabouts_of_all
from shop.trace.suspicion import Suspicion, Window
from shop.web.tools.tables import made_rows

ON_A_PAGE = 25
WINDOW = datetime.timedelta(days=4)


@dataclass(frozen=True)
class Question:
    """Both ways give the same answer."""

    words: str
    as_the_page: Callable[[], Any]
    by_hand: Callable[[], Any]


def questions() -> list[Question]:
    """About an assembly from the middle of what was made, and what it has in common with others."""
    made = Assembly.objects.order_by("-serial").values_list("serial", flat=True)[0]
    assembly = Assembly.objects.get(serial=made // 2)
    crimp = Crimp.objects.select_related("set_up", "entry").filter(assembly=assembly)[0]
    gauge = Gauge.objects.get(number="caliper 10")
    lot = Suspicion({"fitting_lot": (crimp.fitting_lot_id,)})
    since = crimp.happened_at
    window = Window(since, since + WINDOW)
    die_set = Suspicion({"die_set": (crimp.set_up.die_set_id,)}, {Deed.CRIMPED: window})
    of_a_lot = (OF_A_LOT, [crimp.fitting_lot_id] * 2)
    of_a_die_set = (OF_A_DIE_SET, [crimp.set_up.die_set_id, window.since, window.until])

    def of_the_gauge() -> tuple[int, list[int]]:
        return _first_page(measured_with(gauge, span_before_fault(None, gauge)))

    def of_the_gauge_by_hand() -> tuple[int, list[int]]:
        day = _rows(SINCE, [gauge.pk])[0][0]
        asked = [gauge.pk, morning_of(day)]
        return _first_page_by_hand(OF_A_GAUGE, asked * 4)

    def recall() -> object:
        found = lot.assemblies()
        customers = customers_of(found)
        concerned = sorted((one.customer.number, one.whereabouts.every) for one in customers)
        return whereabouts_of_all(customers).every, concerned, _first_page(found)

    def recall_by_hand() -> object:
        rows = _rows(CUSTOMERS.format(OF_A_LOT), of_a_lot[1])
        return (
            sum(row[2] for row in rows),
            sorted((row[1], row[2]) for row in rows),
            _first_page_by_hand(*of_a_lot),
        )

    return [
        Question(
            "scan to record",
            lambda: [told.entry.pk for told in record_of(_scanned(assembly.code)).entries],
            lambda: _record_by_hand(assembly.code),
        ),
        Question(
            "lot to assemblies", lambda: _first_page(lot.assemblies()), lambda: _first_page_by_hand(*of_a_lot)
        ),
        Question(
            "die set in a window",
            lambda: _first_page(die_set.assemblies()),
            lambda: _first_page_by_hand(*of_a_die_set),
        ),
        Question("gauge since its calibration", of_the_gauge, of_the_gauge_by_hand),
        Question("recall with customers", recall, recall_by_hand),
    ]


def _scanned(code: str) -> Assembly:
    found = find_labelled(code)
    assert isinstance(found, Assembly)
    return found


def _first_page(found: "QuerySet[Assembly]") -> tuple[int, list[int]]:
    """How many there are, and the serials of the first page with what it shows of each."""
    rows = made_rows(found)[:ON_A_PAGE]
    return found.count(), [assembly.serial for assembly in rows]


def _first_page_by_hand(keys: str, asked: Sequence[object]) -> tuple[int, list[int]]:
    rows = _rows(PAGE.format(keys, ON_A_PAGE), asked)
    return _rows(COUNTED.format(keys), asked)[0][0], [row[0] for row in rows]


def _record_by_hand(code: str) -> list[int]:
    """Every row that a record shows, a statement for each kind, and the entries about it."""
    key, run, line, order = _rows(SCANNED, [code])[0][:4]
    given = {"assembly": key, "run": run, "line": line}
    keys = {key for many, statement in RECORD for row in _rows(statement, given) for key in row[:many] if key}
    named = [
        ("assemblies.assembly", key),
        ("assemblies.run", run),
        ("orders.orderline", line),
        ("orders.order", order),
    ]
    subjects = [f"{label}:{number}" for label, number in named]
    entries = _rows(ENTRIES.format(_listed(keys)), subjects)
    _rows(TEXTS.format(_listed(entry[0] for entry in entries)), [])
    _rows(PEOPLE.format(_listed({actor for _, actor, *_ in entries})), [])
    return [entry[0] for entry in entries]


def _listed(keys: Iterable[int]) -> str:
    return ", ".join(map(str, keys))


def _rows(statement: str, asked: Any) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(statement, asked)
        return list(cursor.fetchall())
