"""Customers, orders and their lines, up to the confirmation that freezes a line."""

from decimal import Decimal

from django.db import transaction

from shop.core.refusals import Doubt
from shop.engineering.lengths import trim
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.services import save_noted, write_record
from shop.orders import verbs
from shop.orders.differences import Difference, differences
from shop.orders.freezing import freeze
from shop.orders.models import Customer, Order, OrderLine, Resolution
from shop.orders.proposal import Proposal
from shop.orders.refusals import (
    LineCancelled,
    LineIsBeingMade,
    NothingChanged,
    VeryHighPressure,
    VeryLongAssembly,
    VeryMany,
)
from shop.orders.resolution import resolve_line
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.numbering import next_number
from shop.policy.services import today

DOUBTED_LENGTH_MM = Decimal(50_000)  # common practice, no source: longer assemblies are rare
DOUBTED_QUANTITY = 200  # common practice, no source: each is planned as one hose to be made
DOUBTED_PRESSURE = Pressure(Decimal(700), PressureUnit.BAR)  # above the highest class of ISO 18752, 560 bar


@transaction.atomic
def save_customer(*, actor: User, customer: Customer) -> Customer:
    """Add or change a customer."""
    require(actor, Permission.KEEP_CUSTOMERS)
    return save_noted(actor=actor, verb=verbs.CUSTOMER_SAVED, instance=customer)


@transaction.atomic
def open_order(*, actor: User, customer: Customer, order: Order) -> Order:
    """Open an order for a customer who may be new: then the customer's entry is written with it."""
    if customer._state.adding:
        save_customer(actor=actor, customer=customer)
    order.customer = customer
    return save_order(actor=actor, order=order)


@transaction.atomic
def save_order(*, actor: User, order: Order) -> Order:
    """Open an order, or change its head; a new one gets the next number."""
    require(actor, Permission.WRITE_ORDERS)
    if order._state.adding:
        order.number = next_number(Order.objects.all(), "number")
    return save_noted(actor=actor, verb=verbs.ORDER_SAVED, instance=order)


@transaction.atomic
def save_line(*, actor: User, line: OrderLine, sure: frozenset[str] = frozenset()) -> Proposal:
    """Write a line of an order, or change one that isn't confirmed yet; returns what it comes to.

    A line with open points is kept as a quotation. Raises the first refusal of `resolve_line`, a
    `Doubt` whose code is not in `sure`, `LineIsBeingMade`, `LineCancelled`.
    """
    require(actor, Permission.WRITE_ORDERS)
    if line._state.adding:
        Order.objects.select_for_update(no_key=True).get(pk=line.order_id)
        line.position = line.order.lines.count() + 1
    else:
        _lock_open(line)
    proposal = resolve_line(line, today())
    for refusal in proposal.refusals:
        raise refusal
    for doubt in _doubts(line):
        if doubt.code not in sure:
            raise doubt
    save_noted(actor=actor, verb=verbs.LINE_SAVED, instance=line)
    return proposal


@transaction.atomic
def cancel_line(*, actor: User, line: OrderLine) -> OrderLine:
    """Cancel a line that isn't confirmed yet."""
    require(actor, Permission.WRITE_ORDERS)
    _lock_open(line)
    line.cancelled = True
    return save_noted(actor=actor, verb=verbs.LINE_CANCELLED, instance=line)


@transaction.atomic
def confirm_line(*, actor: User, line: OrderLine) -> Resolution:
    """Freeze what the line comes to today, with its charts and its policy.

    A line that was confirmed before may be confirmed again once a chart or the policy has moved on
    (rule 1). Raises the first refusal or open point, `NothingChanged`, `LineCancelled`.
    """
    require(actor, Permission.CONFIRM_ORDERS)
    line = OrderLine.objects.select_for_update(no_key=True).get(pk=line.pk)
    if line.cancelled:
        raise LineCancelled(line=line)
    proposal = resolve_line(line, today())
    for refusal in (*proposal.refusals, *proposal.open_points):
        raise refusal
    resolution = freeze(proposal)
    before = line.resolution
    if before is not None and _is_the_same(before, resolution):
        raise NothingChanged(line=line)
    return write_record(actor=actor, verb=verbs.LINE_CONFIRMED, record=resolution, subject=line)


def find_differences(line: OrderLine, proposal: Proposal) -> list[Difference]:
    """What a confirmed line comes to now and did not when it was confirmed; empty for a quotation.

    Empty as well while it could not be confirmed again: then its refusals and open points count.
    """
    confirmed = line.resolution
    if confirmed is None or not proposal.can_be_confirmed:
        return []
    return differences(confirmed, freeze(proposal))


def _lock_open(line: OrderLine) -> None:
    """Keep the line from being confirmed meanwhile; refuse it if it is cancelled or confirmed already."""
    there = OrderLine.objects.select_for_update(no_key=True).get(pk=line.pk)
    if there.cancelled:
        raise LineCancelled(line=line)
    if there.resolution is not None:
        raise LineIsBeingMade(line=line)


def _doubts(line: OrderLine) -> list[Doubt]:
    doubts: list[Doubt] = []
    if line.overall_length > DOUBTED_LENGTH_MM:
        metres = trim(line.overall_length / 1000)
        doubts.append(VeryLongAssembly(overall=line.overall_length, metres=metres))
    if line.highest_pressure.bar > DOUBTED_PRESSURE.bar:
        doubts.append(VeryHighPressure(demand=line.highest_pressure))
    if line.quantity > DOUBTED_QUANTITY:
        doubts.append(VeryMany(quantity=line.quantity))
    return doubts


def _is_the_same(before: Resolution, now: Resolution) -> bool:
    columns = Resolution.FIELDS[Resolution.newest_version()]
    return all(getattr(before, column) == getattr(now, column) for column in columns)
