"""What an order line comes to: chart lines, tooling, cut length, rating, and every reason against it."""

import datetime
from dataclasses import replace
from decimal import Decimal

from django.db.models import prefetch_related_objects

from shop.catalogue.models import Fitting, Hose
from shop.core.prepared import Prepared
from shop.engineering.errors import OutOfRange
from shop.engineering.proof_burst import ProofAndBurst
from shop.engineering.rating import AssemblyRating, rate_assembly
from shop.orders.checks import find_notes, find_open_points, find_refusals
from shop.orders.lengths import cut_correction_for, cut_length, measured_length
from shop.orders.models import OrderLine
from shop.orders.parts import hose_reasons, rated_parts
from shop.orders.proposal import EndProposal, Proposal
from shop.orders.proving import proof_and_burst_of
from shop.orders.specifications import choose_specification, find_specifications
from shop.orders.temperatures import temperature_limits
from shop.orders.tolerance import finished_length, length_rules_for
from shop.policy.models import Policy
from shop.policy.services import policy_on

__all__ = ["EndProposal", "Proposal", "read_line", "resolve_line", "resolve_without_notes"]


WHOLE = (
    "order__customer",
    "hose__standard",
    "fluid",
    *(f"fitting_{end}__{part}" for end in "ab" for part in ("series", "connection", "seal")),
)
CONFIRMED = (
    "hose__confirmations",
    "hose__rating_choices",
    "hose__standard__confirmations",
    "fitting_a__confirmations",
    "fitting_a__connection__confirmations",
    "fitting_b__confirmations",
    "fitting_b__connection__confirmations",
)
_LINES = Prepared(lambda keys: OrderLine.objects.filter(pk__in=keys).select_related(*WHOLE))


def read_line(pk: int) -> OrderLine:
    """The line as it is in the database now, with all that `resolve_line` asks of it, in few queries."""
    [line] = _LINES.ask([pk])
    if line.fitting_b == line.fitting_a:
        line.fitting_b = line.fitting_a  # one and the same, so nothing is read twice
    prefetch_related_objects([line], *CONFIRMED)
    return line


def resolve_line(line: OrderLine, day: datetime.date) -> Proposal:
    """Work out what the line comes to; the line need not be saved. Its faults are in the answer.

    Raises `NotUnderstood` or `OutOfRange` for a length from tip to tip whose text is no length.
    """
    proposal = resolve_without_notes(line, day)
    return replace(proposal, notes=find_notes(proposal))


def resolve_without_notes(line: OrderLine, day: datetime.date) -> Proposal:
    """What `resolve_line` works out, for who only asks what stands against the line."""
    policy = policy_on(day)
    parts = rated_parts(line)
    rating = rate_assembly(parts, line.temperature_c)
    proved, unprovable = _proof(rating, line.hose, policy)
    measured = measured_length(line)
    overall = measured.between_datums_mm
    correction = cut_correction_for(line.hose, line.fitting_a, line.fitting_b)
    rules = length_rules_for(line.order.customer, policy)
    end_a = _resolve_end("A", line.hose, line.fitting_a, day)
    is_alike = line.fitting_b_id == line.fitting_a_id
    proposal = Proposal(
        line=line,
        day=day,
        policy=policy,
        length_rules=rules,
        end_a=end_a,
        end_b=replace(end_a, end="B") if is_alike else _resolve_end("B", line.hose, line.fitting_b, day),
        parts=parts,
        rating=rating,
        reasons=(*rating.reasons, *hose_reasons(line.hose), *(proved.reasons if proved else ())),
        proof_and_burst=proved,
        unprovable=unprovable,
        measured=measured,
        cut_correction=correction,
        cut_length=None if overall is None else cut_length(line, overall, correction),
        finished_length=None if overall is None else finished_length(overall, line.hose.dash, rules),
        bend_radius=_bend_radius(line.hose),
        temperatures=temperature_limits(line),
    )
    return replace(
        proposal,
        refusals=find_refusals(proposal),
        open_points=find_open_points(proposal),
    )


def _resolve_end(end: str, hose: Hose, fitting: Fitting, day: datetime.date) -> EndProposal:
    prescribed = find_specifications(hose, fitting, day)
    specification, tooling = choose_specification(prescribed)
    return EndProposal(end, fitting, specification, tooling, tuple(prescribed))


def _proof(rating: AssemblyRating, hose: Hose, policy: Policy) -> tuple[ProofAndBurst | None, str]:
    """Proof and burst, or why figures that somebody typed make none."""
    try:
        return proof_and_burst_of(rating, hose, policy), ""
    except OutOfRange as error:
        return None, str(error)


def _bend_radius(hose: Hose) -> Decimal:
    """The hose's own figure or its standard's, whichever is larger."""
    published = None if hose.standard is None else hose.standard.bend_radius
    own: Decimal = hose.bend_radius
    return own if published is None else max(own, published)
