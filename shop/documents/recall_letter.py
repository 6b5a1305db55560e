"""The letter to a customer of whom assemblies are recalled: which ones, why, and what to do."""

import datetime
from dataclasses import dataclass

from shop.assemblies.models import Assembly, FindingKind, Recall
from shop.documents.pdf import render_pdf
from shop.engineering.lengths import LengthUnit, show_length
from shop.orders.models import Customer
from shop.policy.models import Workshop
from shop.policy.services import get_workshop, today
from shop.trace.cautions import BEFORE_USE


@dataclass(frozen=True)
class Wanted:
    """One assembly to look for, by what its tag says."""

    assembly: Assembly
    length: str
    rating: str
    made: str
    order: str


@dataclass(frozen=True)
class RecallLetter:
    """What one customer is told about a recall on one day."""

    workshop: Workshop
    customer: Customer
    recall: Recall
    day: datetime.date
    wanted: tuple[Wanted, ...]
    cautions: tuple[str, ...] = BEFORE_USE


def recall_letter(*, recall: Recall, customer: Customer) -> RecallLetter:
    """The letter: it lists the members that went to the customer, but for those that were found right."""
    workshop = get_workshop()
    members = (
        Assembly.objects.filter(
            recalls__recall=recall, run__line__order__customer=customer, shipment__isnull=False
        )
        .exclude(recalls__in=recall.memberships.filter(newest=FindingKind.RIGHT))
        .select_related("run__line__order", "run__resolution")
        .prefetch_related("tags")
        .order_by("serial")
    )
    return RecallLetter(workshop, customer, recall, today(), tuple(_wanted(one, workshop) for one in members))


def render_recall_letter(letter: RecallLetter) -> bytes:
    """The letter as PDF, A4. Raises `PdfNotInstalled`."""
    return render_pdf("documents/recall_letter.html", {"letter": letter})


def _wanted(assembly: Assembly, workshop: Workshop) -> Wanted:
    tag = max(assembly.tags.all(), key=lambda tag: tag.number, default=None)
    return Wanted(
        assembly=assembly,
        length=show_length(assembly.resolution.overall_length, LengthUnit(workshop.length_unit)),
        rating="no tag yet" if tag is None else tag.rating_words,
        made="" if tag is None else tag.made,
        order=assembly.run.line.order.reference,
    )
