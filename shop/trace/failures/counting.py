"""Which assemblies have failed, and how: only what the workshop itself found out counts."""

import datetime
from dataclasses import dataclass

from django.db.models import QuerySet

from shop.assemblies.models import Assembly
from shop.policy.services import get_workshop
from shop.trace.models import FailureFinding, FailureMode, Verdict
from shop.trace.refusals import FailedInService


@dataclass(frozen=True, slots=True)
class Failure:
    """An assembly (its key) that failed in service, how, and on which day.

    `day` is the day on which it failed; if nobody knows that, the day on which it was reported.
    """

    assembly: int
    mode: FailureMode
    day: datetime.date


def failures() -> list[Failure]:
    """Every assembly that was found to have failed, once, by the day.

    If several reports of one were confirmed, the earliest of them counts, and its mode alone.
    """
    zone = get_workshop().zone_info
    rows = _confirmed().values_list(
        "report__assembly_id", "mode", "report__failed_on", "report__entry__happened_at"
    )
    every = sorted(
        (
            Failure(key, FailureMode(found), failed_on or told.astimezone(zone).date())
            for key, found, failed_on, told in rows
        ),
        key=lambda failure: (failure.day, failure.assembly),
    )
    first: dict[int, Failure] = {}
    for failure in every:
        first.setdefault(failure.assembly, failure)
    return list(first.values())


def failed_assemblies() -> QuerySet[Assembly]:
    """The assemblies that were found to have failed: those that `failures` counts."""
    return Assembly.objects.filter(pk__in=_confirmed().values("report__assembly"))


def has_failed(assembly: Assembly) -> bool:
    """Whether it was found to have failed, so that nobody is to use it."""
    return _confirmed().filter(report__assembly=assembly).exists()


def require_not_failed(assembly: Assembly) -> None:
    """Raise `FailedInService` if it was found to have failed."""
    if has_failed(assembly):
        raise FailedInService(assembly=assembly)


def _confirmed() -> QuerySet[FailureFinding]:
    return FailureFinding.objects.newest().filter(verdict=Verdict.FAILED)
