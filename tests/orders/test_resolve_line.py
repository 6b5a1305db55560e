"""A line comes to a rating, a cut length and tooling, or to sentences that say what to do."""

from decimal import Decimal

import pytest

from shop.orders import refusals
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, save_line
from shop.policy.services import today
from tests import factories
from tests.world import World


def test_a_line_comes_to_its_chart_line_cut_length_rating_and_tooling(world: World) -> None:
    proposal = resolve_line(world.line(), today())
    assert proposal.can_be_confirmed
    assert proposal.cut_length == Decimal(880)
    assert str(proposal.rating.pressure) == "275 bar"
    assert proposal.end_a.specification == world.chart_issue.specifications.get()
    assert proposal.end_a.tooling is not None
    assert proposal.end_a.tooling.lacking == ()
    assert str(proposal.proof) == "550 bar"


def test_confirming_freezes_the_line_with_its_policy(world: World) -> None:
    line = world.written_line()
    resolution = confirm_line(actor=world.counter, line=line)
    assert resolution.policy == world.policy
    assert resolution.cut_length == Decimal(880)
    assert resolution.rating_value == "275"


def test_2501_psi_is_refused_on_a_row_printed_2500_psi_and_2500_is_taken(world: World) -> None:
    weak = factories.HoseFactory(printed_value="2500", printed_unit="psi", maker=world.hose.maker)
    save_line(actor=world.counter, line=world.line(hose=weak, pressure_typed="2500", pressure_unit="psi"))
    with pytest.raises(refusals.PressureAboveRating) as refused:
        save_line(actor=world.counter, line=world.line(hose=weak, pressure_typed="2501", pressure_unit="psi"))
    assert refused.value.what.startswith("2501 psi with surges is above the rating of 2500 psi")


def test_metres_typed_where_millimetres_are_meant_are_asked_about(world: World) -> None:
    with pytest.raises(refusals.LengthLooksLikeMetres) as refused:
        save_line(
            actor=world.counter, line=world.line(overall_length=Decimal("0.953"), overall_typed="0.953")
        )
    assert refused.value.what_to_do == "If metres are meant, type 0.953 m: that is 953 mm."
