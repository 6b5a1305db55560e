"""Lists of the tool cabinet."""

from typing import Any

import django_tables2 as tables
from django.db.models import QuerySet
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.assemblies.models import Assembly
from shop.policy.services import today
from shop.tooling.models import Arrangement, CheckPiece, Crimper, DieSet, Gauge, StopPart
from shop.web.registers.tables import FigureColumn, ItemColumn, LengthColumn, UsableColumn
from shop.web.tools.calibrations import by_due_date, standing


class WornTable(tables.Table):
    """Tools that wear, with their crimps counted."""

    uses = FigureColumn(verbose_name="Crimps")
    check = tables.Column(verbose_name="Looked at", accessor="since_check")

    def render_check(self, record: Any) -> SafeString:
        return render_to_string("web/tools/due.html", {"tool": record})

    def value_check(self, value: int) -> int:
        return value


class CrimperTable(WornTable):
    number = ItemColumn("crimpers")
    usable = UsableColumn()

    class Meta:
        model = Crimper
        fields = ("number", "mark", "stop_kind", "place", "uses", "check", "usable")


class DieSetTable(WornTable):
    number = ItemColumn("die_sets")
    usable = UsableColumn()

    class Meta:
        model = DieSet
        fields = ("number", "mark", "die_type", "place", "condition", "uses", "check", "usable")


class StopPartTable(WornTable):
    number = ItemColumn("stop_parts")
    thickness = LengthColumn()
    usable = UsableColumn()

    class Meta:
        model = StopPart
        fields = ("number", "mark", "stop_type", "thickness", "place", "uses", "check", "usable")


class GaugeTable(tables.Table):
    number = ItemColumn("gauges")
    resolution = LengthColumn()
    calibration = tables.Column(verbose_name="Calibration", accessor="pk")
    usable = UsableColumn()

    class Meta:
        model = Gauge
        fields = ("number", "mark", "kind", "resolution", "calibration", "place", "usable")

    def __init__(self, data: QuerySet[Any], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.day = today()

    def render_calibration(self, record: Any) -> SafeString:
        return render_to_string("web/tools/standing.html", {"standing": standing(record, self.day)})

    def order_calibration(self, rows: QuerySet[Any], is_descending: bool) -> tuple[QuerySet[Any], bool]:
        return by_due_date(rows, is_descending), True


class CheckPieceTable(tables.Table):
    number = ItemColumn("check_pieces")
    nominal = LengthColumn()
    uncertainty = LengthColumn()
    usable = UsableColumn()

    class Meta:
        model = CheckPiece
        fields = ("number", "mark", "nominal", "uncertainty", "place", "usable")


class ArrangementTable(tables.Table):
    die_type = ItemColumn("arrangements")
    count = FigureColumn(verbose_name="Parts")

    class Meta:
        model = Arrangement
        fields = ("die_type", "crimper", "stop_type", "count", "take_out")


SHOWN = (
    *("serial", "code", "state", "trouble"),
    *(f"run__line__order__{column}" for column in ("number", "code", "customer__name")),
    *(f"run__line__hose__{column}" for column in ("maker", "designation", "dash")),
)


def made_rows(found: QuerySet[Assembly], *more: str) -> QuerySet[Assembly]:
    """The assemblies with the columns that `MadeTable` shows, and `more`: a line and its hose have 70."""
    columns = (*SHOWN, *more)
    followed = {path for path, _, _ in (column.rpartition("__") for column in columns) if path}
    return found.select_related(*followed).only(*columns)


class MadeTable(tables.Table):
    """Assemblies that a tool made or a gauge measured; the rows are those of `made_rows`."""

    serial = tables.Column(verbose_name="Assembly", linkify=("web:assembly", [tables.A("code")]))
    state = tables.Column(verbose_name="Stands")
    customer = tables.Column(
        accessor="run__line__order__customer", order_by="run__line__order__customer__name"
    )
    order = tables.Column(
        accessor="run__line__order",
        order_by="run__line__order__number",
        linkify=("web:order", [tables.A("run__line__order__code")]),
    )
    hose = tables.Column(accessor="run__line__hose", order_by="run__line__hose__designation")

    class Meta:
        model = Assembly
        fields = ("serial", "state", "customer", "order", "hose")
        order_by = "-serial"
        caption = "Assemblies"

    def render_state(self, record: Any) -> SafeString:
        state, words = record.state, record.get_state_display()
        if record.trouble:
            state, words = record.trouble, f"{record.get_trouble_display()}, {words}"
        return render_to_string("web/parts/state.html", {"state": state, "label": words})

    def value_state(self, record: Any) -> str:
        words: str = record.get_state_display()
        return words
