"""Customers, orders and their lines, up to the confirmation that freezes a line."""

from decimal import Decimal

from django.db import transaction

from shop.core.refusals import Doubt
from shop.engineering.lengths import trim
from shop.engineering.orientation import AngleConvention
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.services import save_noted, write_record
from shop.orders import verbs
from shop.orders.differences import Difference, differences, is_the_same
from shop.orders.freezing import freeze
from shop.orders.models import Customer, Order, OrderLine, Resolution
from shop.orders.proposal import Proposal
from shop.orders.refusals import (
    AngleConventionFixed,
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
    """Open an order, or change its head; a new one gets the next number.

    Raises `AngleConventionFixed` for another way of counting angles once a line has one: it would turn
    the line's angle into another.
    """
    require(actor, Permission.WRITE_ORDERS)
    if order._state.adding:
        order.number = next_number(Order.objects.all(), "number")
    else:
        there = Order.objects.select_for_update(no_key=True).get(pk=order.pk)
        if there.angle_convention != order.angle_convention and has_angles(there):
            convention = AngleConvention(there.angle_convention).words
            raise AngleConventionFixed(order=there, convention=convention)
    return save_noted(actor=actor, verb=verbs.ORDER_SAVED, instance=order)


@transaction.atomic
def save_line(*, actor: User, line: OrderLine, sure: frozenset[str] = frozenset()) -> Proposal:
    """Write a line of an order, or change one that isn't confirmed yet; returns what it comes to.

    If it was measured from tip to tip, `overall_typed` has its unit in it, and `overall_length` becomes
    the length between the datums.
    A line with open points is kept as a quotation. Raises the first refusal of `resolve_line`, a
    `Doubt` whose code is not in `sure`, `LineIsBeingMade`, `LineCancelled`.
    """
    require(actor, Permission.WRITE_ORDERS)
    # As it is now: what its angles mean doesn't change while the line is written.
    line.order = Order.objects.select_for_update(no_key=True).get(pk=line.order_id)
    if line._state.adding:
        line.position = line.order.lines.count() + 1
    else:
        _lock_open(line)
    proposal = resolve_line(line, today())
    for refusal in proposal.refusals:
        raise refusal
    assert proposal.overall_length is not None, "without one the line was refused"
    line.overall_length = proposal.overall_length
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
    if before is not None and is_the_same(before, resolution):
        raise NothingChanged(line=line)
    return write_record(actor=actor, verb=verbs.LINE_CONFIRMED, record=resolution, subject=line)


def has_angles(order: Order) -> bool:
    """Whether a line of the order has an angle, cancelled ones too: then the way it is counted stays."""
    return order.lines.exclude(angle_deg=None).exists()


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
    peak = line.demand.peak
    if peak.bar > DOUBTED_PRESSURE.bar:
        doubts.append(VeryHighPressure(demand=peak))
    if line.quantity > DOUBTED_QUANTITY:
        doubts.append(VeryMany(quantity=line.quantity))
    return doubts
