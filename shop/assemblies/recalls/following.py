"""What is found out about the members of a recall, what customers answer, and its end."""

from collections.abc import Sequence

from django.db import transaction

from shop.assemblies import verbs
from shop.assemblies.models import (
    Assembly,
    CustomerAnswer,
    FindingKind,
    Recall,
    RecallClosing,
    RecallFinding,
    RecallMember,
)
from shop.assemblies.recalls.opening import lock_open
from shop.assemblies.recalls.standing import progress_of
from shop.assemblies.refusals import AnswerMissing, NotInThatRecall, ReasonMissing
from shop.ledger.services import write_record
from shop.orders.models import Customer
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission

# Whether one is right or not is for those to say who inspect.
SAID_BY_INSPECTORS = (FindingKind.RIGHT, FindingKind.WRONG)


def record_finding(
    *, actor: User, recall: Recall, assemblies: Sequence[Assembly], kind: FindingKind, words: str = ""
) -> list[RecallFinding]:
    """Record the same of some members: found, taken out of use, inspected, replaced, not to be reached.

    One that was inspected and found right may be used again; why stands in `words`. It can be recorded
    of a closed recall too: what turns up late is the best of it. Raises `NotInThatRecall` and, where one
    is said to be right, `ReasonMissing`.
    """
    require(actor, Permission.INSPECT if kind in SAID_BY_INSPECTORS else Permission.FOLLOW_RECALLS)
    with transaction.atomic():
        if kind == FindingKind.RIGHT and not words.strip():
            raise ReasonMissing
        keys = [assembly.pk for assembly in assemblies]
        members = list(
            recall.memberships.select_for_update(no_key=True, of=("self",))
            .filter(assembly__in=keys)
            .select_related("assembly")
            .order_by("assembly")
        )
        _require_all(recall, assemblies, members)
        findings = [
            write_record(
                actor=actor,
                verb=verbs.RECALL_FOLLOWED,
                record=RecallFinding(recall=recall, assembly=member.assembly, kind=kind),
                subject=member.assembly,
                private={"words": words.strip()},
            )
            for member in members
        ]
        recall.memberships.filter(assembly__in=keys).update(newest=kind)
        return findings


def answer_recall(*, actor: User, recall: Recall, customer: Customer, answer: str) -> CustomerAnswer:
    """Record what a customer answered. Raises `AnswerMissing` and `NotInThatRecall`."""
    require(actor, Permission.FOLLOW_RECALLS)
    with transaction.atomic():
        if not answer.strip():
            raise AnswerMissing
        if not recall.memberships.filter(assembly__run__line__order__customer=customer).exists():
            raise NotInThatRecall(recall=recall, who=f"an assembly of {customer}")
        return write_record(
            actor=actor,
            verb=verbs.RECALL_ANSWERED,
            record=CustomerAnswer(recall=recall, customer=customer),
            subject=recall,
            private={"answer": answer.strip()},
        )


def close_recall(*, actor: User, recall: Recall, reason: str) -> RecallClosing:
    """Close it, however far it has come; what was not found right stays not to be used.

    Raises `RecallIsClosed` and `ReasonMissing`.
    """
    require(actor, Permission.CLOSE_RECALLS)
    with transaction.atomic():
        lock_open(recall)
        if not reason.strip():
            raise ReasonMissing
        progress = progress_of(recall)
        return write_record(
            actor=actor,
            verb=verbs.RECALL_CLOSED,
            record=RecallClosing(recall=recall, members=progress.members, made_safe=progress.made_safe),
            subject=recall,
            private={"reason": reason.strip()},
        )


def _require_all(recall: Recall, assemblies: Sequence[Assembly], members: Sequence[RecallMember]) -> None:
    there = {member.assembly_id for member in members}
    strangers = [str(assembly) for assembly in assemblies if assembly.pk not in there]
    if strangers or not members:
        raise NotInThatRecall(recall=recall, who=", ".join(strangers) or "anything that was chosen")
