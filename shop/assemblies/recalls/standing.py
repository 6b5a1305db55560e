"""Whether an assembly is recalled, and how far a recall has come."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Count

from shop.assemblies.models import Assembly, FindingKind, Recall, RecallMember
from shop.assemblies.models.recall import MADE_SAFE
from shop.assemblies.refusals import IsRecalled

PER_CENT = 100


def open_recalls_of(assembly: Assembly) -> list[RecallMember]:
    """The recalls that keep the assembly from being used, the newest first.

    Only having been inspected and found right frees it. That a recall was closed does not: what it never
    reached may still be in use.
    """
    members = assembly.recalls.exclude(newest=FindingKind.RIGHT).select_related("recall")
    return list(members.order_by("-recall__number"))


def require_not_recalled(assembly: Assembly) -> None:
    """Raise `IsRecalled` unless no recall keeps the assembly from being used."""
    for member in open_recalls_of(assembly):
        raise IsRecalled(assembly=assembly, recall=member.recall)


@dataclass(frozen=True)
class Progress:
    """How many members there are, and of how many is known what."""

    members: int
    by_finding: Mapping[str, int]

    @property
    def made_safe(self) -> int:
        """Members that can hurt nobody any more: taken out of use, replaced, or looked at."""
        return self._count(MADE_SAFE)

    @property
    def unheard_of(self) -> int:
        """Members of which nothing is known yet."""
        return self.by_finding.get("", 0)

    @property
    def effectiveness(self) -> int:
        """The share made safe in whole per cent, never rounded up to what it is not."""
        return self.share(self.made_safe, self.members)

    @staticmethod
    def share(made_safe: int, members: int) -> int:
        """So many of so many, in whole per cent, rounded down."""
        return made_safe * PER_CENT // members if members else PER_CENT

    def _count(self, kinds: Iterable[str]) -> int:
        return sum(self.by_finding.get(kind, 0) for kind in kinds)


def progress_of(recall: Recall) -> Progress:
    """How far the recall has come, in one query."""
    rows = recall.memberships.order_by().values_list("newest").annotate(count=Count("pk"))
    counts = dict(rows)
    return Progress(sum(counts.values()), counts)
