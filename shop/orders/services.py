"""Customers, orders and their lines, up to the confirmation that freezes a line."""

from decimal import Decimal

from django.db import transaction

from shop.core.refusals import Doubt
from shop.engineering.lengths import trim
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.services import save_noted, write_record
from shop.orders import verbs
from shop.orders.models import Customer, Order, OrderLine, Resolution
from shop.orders.refusals import (
    LineCancelled,
    LineIsBeingMade,
    NothingChanged,
    VeryHighPressure,
    VeryLongAssembly,
)
from shop.orders.resolution import Proposal, resolve_line
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.numbering import next_number
from shop.policy.services import today

DOUBTED_LENGTH_MM = Decimal(50_000)  # common practice, no source: longer assemblies are rare
DOUBTED_PRESSURE = Pressure(Decimal(700), PressureUnit.BAR)  # above the highest class of ISO 18752, 560 bar


@transaction.atomic
def save_customer(*, actor: User, customer: Customer) -> Customer:
    """Add or change a customer."""
    require(actor, Permission.KEEP_CUSTOMERS)
    return save_noted(actor=actor, verb=verbs.CUSTOMER_SAVED, instance=customer)


@transaction.atomic
def save_order(*, actor: User, order: Order) -> Order:
    """Open an order, or change its head; a new one gets the next number."""
    require(actor, Permission.WRITE_ORDERS)
    if order.pk is None:
        order.number = next_number(Order.objects.all(), "number")
    return save_noted(actor=actor, verb=verbs.ORDER_SAVED, instance=order)


@transaction.atomic
def save_line(*, actor: User, line: OrderLine, sure: frozenset[str] = frozenset()) -> Proposal:
    """Write a line of an order, or change one that isn't confirmed yet; returns what it comes to.

    A line with open points is kept as a quotation. Raises the first refusal of `resolve_line`, a
    `Doubt` whose code is not in `sure`, `LineIsBeingMade`, `LineCancelled`.
    """
    require(actor, Permission.WRITE_ORDERS)
    if line.pk is None:
        Order.objects.select_for_update(no_key=True).get(pk=line.order_id)
        line.position = line.order.lines.count() + 1
    else:
        _refuse_settled(line)
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
    _refuse_settled(line)
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
    resolution = _freeze(proposal)
    before = line.resolution
    if before is not None and not differences(before, proposal):
        raise NothingChanged(line=line)
    return write_record(actor=actor, verb=verbs.LINE_CONFIRMED, record=resolution, subject=line)


def differences(confirmed: Resolution, proposal: Proposal) -> list[tuple[str, str, str]]:
    """What the line comes to now that it did not when it was confirmed: (what, then, now)."""
    now = _freeze(proposal)
    return [
        (
            str(Resolution._meta.get_field(column).verbose_name),
            str(getattr(confirmed, column)),
            str(getattr(now, column)),
        )
        for column in Resolution.FIELDS[Resolution.newest_version()]
        if getattr(confirmed, column) != getattr(now, column)
    ]


def _freeze(proposal: Proposal) -> Resolution:
    line, rating, proof = proposal.line, proposal.rating, proposal.proof
    assert rating.pressure is not None
    assert rating.governing is not None
    assert proof is not None
    return Resolution(
        line=line,
        policy=proposal.policy,
        specification_a=proposal.end_a.specification,
        specification_b=proposal.end_b.specification,
        hose=line.hose,
        fitting_a=line.fitting_a,
        fitting_b=line.fitting_b,
        quantity=line.quantity,
        overall_length=line.overall_length,
        overall_typed=line.overall_typed,
        cut_length=proposal.cut_length,
        angle_deg=line.angle_deg,
        demand_typed=line.pressure_typed,
        demand_unit=line.pressure_unit,
        temperature_c=line.temperature_c,
        fluid=line.fluid,
        duty=line.duty,
        rating_value=str(rating.pressure.value),
        rating_unit=rating.pressure.unit.value,
        rating=rating.pressure.bar_to_keep,
        governing=rating.governing.words,
        proof_value=str(trim(proof.value)),
        bend_radius=proposal.bend_radius,
        temperature_min_c=proposal.temperature_min_c,
        temperature_max_c=proposal.temperature_max_c,
        reasons=list(rating.reasons),
    )


def _refuse_settled(line: OrderLine) -> None:
    if line.cancelled:
        raise LineCancelled(line=line)
    if line.resolution is not None:
        raise LineIsBeingMade(line=line)


def _doubts(line: OrderLine) -> list[Doubt]:
    doubts: list[Doubt] = []
    if line.overall_length > DOUBTED_LENGTH_MM:
        metres = trim(line.overall_length / 1000)
        doubts.append(VeryLongAssembly(overall=line.overall_length, metres=metres))
    if line.highest_pressure.bar > DOUBTED_PRESSURE.bar:
        doubts.append(VeryHighPressure(demand=line.highest_pressure))
    return doubts
