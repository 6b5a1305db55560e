"""From what a person types or scans to the things of one kind that it means."""

from collections.abc import Mapping
from functools import reduce
from operator import or_

from django.db.models import Model, Q

from shop.assemblies.models import Assembly, Run, SetUp
from shop.catalogue.models import ChartIssue, CrimpSpecification, Ferrule, Fitting, FittingSeries, Hose
from shop.core.labels import Labelled
from shop.orders.models import Customer, Order, OrderLine
from shop.people.models import User
from shop.stock.models import Lot
from shop.tooling.models import Arrangement, Crimper, DieSet, Gauge, PressureGauge, StopPart
from shop.trace.links import Link
from shop.trace.lookup import find_labelled
from shop.trace.refusals import CodeMistyped, CodeUnknown, NothingByThatName, NothingCalledThat

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
# What else people know them by, when they look for anything at all.
ALSO_CALLED: Mapping[type[Model], tuple[str, ...]] = {
    Assembly: ("serial",),
    CrimpSpecification: ("chart_issue__chart__number",),
    Crimper: ("mark",),
    Customer: ("name",),
    DieSet: ("mark",),
    Gauge: ("mark",),
    Order: ("reference",),
    PressureGauge: ("mark",),
    StopPart: ("mark",),
    User: ("name",),
}
# What the words for a thing are made of beyond its own row.
NAMED_WITH: Mapping[type[Model], tuple[str, ...]] = {
    Arrangement: ("crimper", "die_type", "stop_type"),
    ChartIssue: ("chart",),
    CrimpSpecification: ("chart_issue__chart", "hose", "series"),
    Ferrule: ("series",),
    Fitting: ("series",),
    Lot: ("hose", "fitting__series", "ferrule__series"),
    Order: ("customer",),
    OrderLine: ("order",),
    Run: ("line__order",),
    SetUp: ("run__line__order", "crimper", "die_set"),
}
MOST_MEANT = 25  # of one kind: who has so many to choose from says more


def things_meant(text: str) -> list[Model]:
    """Whatever the text may mean: a code, or anything that goes by that number, name or reference.

    At most `MOST_MEANT` of each kind. Raises `NothingCalledThat`.
    """
    text = text.strip()
    try:
        return [find_labelled(text)]
    except (CodeMistyped, CodeUnknown):
        pass
    found: list[Model] = []
    for model in sorted({*NAMED_BY, *ALSO_CALLED}, key=lambda model: str(model._meta.verbose_name)):
        columns = (*((NAMED_BY[model],) if model in NAMED_BY else ()), *ALSO_CALLED.get(model, ()))
        conditions = [condition for column in columns if (condition := _is_called(model, column, text))]
        if conditions:
            rows = model._default_manager.select_related(*NAMED_WITH.get(model, ()))
            found += rows.filter(reduce(or_, conditions)).order_by("-pk")[:MOST_MEANT]
    if not found:
        raise NothingCalledThat(text=text)
    return found


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
    condition = _is_called(model, by, text)
    return [] if condition is None else list(model._default_manager.filter(condition).order_by("pk"))


def _is_called(model: type[Model], by: str, text: str) -> Q | None:
    """What is true of rows that go by that text; None if none can."""
    field = model._meta.get_field(by.split("__")[0])
    if field.get_internal_type().startswith("Positive"):
        return Q((by, int(text))) if text.isdecimal() else None
    return Q((f"{by}__iexact", text)) if text else None


def is_named(model: type[Model]) -> bool:
    """Whether things of that kind can be named by typing or scanning."""
    return model in NAMED_BY or issubclass(model, Labelled)
