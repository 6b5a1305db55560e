"""A suspicion as a page's address, so that it can be narrowed, bookmarked and sent."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal, InvalidOperation
from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse
from django.utils.dateparse import parse_datetime
from django.utils.timezone import make_aware

from shop.engineering.numbers import plain
from shop.policy.services import get_workshop
from shop.trace.links import LINKS, Deed
from shop.trace.suspicion import Suspicion, Window

BELOW_UPPER, ABOVE_LOWER = "below_upper", "above_lower"
# What is said of when: of the deeds that everybody remembers by their day.
TIMED = (
    Deed.CUT,
    Deed.CRIMPED,
    Deed.MEASURED,
    Deed.INSPECTED,
    Deed.TESTED,
    Deed.RELEASED,
    Deed.SHIPPED,
)


def suspicion_in(asked: QueryDict) -> Suspicion:
    """The suspicion that an address says; what it can't say is left out."""
    things = {
        name: tuple(int(key) for key in asked.getlist(name) if key.isdecimal())
        for name in LINKS
        if name in asked
    }
    windows = {
        deed: Window(_moment(asked.get(f"{deed}_since")), _moment(asked.get(f"{deed}_until")))
        for deed in TIMED
    }
    return Suspicion(
        things={name: keys for name, keys in things.items() if keys},
        windows={deed: window for deed, window in windows.items() if window},
        below_upper=_distance(asked.get(BELOW_UPPER)),
        above_lower=_distance(asked.get(ABOVE_LOWER)),
    )


def query_of(suspicion: Suspicion) -> str:
    """The query string that `suspicion_in` reads."""
    return urlencode(list(pairs_of(suspicion)))


def address_of(suspicion: Suspicion) -> str:
    """The page that shows what is suspected."""
    return f"{reverse('web:suspect')}?{query_of(suspicion)}"


def pairs_of(suspicion: Suspicion) -> Iterator[tuple[str, str]]:
    """Names and values of the address, for links and for forms that carry it along."""
    for name, keys in suspicion.things.items():
        for key in keys:
            yield name, str(key)
    for deed, window in suspicion.windows.items():
        for end, moment in (("since", window.since), ("until", window.until)):
            if moment is not None:
                yield f"{deed}_{end}", moment.isoformat()
    for name, distance in ((BELOW_UPPER, suspicion.below_upper), (ABOVE_LOWER, suspicion.above_lower)):
        if distance is not None:
            yield name, plain(distance)


def _moment(text: str | None) -> datetime | None:
    """A moment with its zone, or as a browser's field has it, in the workshop's."""
    try:
        moment = parse_datetime(text or "")
    except ValueError:
        return None
    if moment is None or moment.tzinfo is not None:
        return moment
    return make_aware(moment, get_workshop().zone_info)


def _distance(text: str | None) -> Decimal | None:
    try:
        distance = Decimal(text or "")
    except InvalidOperation:
        return None
    return distance if distance.is_finite() and distance >= 0 else None
