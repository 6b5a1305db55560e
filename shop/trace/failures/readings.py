"""The readings that the tooling of an end gave around the day on which it was crimped."""

from collections.abc import Iterator
from decimal import Decimal

from django.utils.text import capfirst

from shop.assemblies.models import Crimp, Measurement
from shop.drawings.readings import Reading, ReadingsDrawing
from shop.engineering.crimp import Outcome
from shop.policy.services import get_workshop
from shop.trace.dossier import AssemblyRecord

ON_EACH_SIDE = 30  # sets of readings before and after
# Seconds in each unit, and the largest number of it that a span is told in.
UNITS = (("minutes", 60, 180), ("hours", 3_600, 72), ("days", 86_400, None))


def readings_around(record: AssemblyRecord) -> Iterator[ReadingsDrawing]:
    """For each end that was crimped, what its die set made to the same line of the chart before and after."""
    for end in record.ends:
        if end.crimps:
            yield _around(end.crimps[-1].written.record)


def _around(crimp: Crimp) -> ReadingsDrawing:
    every = Measurement.objects.filter(
        crimp__set_up__die_set=crimp.set_up.die_set_id,
        crimp__specification=crimp.specification_id,
        corrected_by=None,
    ).select_related("entry", "crimp")
    before = every.filter(entry__lt=crimp.pk).order_by("-entry")[:ON_EACH_SIDE]
    after = every.filter(entry__gt=crimp.pk).order_by("entry")[:ON_EACH_SIDE]
    found = [*reversed(before), *after]
    seconds = [(one.happened_at - crimp.happened_at).total_seconds() for one in found]
    span = max((abs(second) for second in seconds), default=0)
    unit, unit_s, _ = next(one for one in UNITS if one[2] is None or span <= one[1] * one[2])
    limits = crimp.specification.limits
    day = crimp.happened_at.astimezone(get_workshop().zone_info)
    return ReadingsDrawing(
        title=f"{capfirst(crimp.get_end_display())}: {crimp.set_up.die_set}, {crimp.specification}",
        time_label=f"{unit} before and after it was crimped, {day:%Y-%m-%d %H:%M}",
        lower_mm=limits.lower_mm,
        target_mm=limits.target_mm,
        upper_mm=limits.upper_mm,
        readings=tuple(
            Reading(
                at=Decimal(round(second / unit_s, 3)).quantize(Decimal("0.001")),
                mean_mm=one.mean,
                passes=one.outcome == Outcome.PASS,
                is_own=one.crimp_id == crimp.pk,
            )
            for one, second in zip(found, seconds, strict=True)
        ),
    )
