"""What is open in the reference: ratings in use that nobody has confirmed."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import QuerySet

from shop.catalogue.models import Fitting, Hose
from shop.standards.models import Connection, HoseRating
from shop.web.reference import registers
from shop.web.registers.filters import UNCONFIRMED, UNRATED
from shop.web.registers.places import Open
from shop.web.registers.rated import unconfirmed
from shop.web.registers.register import Register


def _in_use() -> Mapping[str, QuerySet[Any]]:
    """The parts that count: of the published tables only the rows that a hose or a fitting refers to."""
    return {
        registers.HOSES.slug: Hose.objects.all(),
        registers.FITTINGS.slug: Fitting.objects.all(),
        registers.HOSE_RATINGS.slug: HoseRating.objects.filter(hoses__isnull=False).distinct(),
        registers.CONNECTIONS.slug: Connection.objects.filter(fittings__isnull=False).distinct(),
    }


def waiting(register: Register) -> Sequence[Open]:
    """What is open in one register."""
    parts = _in_use().get(register.slug)
    if parts is None:
        return ()
    return (
        Open(
            unconfirmed(parts).count(),
            "in use with a rating that nobody has confirmed",
            f"{register.list_url}?rating={UNCONFIRMED}",
        ),
        Open(
            parts.filter(printed_value="").count(),
            "in use without any rating",
            f"{register.list_url}?rating={UNRATED}",
        ),
    )
