"""What an order line comes to: chart lines, tooling, cut length, rating, and every reason against it."""

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import Any

from shop.catalogue.models import Fitting, Hose
from shop.engineering.cut_length import cut_length_mm
from shop.engineering.rating import rate_assembly
from shop.orders.checks import find_notes, find_open_points, find_refusals
from shop.orders.models import OrderLine
from shop.orders.parts import rated_parts
from shop.orders.proposal import EndProposal, Proposal
from shop.orders.specifications import find_specification
from shop.orders.tolerance import finished_length
from shop.policy.services import policy_on

__all__ = ["EndProposal", "Proposal", "resolve_line"]


def resolve_line(line: OrderLine, day: datetime.date) -> Proposal:
    """Work out what the line comes to; the line need not be saved. Its faults are in the answer."""
    policy = policy_on(day)
    parts = rated_parts(line)
    proposal = Proposal(
        line=line,
        day=day,
        policy=policy,
        end_a=_resolve_end("A", line.hose, line.fitting_a, day),
        end_b=_resolve_end("B", line.hose, line.fitting_b, day),
        parts=parts,
        rating=rate_assembly(parts, line.temperature_c),
        cut_length=_cut_length(line),
        finished_length=finished_length(line.overall_length, line.hose.dash, policy),
        bend_radius=max(_figures(line.hose, "bend_radius")),
        temperature_min_c=max(_figures(line.hose, "temperature_min_c")),
        temperature_max_c=min(_figures(line.hose, "temperature_max_c")),
    )
    return replace(
        proposal,
        refusals=find_refusals(proposal),
        open_points=find_open_points(proposal),
        notes=find_notes(proposal),
    )


def _resolve_end(end: str, hose: Hose, fitting: Fitting, day: datetime.date) -> EndProposal:
    specification, tooling = find_specification(hose, fitting, day)
    return EndProposal(end, fitting, specification, tooling)


def _figures(hose: Hose, column: str) -> list[Any]:
    """The hose's own figure and its standard's, whichever there are."""
    figures = [getattr(hose, column), getattr(hose.standard, column, None)]
    return [figure for figure in figures if figure is not None]


def _cut_length(line: OrderLine) -> Decimal | None:
    allowances = line.fitting_a.cut_off + line.fitting_b.cut_off
    if line.overall_length <= allowances:
        return None
    return cut_length_mm(line.overall_length, line.fitting_a.cut_off, line.fitting_b.cut_off)
