"""Where a thing is looked up, and where its own page is."""

from collections.abc import Mapping

from django.db.models import Model
from django.urls import reverse

from shop.assemblies.models import Assembly
from shop.catalogue.models import ChartIssue, CrimpSpecification, Ferrule, Fitting, FittingSeries, Hose
from shop.core.labels import Labelled
from shop.orders.models import Customer, OrderLine
from shop.tooling.models import Arrangement
from shop.trace.links import LINKS
from shop.web.scan.destinations import page_of

# The kinds of things that may have touched assemblies, as addresses name them.
KINDS: Mapping[str, type[Model]] = {str(link.model._meta.model_name): link.model for link in LINKS.values()}
# Pages of what carries no code; each knows its thing by its key.
PAGES: Mapping[type[Model], str] = {
    Arrangement: "web:arrangements_item",
    ChartIssue: "web:issued_chart",
    CrimpSpecification: "web:issued_line",
    Customer: "web:customers_item",
    Ferrule: "web:ferrules_item",
    Fitting: "web:fittings_item",
    FittingSeries: "web:series_item",
    Hose: "web:hoses_item",
}


def kind_of(thing: Model) -> str:
    """What it is, in words."""
    return str(thing._meta.verbose_name)


def lookup_address(thing: Model) -> str:
    """Where it is shown what the thing touched, or what touched the assembly; empty if nothing can."""
    if isinstance(thing, Assembly):
        return reverse("web:genealogy_of", args=[thing.code])
    name = str(thing._meta.model_name)
    return reverse("web:looked_up", args=[name, thing.pk]) if name in KINDS else ""


def own_page(thing: Model) -> str:
    """The page that tells about the thing itself; empty if it has none."""
    if isinstance(thing, Labelled):
        return page_of(thing)
    if isinstance(thing, OrderLine):
        return page_of(thing.order)
    name = PAGES.get(type(thing))
    return "" if name is None else reverse(name, args=[thing.pk])
