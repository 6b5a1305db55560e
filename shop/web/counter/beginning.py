"""What a new workshop's book still needs before its first hose, in the order in which it is needed."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Model
from django.urls import reverse

from shop.catalogue.models import ChartIssue, DieType, Ferrule, Fitting, FittingSeries, Fluid, Hose
from shop.orders.models import Resolution
from shop.people.models import User
from shop.policy.services import policy_in_force, today
from shop.standards.models import Connection
from shop.stock.models import Lot, Piece
from shop.tooling.models import Arrangement, Calibration, Crimper, DieSet
from shop.web.registers.rated import confirmed


@dataclass(frozen=True)
class Need:
    """One thing that has to be in the book, where it is written, and whether it is there."""

    what: str
    why: str
    page: str
    is_there: bool

    @property
    def url(self) -> str:
        """The page on which it is written."""
        return reverse(f"web:{self.page}")


def first_needs() -> list[Need]:
    """What is needed and what is there; empty once a line has been confirmed, or when nothing is lacking."""
    if Resolution.objects.exists():
        return []
    needs = list(_needs())
    return [] if all(need.is_there for need in needs) else needs


def _needs() -> Iterator[Need]:
    alone = User.objects.filter(is_active=True).count() < 2 and policy_in_force().needs_second_person
    yield Need(
        "A second person",
        "checks charts and assemblies; a workshop of one sets its policy",
        "people",
        not alone,
    )
    yield Need("Connections", "the published tables have the usual ones", "reference", _any(Connection))
    yield Need("Fluids", "each hose says which it is approved for", "fluids", _any(Fluid))
    yield Need("Hoses", "with the maker's own rating", "hoses", _any(Hose))
    yield Need("A fitting series", "fittings and ferrules made to go together", "series", _any(FittingSeries))
    yield Need("Fittings", "with their cut-off and insertion depth", "fittings", _any(Fitting))
    if not Fitting.objects.filter(is_one_piece=True).exists():
        yield Need("Ferrules", "each for its hose", "ferrules", _any(Ferrule))
    rated = all(confirmed(parts).exists() for parts in (Hose.objects.all(), Fitting.objects.all()))
    yield Need("Confirmed ratings", "found in their documents by a named person", "quality", rated)
    yield Need("Die types", "as the chart names them", "die_types", _any(DieType))
    yield Need("A crimp chart in force", "typed, checked and issued", "charts", _issued())
    yield Need("A crimper", "with its kind of stop", "crimpers", _any(Crimper))
    yield Need("Die sets", "each with its number", "die_sets", _any(DieSet))
    yield Need("An arrangement", "what goes into the crimper together", "arrangements", _any(Arrangement))
    yield Need("A caliper and a tape", "with a calibration in force", "gauges", _any(Calibration))
    yield Need("Hose in the stores", "received, labelled", "pieces", _any(Piece))
    parts = Lot.objects.filter(hose=None)
    yield Need("Fittings and ferrules in the stores", "received, labelled", "lots", parts.exists())


def _any(model: type[Model]) -> bool:
    return model._default_manager.exists()


def _issued() -> bool:
    return ChartIssue.objects.in_force(today()).exists()
