"""From what a person types or scans to the things of one kind that it means."""

from collections.abc import Mapping

from django.db.models import Model

from shop.catalogue.models import ChartIssue, Ferrule, Fitting, FittingSeries, Hose
from shop.core.labels import Labelled
from shop.orders.models import Customer, Order
from shop.people.models import User
from shop.stock.models import Lot
from shop.tooling.models import Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.links import Link
from shop.trace.lookup import find_labelled
from shop.trace.refusals import CodeMistyped, CodeUnknown, NothingByThatName

# What a workshop calls them by, beside the codes on their labels.
NAMED_BY: Mapping[type[Model], str] = {
    ChartIssue: "chart__number",
    Crimper: "number",
    Customer: "number",
    DieSet: "number",
    Ferrule: "designation",
    Fitting: "designation",
    FittingSeries: "name",
    Gauge: "number",
    Hose: "designation",
    Lot: "batch",
    Order: "number",
    PressureGauge: "number",
    StopPart: "number",
    User: "number",
}


def things_called(link: Link, text: str) -> list[Model]:
    """The things at the end of the link that the text means: a code, or the workshop's own name.

    Several may have the same name: lots of one batch, sizes of one hose. Raises `NothingByThatName`.
    """
    try:
        labelled = find_labelled(text)
    except (CodeMistyped, CodeUnknown):
        labelled = None
    if isinstance(labelled, link.model):
        return [labelled]
    by = NAMED_BY.get(link.model)
    found = _called(link.model, by, text.strip()) if by else []
    if not found:
        raise NothingByThatName(text=text.strip(), kind=link.model._meta.verbose_name)
    return found


def _called(model: type[Model], by: str, text: str) -> list[Model]:
    field = model._meta.get_field(by.split("__")[0])
    if field.get_internal_type().startswith("Positive"):
        return list(model._default_manager.filter((by, int(text)))) if text.isdecimal() else []
    return list(model._default_manager.filter((f"{by}__iexact", text)).order_by("pk")) if text else []


def is_named(model: type[Model]) -> bool:
    """Whether things of that kind can be named by typing or scanning."""
    return model in NAMED_BY or issubclass(model, Labelled)
