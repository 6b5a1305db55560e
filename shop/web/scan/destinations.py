"""Where a scanned thing's page is."""

from collections.abc import Mapping

from django.urls import reverse

from shop.assemblies.models import Assembly
from shop.core.labels import Labelled
from shop.orders.models import Order
from shop.people.models import User
from shop.stock.models import Lot, Piece
from shop.tooling.models import CheckPiece, Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.models import FailureReport

# The name of the page, and what it knows the thing by.
PAGES: Mapping[type[Labelled], tuple[str, str]] = {
    Assembly: ("web:assembly", "code"),
    User: ("web:people_item", "pk"),
    FailureReport: ("web:failure", "code"),
    CheckPiece: ("web:check_pieces_item", "pk"),
    Crimper: ("web:crimpers_item", "pk"),
    DieSet: ("web:die_sets_item", "pk"),
    Gauge: ("web:gauges_item", "pk"),
    Lot: ("web:lots_item", "pk"),
    Piece: ("web:pieces_item", "pk"),
    Order: ("web:order", "code"),
    PressureGauge: ("web:pressure_gauges_item", "pk"),
    StopPart: ("web:stop_parts_item", "pk"),
}


def page_of(thing: Labelled) -> str:
    """The address of the page that tells everything about the thing."""
    name, key = PAGES[type(thing)]
    return reverse(name, args=[getattr(thing, key)])
