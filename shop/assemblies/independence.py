"""Whether what needs a second person had one; records and papers of an assembly say so if not (rule 8)."""

from django.db.models import Q

from shop.assemblies.models import (
    CRIMPED_ANEW,
    Assembly,
    Crimp,
    Decision,
    Inspection,
    Measurement,
)
from shop.engineering.crimp import Outcome


def independently_checked(assembly: Assembly) -> bool:
    """Whether nobody has checked his or her own work on it, as far as it has come.

    Looks at who typed and checked the charts that it was crimped to, passed it, let it pass under a
    concession, had it crimped again or refitted, and turned readings from failed. It depends on records
    alone, so it stays true of papers printed before.
    """
    crimps = list(assembly.crimps.select_related("specification__chart_issue"))
    return (
        _charts_checked(crimps)
        and not Inspection.objects.filter(_passed_alone(), assembly=assembly).exists()
        and not Decision.objects.filter(
            assembly=assembly, kind__in=CRIMPED_ANEW, independently_checked=False
        ).exists()
        and not _turned_alone(assembly)
    )


def _passed_alone() -> Q:
    """Inspections that count as passed by somebody's word on own work, or by a concession on own work."""
    counts = Q(passed=True) | Q(concession__isnull=False)
    return counts & Q(independently_checked=False) | Q(concession__independently_checked=False)


def _charts_checked(crimps: list[Crimp]) -> bool:
    return all(crimp.specification.chart_issue.independently_checked for crimp in crimps)


def _turned_alone(assembly: Assembly) -> bool:
    """Whether somebody who had measured a crimp turned it from failed by correcting the readings."""
    measurements = Measurement.objects.filter(crimp__assembly=assembly).select_related("entry")
    before: dict[int, list[Measurement]] = {}
    for measurement in measurements.order_by("entry"):
        sets = before.setdefault(measurement.crimp_id, [])
        turned = measurement.corrects_id is not None and sets[-1].outcome == Outcome.FAIL
        own = measurement.actor_number in {earlier.actor_number for earlier in sets}
        if turned and own and measurement.outcome != Outcome.FAIL:
            return True
        sets.append(measurement)
    return False
