"""Lists of the tool cabinet."""

from typing import Any

import django_tables2 as tables
from django.db.models import QuerySet
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.policy.services import today
from shop.tooling.models import Arrangement, Crimper, DieSet, Gauge, StopPart
from shop.web.registers.tables import FigureColumn, ItemColumn, LengthColumn, UsableColumn
from shop.web.tools.calibrations import by_due_date, standing


class CrimperTable(tables.Table):
    number = ItemColumn("crimpers")
    usable = UsableColumn()

    class Meta:
        model = Crimper
        fields = ("number", "mark", "stop_kind", "place", "usable")


class DieSetTable(tables.Table):
    number = ItemColumn("die_sets")
    usable = UsableColumn()

    class Meta:
        model = DieSet
        fields = ("number", "mark", "die_type", "place", "condition", "usable")


class StopPartTable(tables.Table):
    number = ItemColumn("stop_parts")
    thickness = LengthColumn()
    usable = UsableColumn()

    class Meta:
        model = StopPart
        fields = ("number", "mark", "stop_type", "thickness", "place", "usable")


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


class ArrangementTable(tables.Table):
    die_type = ItemColumn("arrangements")
    count = FigureColumn(verbose_name="Parts")

    class Meta:
        model = Arrangement
        fields = ("die_type", "crimper", "stop_type", "count", "take_out")
