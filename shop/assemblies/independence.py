"""Whether what needs a second person had one; records and papers of an assembly say so if not (rule 8)."""

from shop.assemblies.models import Assembly, Crimp, Decision, DecisionKind, Inspection, Measurement
from shop.engineering.crimp import Outcome


def independently_checked(assembly: Assembly) -> bool:
    """Whether nobody has checked his or her own work on it, as far as it has come.

    Looks at who typed and checked the charts that it was crimped to, passed it, had it crimped again, and
    turned readings from failed. It depends on records alone, so it stays true of papers printed before.
    """
    crimps = list(assembly.crimps.select_related("specification__chart_issue"))
    return (
        _charts_checked(crimps)
        and not Inspection.objects.filter(
            assembly=assembly, passed=True, independently_checked=False
        ).exists()
        and not Decision.objects.filter(
            assembly=assembly, kind=DecisionKind.CRIMP_AGAIN, independently_checked=False
        ).exists()
        and not _turned_alone(assembly)
    )


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
