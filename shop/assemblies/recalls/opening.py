"""Opening a recall, and taking in what was found since."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max, QuerySet

from shop.assemblies import verbs
from shop.assemblies.models import Assembly, Recall, RecallAddition, RecallMember
from shop.assemblies.refusals import NobodyToRecall, ReasonMissing, RecalledAlready, RecallIsClosed
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Workshop

BATCH = 1000  # rows in one INSERT


def open_recall(
    *,
    actor: User,
    suspicion: Mapping[str, Any],
    says: Sequence[str],
    assemblies: QuerySet[Assembly],
    spared: QuerySet[Assembly] | None = None,
    reason: str,
) -> Recall:
    """Recall these assemblies as they are found at this moment, all but those spared.

    `suspicion` is what they were found by, as JSON, and `says` the same in sentences. Raises
    `ReasonMissing` and `NobodyToRecall`.
    """
    require(actor, Permission.RECALL)
    with transaction.atomic():
        if not reason.strip():
            raise ReasonMissing
        left_out = set() if spared is None else set(_keys(spared))
        members = [key for key in _keys(assemblies) if key not in left_out]
        if not members:
            raise NobodyToRecall
        # Recalls are numbered one after the other, so whoever opens one has the workshop to himself.
        Workshop.objects.select_for_update(no_key=True).get()
        recall = write_record(
            actor=actor,
            verb=verbs.RECALLED,
            record=Recall(
                number=(Recall.objects.aggregate(newest=Max("number"))["newest"] or 0) + 1,
                suspicion=dict(suspicion),
                says=list(says),
                members=members,
                spared=sorted(left_out),
            ),
            private={"reason": reason.strip()},
        )
        _list(recall, members)
        return recall


def add_to_recall(*, actor: User, recall: Recall, assemblies: QuerySet[Assembly]) -> RecallAddition:
    """Take these assemblies into an open recall too. Raises `RecallIsClosed` and `RecalledAlready`."""
    require(actor, Permission.RECALL)
    with transaction.atomic():
        lock_open(recall)
        there = set(recall.memberships.values_list("assembly_id", flat=True))
        members = [key for key in _keys(assemblies) if key not in there]
        if not members:
            raise RecalledAlready(recall=recall)
        addition = write_record(
            actor=actor,
            verb=verbs.RECALLED_TOO,
            record=RecallAddition(recall=recall, members=members),
            subject=recall,
        )
        _list(recall, members)
        return addition


def lock_open(recall: Recall) -> None:
    """Keep others from changing the recall until the transaction ends. Raises `RecallIsClosed`."""
    recall.refresh_from_db(from_queryset=Recall.objects.select_for_update(no_key=True, of=("self",)))
    if Recall.objects.filter(pk=recall.pk, closing__isnull=False).exists():
        raise RecallIsClosed(recall=recall)


def _keys(assemblies: QuerySet[Assembly]) -> list[int]:
    return sorted(assemblies.order_by().values_list("pk", flat=True))


def _list(recall: Recall, members: Sequence[int]) -> None:
    rows = (RecallMember(recall=recall, assembly_id=key) for key in members)
    RecallMember.objects.bulk_create(rows, batch_size=BATCH)
