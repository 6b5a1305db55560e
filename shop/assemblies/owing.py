"""Which orders still owe their customer something."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.assemblies.models import Assembly, State
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.planning import to_be_replaced
from shop.orders.models import Order, OrderLine, Resolution

NOT_YET_WITH_THE_CUSTOMER = (*ON_THE_ROAD, State.RELEASED)


def quotations() -> QuerySet[OrderLine]:
    """Lines that are neither confirmed nor cancelled."""
    confirmed = Resolution.objects.filter(line=OuterRef("pk"))
    return OrderLine.objects.filter(~Exists(confirmed), cancelled=False)


def owing() -> QuerySet[Order]:
    """Orders that still owe something.

    Owed is a quotation to be confirmed, an assembly that has not been handed over, one that was lost in
    the workshop and is to be replaced, and the first line of an order that has none.
    """
    with_us = Assembly.objects.filter(state__in=NOT_YET_WITH_THE_CUSTOMER)
    return Order.objects.filter(
        Q(pk__in=with_us.values("run__line__order"))
        | Q(pk__in=to_be_replaced().values("run__line__order"))
        | Q(pk__in=quotations().values("order"))
        | ~Exists(OrderLine.objects.filter(order=OuterRef("pk")))
    )
