"""Finding the chart's line that prescribes a crimp (rule 1)."""

import datetime

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.tooling.finding import OwnedTooling, find_tooling


def find_specification(
    hose: Hose, fitting: Fitting, day: datetime.date
) -> tuple[CrimpSpecification | None, OwnedTooling | None]:
    """The chart's line in force for that fitting on that hose, and the tooling for it.

    Where several lines serve (dies or stops differ) the first for which the workshop has everything
    is taken, a line for the fitting's own material before one for any.
    """
    lines = list(
        CrimpSpecification.objects.in_force(day)
        .filter(hose=hose, series=fitting.series_id, ferrule__isnull=fitting.is_one_piece)
        .filter(material__in=("", fitting.material))
        .select_related("chart_issue__chart", "ferrule__series", "die_type", "stop_type", "series", "hose")
        .order_by("-material", "entry")
    )
    found = [(line, find_tooling(line)) for line in lines]
    whole = [(line, tooling) for line, tooling in found if not tooling.lacking]
    for choice in whole or found:
        return choice
    return None, None


def hoses_named_instead(hose: Hose, fitting: Fitting, day: datetime.date) -> list[str]:
    """The hoses of that size that charts in force do name for the fitting's series."""
    others = (
        CrimpSpecification.objects.in_force(day)
        .filter(series=fitting.series_id, hose__dash=hose.dash)
        .exclude(hose=hose)
        .select_related("hose")
    )
    return sorted({str(line.hose) for line in others})
