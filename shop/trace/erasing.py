"""Erasing what is known of a person, a customer or who reported a failure, by acts that stand in the ledger.

The chain knows people and customers by number, reporters not at all, and stays whole; erased are the texts
beside it that are theirs, the columns of their own row, and the files of a reporter's photos. Not covered,
as nobody can tell by program whom it names: what somebody wrote in words about something else, an order's
reference, the sentences of a recall; and whatever has left already, in backups, packages and on paper.
"""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q

from shop.assemblies import verbs as assembly_verbs
from shop.assemblies.models import Assembly, Concession, CustomerAnswer, Recall, State
from shop.assemblies.owing import owing
from shop.authority.models import Authority
from shop.ledger.facts import subject_of
from shop.ledger.models import Entry, PrivateText
from shop.ledger.services import erase_private
from shop.orders.models import Customer
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.services import write_person
from shop.trace.failures.photos import take_off_the_shelf
from shop.trace.models import FailureReport, OfReporter
from shop.trace.refusals import NothingChosen, StillInService, StillOwed, StillRecalled, WhyErased
from shop.trace.story import ERASED, Story, Told

MOST_NAMED = 5  # orders in a refusal


@transaction.atomic
def erase_person(*, actor: User, person: User) -> Entry:
    """Erase name and sign-in name, and what their authorities were shown by; the person works here no more.

    The staff number stays, with everything that was done under it. Raises `LastOwner`, `NothingToErase`.
    """
    require(actor, Permission.ERASE)
    locked = User.objects.select_for_update(no_key=True).get(pk=person.pk)
    locked.is_active = False
    write_person(actor=actor, person=locked)
    authorities = list(Authority.objects.select_for_update(no_key=True).filter(person=locked).order_by("pk"))
    shown = Q(entry__subject__in=[subject_of(authority) for authority in authorities], name="shown_by")
    erased = erase_private(actor=actor, subject=locked, elsewhere=shown)
    Authority.objects.filter(person=locked).update(shown_by="")
    # As whoever isn't known by name: `names_of` shows the same.
    locked.name, locked.username, locked.pin = f"number {locked.number}", f"erased-{locked.number}", ""
    locked.set_unusable_password()
    locked.save(update_fields=["name", "username", "pin", "password"])
    return erased


@transaction.atomic
def erase_customer(*, actor: User, customer: Customer, sure: frozenset[str] = frozenset()) -> Entry:
    """Erase name, contact and address, the customer's answers to recalls, and who agreed to concessions.

    The customer's number stays, with its orders. Raises `StillOwed`, `StillRecalled`, `NothingToErase`, and
    `StillInService` unless its code is in `sure`.
    """
    require(actor, Permission.ERASE)
    locked = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    _require_done_with(locked, sure)
    erased = erase_private(actor=actor, subject=locked, elsewhere=_said_by(locked))
    locked.name, locked.contact, locked.address = ERASED, "", ""
    locked.save(update_fields=["name", "contact", "address"])
    return erased


@transaction.atomic
def erase_from_report(
    *, actor: User, report: FailureReport, what: Collection[OfReporter], reason: str
) -> Entry:
    """Erase what a report says of who reported; its photos leave the shelf unless something else names them.

    The report stays, with its mode, day, injury and findings. Why stands beside the act, as "reason". Raises
    `NothingChosen`, `WhyErased`, `NothingToErase`.
    """
    require(actor, Permission.ERASE)
    if not what:
        raise NothingChosen
    if not reason.strip():
        raise WhyErased
    photos = report.photo_hashes if OfReporter.PHOTOS in what else ()
    erased = erase_private(actor=actor, subject=report, names=what, reason=reason.strip())
    # Before the commit: a file that is gone without a record is found by the check, and can be erased again.
    # One that lies there after its record would be found by nobody, since nothing names it any more.
    take_off_the_shelf(photos, report)
    return erased


@dataclass(frozen=True)
class Erasure:
    """An act by which something was erased of a report, and why; the reason is 'erased' if it was as well."""

    told: Told
    what: tuple[OfReporter, ...]
    reason: str


def erasures_of(report: FailureReport) -> tuple[Erasure, ...]:
    """What was erased of what the report says of who reported, the oldest first."""
    acts: dict[int, list[OfReporter]] = defaultdict(list)
    texts = PrivateText.objects.filter(entry=report.pk).exclude(erased_by=None)
    for act, name in texts.order_by("pk").values_list("erased_by", "name"):
        acts[act].append(OfReporter(name))
    return tuple(
        Erasure(told, tuple(acts[told.entry.pk]), told.private("reason"))
        for told in Story(acts.keys(), ()).entries
    )


def words_by(person: User) -> int:
    """How many texts the person wrote in words of his own that an erasure leaves where they are."""
    told = Q(entry__actor_number=person.number) | Q(entry__done_by=person.number)
    return PrivateText.objects.filter(told, erased_by=None).exclude(entry__subject=subject_of(person)).count()


def _require_done_with(customer: Customer, sure: frozenset[str]) -> None:
    owed = list(
        owing().filter(customer=customer).order_by("number").values_list("number", flat=True)[:MOST_NAMED]
    )
    if owed:
        raise StillOwed(customer=customer, orders=", ".join(map(str, owed)))
    recall = Recall.objects.filter(
        memberships__assembly__run__line__order__customer=customer, closing=None
    ).first()
    if recall is not None:
        raise StillRecalled(customer=customer, recall=recall)
    out = Assembly.objects.filter(run__line__order__customer=customer, state=State.SHIPPED).count()
    if out and StillInService(customer=customer, count=out).code not in sure:
        raise StillInService(customer=customer, count=out)


def _said_by(customer: Customer) -> Q:
    """What the customer said beside entries about something else."""
    answers = CustomerAnswer.objects.filter(customer=customer)
    conceded = Concession.objects.filter(assembly__run__line__order__customer=customer)
    return Q(entry__in=answers.values("entry"), name="answer") | Q(
        entry__in=conceded.values("entry"), entry__verb=assembly_verbs.CONCEDED.name, name="agreed_by"
    )
