"""What the counter has to see to: open orders, quotations, and lines that a chart has left behind."""

import datetime

from django.db.models import Count, F, IntegerField, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from shop.assemblies.models import Assembly, Run, State, Trouble
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.owing import owing, quotations
from shop.assemblies.planning import to_be_replaced
from shop.catalogue.models import CrimpSpecification
from shop.orders.models import Order, OrderLine


def open_orders() -> QuerySet[Order]:
    """Orders that still owe something, what is due first first; with what each of them owes."""
    return with_counts(owing()).order_by(F("due_on").asc(nulls_last=True), "number")


def with_counts(orders: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with their numbers of lines and of assemblies in each stage of their road."""
    lines = OrderLine.objects.filter(cancelled=False)
    return orders.select_related("customer").annotate(
        lines_count=_count(lines, "order"),
        quoted=_count(quotations(), "order"),
        made=_count(_assemblies().filter(state__in=ON_THE_ROAD, trouble=Trouble.NONE), "run__line__order"),
        troubled=_count(_assemblies().exclude(trouble=Trouble.NONE), "run__line__order"),
        released=_count(_assemblies().filter(state=State.RELEASED), "run__line__order"),
        gone=_count(_assemblies().filter(state__in=[State.SHIPPED, State.RETIRED]), "run__line__order"),
        to_replace=_count(to_be_replaced(), "run__line__order"),
    )


def stopped_lines(day: datetime.date) -> QuerySet[OrderLine]:
    """Confirmed lines with an end still to crimp whose chart line is no longer in force (rule 1)."""
    in_force = CrimpSpecification.objects.in_force(day)
    end_a = Run.objects.filter(assemblies__state__in=[State.PLANNED, State.CUT])
    end_b = Run.objects.filter(assemblies__state__in=[State.PLANNED, State.CUT, State.CRIMPED_A])
    stopped = Q(pk__in=end_a.exclude(resolution__specification_a__in=in_force).values("line")) | Q(
        pk__in=end_b.exclude(resolution__specification_b__in=in_force).values("line")
    )
    return OrderLine.objects.filter(stopped)


def _assemblies() -> QuerySet[Assembly]:
    return Assembly.objects.all()


def _count(rows: QuerySet[OrderLine] | QuerySet[Assembly], to_order: str) -> Coalesce:
    """How many of the rows belong to the order: a subquery, worked out for the orders on the page only."""
    of_order = rows.filter(**{to_order: OuterRef("pk")}).order_by()
    counted = of_order.values(to_order).annotate(n=Count("pk")).values("n")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)
