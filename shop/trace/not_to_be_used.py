"""Which assemblies of many are not to be used, whatever their state says."""

from collections.abc import Iterable, Mapping

from shop.assemblies.recalls import keeping_from_use
from shop.trace.failures import failed_assemblies

FAILED, RECALLED = "failed_in_service", "recalled"
WORDS = {FAILED: "failed in service", RECALLED: "recalled"}


def why_not_of_each(assemblies: Iterable[int]) -> Mapping[int, str]:
    """Of each of these, by key, that is not to be used, the gravest reason, in two queries.

    `FAILED` if it was found to have failed, `RECALLED` if an open recall keeps it from being used.
    """
    keys = list(assemblies)
    recalled = keeping_from_use().filter(assembly__in=keys).values_list("assembly", flat=True)
    failed = failed_assemblies().filter(pk__in=keys).values_list("pk", flat=True)
    return dict.fromkeys(recalled, RECALLED) | dict.fromkeys(failed, FAILED)
