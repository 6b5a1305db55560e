"""What the lists of the tool cabinet are narrowed by."""

from typing import Any

import django_filters
from django.db.models import QuerySet

from shop.assemblies.wear import due_for_a_check
from shop.policy.services import today
from shop.tooling.models import Arrangement, CheckPiece, Crimper, DieSet, Gauge, StopPart
from shop.web.registers.filters import RegisterFilter, ToolFilter
from shop.web.tools.calibrations import due_soon, over

OVER, SOON, DUE = "over", "soon", "due"


class WornFilter(ToolFilter):
    """Tools that wear can be narrowed to those that have to be looked at."""

    check = django_filters.ChoiceFilter(
        method="by_check", label="Looked at", empty_label="any", choices=[(DUE, "due")]
    )

    def by_check(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return due_for_a_check(rows)


CALIBRATION_CHOICES = [(OVER, "over, unfit or never"), (SOON, "due soon")]


class CrimperFilter(WornFilter):
    class Meta:
        model = Crimper
        fields = ("stop_kind",)


class DieSetFilter(WornFilter):
    SEARCH = (*ToolFilter.SEARCH, "die_type__designation", "condition")

    class Meta:
        model = DieSet
        fields = ("die_type",)


class StopPartFilter(WornFilter):
    SEARCH = (*ToolFilter.SEARCH, "stop_type__designation")

    class Meta:
        model = StopPart
        fields = ("stop_type",)


class GaugeFilter(ToolFilter):
    calibration = django_filters.ChoiceFilter(
        method="by_calibration",
        label="Calibration",
        empty_label="any",
        choices=CALIBRATION_CHOICES,
    )

    class Meta:
        model = Gauge
        fields = ("kind",)

    def by_calibration(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return over(rows, today()) if value == OVER else due_soon(rows, today())


class CheckPieceFilter(ToolFilter):
    class Meta:
        model = CheckPiece
        fields: tuple[str, ...] = ()


class ArrangementFilter(RegisterFilter):
    SEARCH = ("crimper__number", "die_type__designation", "stop_type__designation", "parts__role")

    class Meta:
        model = Arrangement
        fields = ("crimper", "die_type")

    def search(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return super().search(rows, name, value).distinct()
