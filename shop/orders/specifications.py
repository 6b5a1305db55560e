"""Finding the chart's line that prescribes a crimp (rule 1)."""

import datetime

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.tooling.finding import OwnedTooling, find_tooling


def find_specification(
    hose: Hose, fitting: Fitting, day: datetime.date
) -> tuple[CrimpSpecification | None, OwnedTooling | None]:
    """The chart's line in force for that fitting on that hose, and the tooling for it.

    Where several lines serve (dies or stops differ) the first for which the workshop has everything
    is taken.
    """
    found = [(line, find_tooling(line)) for line in find_specifications(hose, fitting, day)]
    whole = [(line, tooling) for line, tooling in found if not tooling.lacking]
    for choice in whole or found:
        return choice
    return None, None


def find_specifications(hose: Hose, fitting: Fitting, day: datetime.date) -> list[CrimpSpecification]:
    """Every chart's line in force that prescribes for that fitting on that hose, oldest first.

    Lines for any material count only where none is for the fitting's own: what a chart says of stainless
    fittings is not set aside because the workshop has the tooling for steel ones.
    """
    lines = list(
        CrimpSpecification.objects.in_force(day)
        .filter(hose=hose, series=fitting.series_id, ferrule__isnull=fitting.is_one_piece)
        .filter(material__in=("", fitting.material))
        .select_related("chart_issue__chart", "ferrule__series", "die_type", "stop_type", "series", "hose")
        .order_by("entry")
    )
    return [line for line in lines if line.material] or lines


def hoses_named_instead(hose: Hose, fitting: Fitting, day: datetime.date) -> list[str]:
    """The hoses of that size that charts in force do name for the fitting's series."""
    others = (
        CrimpSpecification.objects.in_force(day)
        .filter(series=fitting.series_id, hose__dash=hose.dash)
        .exclude(hose=hose)
        .select_related("hose")
    )
    return sorted({str(line.hose) for line in others})
