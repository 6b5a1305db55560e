"""Turning what a line comes to into the record that its confirmation keeps."""

from shop.engineering.numbers import plain
from shop.orders.models import Resolution
from shop.orders.proposal import Proposal


def freeze(proposal: Proposal) -> Resolution:
    """The record of a proposal without refusals and open points, not saved."""
    line, rating, proved = proposal.line, proposal.rating, proposal.proof_and_burst
    assert rating.pressure is not None
    assert rating.governing is not None
    assert proved is not None
    assert proposal.overall_length is not None
    assert proposal.cut_length is not None
    return Resolution(
        line=line,
        policy=proposal.policy,
        specification_a=proposal.end_a.specification,
        specification_b=proposal.end_b.specification,
        hose=line.hose,
        fitting_a=line.fitting_a,
        fitting_b=line.fitting_b,
        quantity=line.quantity,
        overall_length=proposal.overall_length,
        overall_typed=line.overall_typed,
        measured=line.measured,
        cut_length=proposal.cut_length,
        cut_correction=proposal.cut_correction,
        length_rules=proposal.length_rules,
        angle_deg=line.bench_angle_deg,
        angle_typed=line.angle_deg,
        angle_convention=line.order.angle_convention,
        demand_typed=line.pressure_typed,
        demand_unit=line.pressure_unit,
        surge_typed=line.surge_typed,
        vacuum_typed=line.vacuum_typed,
        vacuum_unit=line.vacuum_unit,
        temperature_c=line.temperature_c,
        fluid=line.fluid,
        duty=line.duty,
        rating_value=str(rating.pressure.value),
        rating_unit=rating.pressure.unit.value,
        rating=rating.pressure.bar_to_keep,
        governing=rating.governing.words,
        proof_value=plain(proved.proof.value),
        burst_value=plain(proved.burst.value),
        bend_radius=proposal.bend_radius,
        temperature_min_c=proposal.temperature_min_c,
        temperature_max_c=proposal.temperature_max_c,
        reasons=list(proposal.reasons),
        proof_test=proposal.policy.wants_test(ordered=line.proof_test_wanted),
        sleeve=line.sleeve,
        guard=line.guard,
        caps=line.caps,
        marking=line.marking,
        cleanliness=line.cleanliness,
    )
