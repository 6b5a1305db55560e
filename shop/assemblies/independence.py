"""Whether what needs a second person had one; records and papers of an assembly say so if not (rule 8)."""

from collections.abc import Iterable

from shop.assemblies.models import (
    CRIMPED_ANEW,
    Assembly,
    Concession,
    Crimp,
    Decision,
    Inspection,
    Measurement,
)
from shop.engineering.crimp import Outcome


def independently_checked(assembly: Assembly) -> bool:
    """Whether nobody has checked his or her own work on it, as far as it has come."""
    return nobody_checked_alone(
        crimps=assembly.crimps.select_related("specification__chart_issue"),
        measurements=Measurement.objects.filter(crimp__assembly=assembly).select_related("entry"),
        inspections=Inspection.objects.filter(assembly=assembly),
        concessions=Concession.objects.filter(assembly=assembly),
        decisions=Decision.objects.filter(assembly=assembly),
    )


def nobody_checked_alone(
    *,
    crimps: Iterable[Crimp],
    measurements: Iterable[Measurement],
    inspections: Iterable[Inspection],
    concessions: Iterable[Concession],
    decisions: Iterable[Decision],
) -> bool:
    """The same of all the records of one assembly, in any order.

    Looks at who typed and checked the charts that it was crimped to, passed it, let it pass under a
    concession, had it crimped again or refitted, and turned readings from failed. It depends on records
    alone, so it stays true of papers printed before.
    """
    conceded = {concession.inspection_id for concession in concessions}
    counting = (one for one in inspections if one.passed or one.pk in conceded)
    anew = (decision for decision in decisions if decision.kind in CRIMPED_ANEW)
    return (
        all(crimp.specification.chart_issue.independently_checked for crimp in crimps)
        and all(inspection.independently_checked for inspection in counting)
        and all(concession.independently_checked for concession in concessions)
        and all(decision.independently_checked for decision in anew)
        and not _turned_alone(measurements)
    )


def _turned_alone(measurements: Iterable[Measurement]) -> bool:
    """Whether somebody who had measured a crimp turned it from failed by correcting the readings."""
    before: dict[int, list[Measurement]] = {}
    for measurement in sorted(measurements, key=lambda one: one.pk):
        sets = before.setdefault(measurement.crimp_id, [])
        turned = measurement.corrects_id is not None and sets[-1].outcome == Outcome.FAIL
        own = measurement.actor_number in {earlier.actor_number for earlier in sets}
        if turned and own and measurement.outcome != Outcome.FAIL:
            return True
        sets.append(measurement)
    return False
