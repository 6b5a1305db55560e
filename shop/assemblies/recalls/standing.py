"""Whether an assembly is recalled, and how far a recall has come."""

from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from shop.assemblies.models import Assembly, FindingKind, Recall, RecallMember
from shop.assemblies.models.recall import is_made_safe
from shop.assemblies.refusals import IsRecalled

PER_CENT = 100


def keeping_from_use() -> QuerySet[RecallMember]:
    """The members of recalls that are not to be used: all but those that were found right."""
    return RecallMember.objects.exclude(newest=FindingKind.RIGHT)


def open_recalls_of(assembly: Assembly) -> list[RecallMember]:
    """The recalls that keep the assembly from being used, the newest first.

    Only having been inspected and found right frees it. That a recall was closed does not: what it never
    reached may still be in use.
    """
    members = keeping_from_use().filter(assembly=assembly).select_related("recall")
    return list(members.order_by("-recall__number"))


def require_not_recalled(assembly: Assembly) -> None:
    """Raise `IsRecalled` unless no recall keeps the assembly from being used."""
    for member in open_recalls_of(assembly):
        raise IsRecalled(assembly=assembly, recall=member.recall)


@dataclass(frozen=True)
class Progress:
    """How many members there are, how many can hurt nobody any more, and of how many nothing is known."""

    members: int
    made_safe: int
    unheard_of: int

    @property
    def effectiveness(self) -> int:
        """The share made safe in whole per cent, never rounded up to what it is not."""
        return self.share(self.made_safe, self.members)

    @staticmethod
    def share(made_safe: int, members: int) -> int:
        """So many of so many, in whole per cent, rounded down."""
        return made_safe * PER_CENT // members if members else PER_CENT


def progress_of(recall: Recall) -> Progress:
    """How far the recall has come, in one query."""
    counts = recall.memberships.aggregate(
        members=Count("pk"),
        made_safe=Count("pk", filter=is_made_safe()),
        unheard_of=Count("pk", filter=Q(newest="") & ~is_made_safe()),
    )
    return Progress(**counts)
