"""Finding the chart's line that prescribes a crimp (rule 1)."""

import datetime
from collections.abc import Sequence

from django.db.models import QuerySet

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.tooling.finding import OwnedTooling, find_tooling


def find_specification(
    hose: Hose, fitting: Fitting, day: datetime.date
) -> tuple[CrimpSpecification | None, OwnedTooling | None]:
    """The chart's line in force for that fitting on that hose, and the tooling for it."""
    return choose_specification(find_specifications(hose, fitting, day))


def choose_specification(
    lines: Sequence[CrimpSpecification],
) -> tuple[CrimpSpecification | None, OwnedTooling | None]:
    """One of the lines, and the tooling for it.

    Where several serve (dies or stops differ) the first for which the workshop has everything is taken.
    """
    found = [(line, find_tooling(line)) for line in lines]
    if not found:
        return None, None
    if len(found) == 1:
        return found[0]
    return next((choice for choice in found if not choice[1].lacking), found[0])


def find_specifications(hose: Hose, fitting: Fitting, day: datetime.date) -> list[CrimpSpecification]:
    """Every chart's line in force that prescribes for that fitting on that hose, oldest first.

    Lines for any material count only where none is for the fitting's own: what a chart says of stainless
    fittings is not set aside because the workshop has the tooling for steel ones.
    """
    whole = ("chart_issue__chart", "ferrule__series", "die_type", "stop_type", "series", "hose")
    return _of_its_own_material(_in_force(hose, fitting, day).select_related(*whole))


def is_prescribed(specification: int, hose: Hose, fitting: Fitting, day: datetime.date) -> bool:
    """Whether the line by that key is one of `find_specifications`."""
    lines = _of_its_own_material(_in_force(hose, fitting, day).only("material"))
    return specification in {line.pk for line in lines}


def _in_force(hose: Hose, fitting: Fitting, day: datetime.date) -> QuerySet[CrimpSpecification]:
    return (
        CrimpSpecification.objects.in_force(day)
        .filter(hose=hose, series=fitting.series_id, ferrule__isnull=fitting.is_one_piece)
        .filter(material__in=("", fitting.material))
        .order_by("entry")
    )


def _of_its_own_material(found: QuerySet[CrimpSpecification]) -> list[CrimpSpecification]:
    lines = list(found)
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
