"""The lines of an order as its page shows them."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch
from django.utils.safestring import SafeString

from shop.core.refusals import Refusal
from shop.orders.drawing import drawing_of_confirmed_line, drawing_of_line, drawing_of_proposal
from shop.orders.models import Order, OrderLine, Resolution
from shop.orders.resolution import resolve_line
from shop.policy.services import today
from shop.web.counter.outcome import drawn, workshop_unit
from shop.web.counter.queries import stopped_lines


@dataclass(frozen=True)
class LineOnOrder:
    """One line: its thumb, where it stands (code and words of the part `state.html`), what is open."""

    line: OrderLine
    drawing: SafeString
    state: str
    words: str
    open_points: Sequence[Refusal]


def lines_of(order: Order) -> list[LineOnOrder]:
    """The lines of the order. What is open is worked out for quotations only."""
    lines = order.lines.select_related(
        "hose__standard",
        "fitting_a__series",
        "fitting_a__connection",
        "fitting_a__seal",
        "fitting_b__series",
        "fitting_b__connection",
        "fitting_b__seal",
        "fluid",
    ).prefetch_related(Prefetch("resolutions", Resolution.objects.order_by("-entry"), to_attr="confirmed_as"))
    stopped = set(stopped_lines(today()).filter(order=order).values_list("pk", flat=True))
    return [_on_order(line, stopped) for line in lines]


def _on_order(line: OrderLine, stopped: set[int]) -> LineOnOrder:
    unit = workshop_unit()
    if line.cancelled:
        return LineOnOrder(line, drawn(drawing_of_line(line, unit)), "cancelled", "cancelled", ())
    confirmed_as: list[Resolution] = line.confirmed_as  # type: ignore[attr-defined]  # prefetched by lines_of
    if confirmed_as:
        drawing = drawn(drawing_of_confirmed_line(line, confirmed_as[0], unit))
        if line.pk in stopped:
            return LineOnOrder(line, drawing, "held", "stopped: its chart has moved on", ())
        return LineOnOrder(line, drawing, "confirmed", "confirmed", ())
    proposal = resolve_line(line, today())
    drawing = drawn(drawing_of_proposal(proposal, unit))
    words = "quotation: can be confirmed" if proposal.can_be_confirmed else "quotation: see what is open"
    return LineOnOrder(line, drawing, "quotation", words, (*proposal.refusals, *proposal.open_points))
