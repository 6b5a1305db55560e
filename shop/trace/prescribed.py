"""What a line of an issued chart touches: orders that wait to be made to it, and assemblies that were."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Exists, OuterRef, Q, QuerySet, Subquery

from shop.assemblies.models import Assembly, Crimp
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.catalogue.models import CrimpSpecification
from shop.orders.models import OrderLine, Resolution
from shop.trace.links import each_once


@dataclass(frozen=True)
class Touched:
    """How many open order lines and made assemblies a line of a chart touches."""

    open_lines: int
    made: int

    @property
    def anything(self) -> bool:
        """Whether there is an open order line or an assembly at all."""
        return bool(self.open_lines or self.made)


def touched_by(specifications: Iterable[CrimpSpecification]) -> dict[int, Touched]:
    """What each of the lines touches, by its key, in two queries however many they are."""
    keys = [specification.pk for specification in specifications]
    orders: Counter[int] = Counter()
    for ends in open_lines_on(keys).values_list("prescribed_a", "prescribed_b"):
        orders.update(set(ends))
    crimps = Crimp.objects.filter(specification__in=keys).order_by().values("specification")
    made = dict(crimps.annotate(count=Count("assembly", distinct=True)).values_list("specification", "count"))
    return {key: Touched(orders[key], made.get(key, 0)) for key in keys}


def open_lines_on(specifications: Iterable[int]) -> QuerySet[Any]:
    """Order lines that were confirmed on one of these lines and of which something is still to be made.

    A line that was resolved again counts for what it was resolved to last.
    """
    keys = list(specifications)
    newest = Resolution.objects.filter(line=OuterRef("pk")).order_by("-entry")
    made = Assembly.objects.filter(run__line=OuterRef("pk"))
    lines: QuerySet[Any] = OrderLine.objects.filter(cancelled=False)
    lines = lines.annotate(
        prescribed_a=Subquery(newest.values("specification_a")[:1]),
        prescribed_b=Subquery(newest.values("specification_b")[:1]),
    )
    lines = lines.filter(Q(prescribed_a__in=keys) | Q(prescribed_b__in=keys))
    return lines.filter(~Exists(made) | Exists(made.filter(state__in=ON_THE_ROAD)))


def made_to(specification: CrimpSpecification) -> QuerySet[Assembly]:
    """The assemblies of which an end was crimped to that very line of that issue."""
    return Assembly.objects.filter(pk__in=each_once(specification.crimps.all()))
