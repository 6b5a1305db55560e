"""From a suspicion to a recall, and what has come to share the weakness since."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from shop.assemblies.models import Assembly, Recall, State
from shop.assemblies.models.assembly import DONE_WITH
from shop.assemblies.recalls import add_to_recall, open_recall
from shop.ledger.models import Entry
from shop.orders.models import Customer
from shop.people.models import User
from shop.tooling.models import Gauge, PressureGauge
from shop.trace.links import links_to
from shop.trace.made_with import Span
from shop.trace.suspicion import Suspicion, Window
from shop.trace.weighing import Weighed

OUT = (State.SHIPPED,)


def recall_suspected(
    *, actor: User, suspicion: Suspicion, reason: str, spared: QuerySet[Assembly] | None = None
) -> Recall:
    """Recall what is suspected at this moment. Raises what `open_recall` raises."""
    return open_recall(
        actor=actor,
        suspicion=suspicion.as_json(),
        says=suspicion.sentences(),
        assemblies=suspicion.assemblies(),
        spared=spared,
        reason=reason,
    )


def found_since(recall: Recall) -> QuerySet[Assembly]:
    """Assemblies that share what the recall suspects and that it neither has nor left out."""
    suspected = Suspicion.from_json(recall.suspicion).assemblies()
    return suspected.exclude(recalls__recall=recall).exclude(pk__in=recall.spared)


def recall_found_since(*, actor: User, recall: Recall) -> None:
    """Take them into the recall too. Raises what `add_to_recall` raises."""
    add_to_recall(actor=actor, recall=recall, assemblies=found_since(recall))


def recall_doubtful(
    *, actor: User, gauge: Gauge | PressureGauge, span: Span, weighed: Weighed, reason: str
) -> Recall:
    """Recall what rests on a gauge's readings in that span and isn't proven with its error allowed for.

    What is, stands in the recall as left out. Raises what `open_recall` raises.
    """
    links = links_to(type(gauge))
    link = next((one for one in links if one.records([gauge.pk]).exists()), links[0])
    fault = None if span.until is None else Entry.objects.get(pk=span.until)
    window = Window(span.since, None if fault is None else fault.happened_at)
    suspicion = Suspicion({link.name: (gauge.pk,)}, {link.deed: window})
    return open_recall(
        actor=actor,
        suspicion=suspicion.as_json(),
        says=[*suspicion.sentences(), "Right with the gauge's error allowed for are those left out."],
        assemblies=weighed.doubtful(),
        spared=weighed.standing(),
        reason=reason,
    )


@dataclass(frozen=True)
class Whereabouts:
    """Where assemblies are: still here, out in service, or done with (scrapped, out of service)."""

    every: int
    out: int
    done_with: int

    @property
    def here(self) -> int:
        """Those that have not left the workshop and still may."""
        return self.every - self.out - self.done_with


@dataclass(frozen=True)
class Concerned:
    """A customer of whom some assemblies are suspected or recalled."""

    customer: Customer
    whereabouts: Whereabouts


def whereabouts_of_all(customers: Sequence[Concerned]) -> Whereabouts:
    """Where the assemblies of all of them are together: each assembly has one customer."""
    places = [one.whereabouts for one in customers]
    return Whereabouts(
        every=sum(place.every for place in places),
        out=sum(place.out for place in places),
        done_with=sum(place.done_with for place in places),
    )


def customers_of(assemblies: QuerySet[Assembly]) -> list[Concerned]:
    """The customers of these assemblies and where theirs are, those with most in service first."""
    customer = "run__line__order__customer"
    rows = assemblies.order_by().values(customer).annotate(**_COUNTS).values(customer, *_COUNTS)
    counts = {row[customer]: Whereabouts(*(row[name] for name in _COUNTS)) for row in rows}
    found = Customer.objects.in_bulk(counts)
    concerned = [Concerned(found[key], whereabouts) for key, whereabouts in counts.items()]
    return sorted(concerned, key=lambda one: (-one.whereabouts.out, one.customer.number))


_COUNTS = {
    "every": Count("pk"),
    "out": Count("pk", filter=Q(state__in=OUT)),
    "done_with": Count("pk", filter=Q(state__in=DONE_WITH)),
}
