"""What charts in force prescribe for two hoses."""

from collections.abc import Sequence
from dataclasses import dataclass

from shop.catalogue.comparing import changed_columns
from shop.catalogue.models import CrimpSpecification, FittingSeries, Hose
from shop.policy.services import today
from shop.web.reference.compare_differences import DIFFERENT, ONE_SIDED, SAME, Difference


@dataclass(frozen=True)
class ChartRow:
    """What charts in force prescribe for each hose with one fitting series."""

    series: FittingSeries
    one: Sequence[CrimpSpecification]
    other: Sequence[CrimpSpecification]
    difference: Difference


def compare_charts(one: Hose, other: Hose) -> list[ChartRow]:
    """Every series with which a chart in force names one of two hoses or both."""
    lines = (
        CrimpSpecification.objects.in_force(today())
        .filter(hose__in=[one, other])
        .select_related("chart_issue__chart", "series", "ferrule__series", "die_type", "stop_type")
        .order_by("series__maker", "series__name", "entry")
    )
    by_series: dict[FittingSeries, tuple[list[CrimpSpecification], list[CrimpSpecification]]] = {}
    for line in lines:
        mine, theirs = by_series.setdefault(line.series, ([], []))
        (mine if line.hose_id == one.pk else theirs).append(line)
    return [
        ChartRow(series, mine, theirs, _set_ups_apart(mine, theirs))
        for series, (mine, theirs) in by_series.items()
    ]


def _set_ups_apart(mine: Sequence[CrimpSpecification], theirs: Sequence[CrimpSpecification]) -> Difference:
    if not mine or not theirs:
        return Difference(ONE_SIDED.sign, "a chart names only one")
    if len(mine) == len(theirs) == 1:
        columns = [c.label for c in changed_columns(mine[0], theirs[0]) if c.column != "hose"]
        return Difference(DIFFERENT.sign, f"differs in {' and '.join(columns)}") if columns else SAME
    alike = len(mine) == len(theirs) and all(
        any({c.column for c in changed_columns(line, their)} <= {"hose"} for their in theirs) for line in mine
    )
    return SAME if alike else Difference(DIFFERENT.sign, "another set-up")
