"""The maker's rating and the published one, what an owner decided, and proof and burst that follow."""

from decimal import Decimal

import pytest

from shop.catalogue.models import Governs
from shop.engineering.proof_burst import NOT_A_LICENCE
from shop.orders import refusals
from shop.orders.models import OrderLine
from shop.orders.proposal import Proposal
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, find_differences, save_line
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from tests import factories
from tests.orders.records import choose, published
from tests.world import World


def resolved(world: World, **changes: object) -> Proposal:
    return resolve_line(world.line(**changes), today())


def test_two_different_ratings_of_a_hose_are_told_apart_always(world: World) -> None:
    rating = published(world)
    proposal = resolved(world, pressure_typed="240")
    assert str(proposal.rating.pressure) == "25 MPa"
    said = (
        "The maker prints 275 bar (3988 psi) for the hose; published is 25 MPa (250 bar, 3625 psi) "
        f"({rating}). The lower governs."
    )
    assert said in proposal.reasons
    assert said in confirm_line(actor=world.counter, line=world.written_line(pressure_typed="240")).reasons


def test_the_same_rating_twice_needs_no_word(world: World) -> None:
    published(world, printed_value="27.5")  # MPa: 275 bar exactly
    assert not any("published" in reason for reason in resolved(world).reasons)


def test_the_makers_rating_counts_where_an_owner_decided_so(world: World) -> None:
    rating = published(world)
    choose(world, Governs.MAKER)
    proposal = resolved(world, pressure_typed="275")
    assert proposal.can_be_confirmed
    assert str(proposal.rating.pressure) == "275 bar"
    assert (
        "The maker's own 275 bar (3988 psi) governs over the published 25 MPa (250 bar, 3625 psi) "
        f"({rating}): decided by 1 on {today():%Y-%m-%d}."
    ) in proposal.reasons
    assert str(rating) not in [part.name for part in proposal.parts]


def test_the_lower_governs_by_decision_as_well(world: World) -> None:
    published(world)
    choose(world, Governs.LOWER)
    proposal = resolved(world, pressure_typed="240")
    assert str(proposal.rating.pressure) == "25 MPa"
    assert any(
        reason.endswith(f"The lower governs: decided by 1 on {today():%Y-%m-%d}.")
        for reason in proposal.reasons
    )


def test_the_decision_lifts_no_other_part(world: World) -> None:
    published(world)
    choose(world, Governs.MAKER)
    weak = factories.FittingFactory(
        series=world.series, connection=world.fitting.connection, printed_value="260", printed_unit="bar"
    )
    world.confirm(weak)
    assert str(resolved(world, fitting_b=weak, pressure_typed="240").rating.pressure) == "260 bar"


def test_the_standards_temperatures_count_whatever_was_decided(world: World) -> None:
    rating = published(world, temperature_max_c=90)
    choose(world, Governs.MAKER)
    [refusal] = resolved(world, temperature_c=95).refusals
    assert isinstance(refusal, refusals.TooHot)
    assert refusal.what == f"{rating} is for use up to 90 °C; the fluid is at 95 °C."
    assert resolved(world).temperature_max_c == 90


def test_a_corrected_figure_ends_the_decision(world: World) -> None:
    rating = published(world)
    choose(world, Governs.MAKER)
    rating.printed_value = "24"
    rating.save()
    assert str(resolve_line(fresh(world), today()).rating.pressure) == "24 MPa"


def fresh(world: World) -> OrderLine:
    """The line with its hose read anew."""
    world.hose.refresh_from_db()
    return world.line(pressure_typed="240")


def test_a_decision_since_changes_what_the_line_is_confirmed_as(world: World) -> None:
    published(world)
    line = world.written_line(pressure_typed="240")
    confirm_line(actor=world.counter, line=line)
    choose(world, Governs.MAKER)
    line.hose.refresh_from_db()
    told = {d.what: (d.before, d.now) for d in find_differences(line, resolve_line(line, today()))}
    assert told["rating"] == ("25 MPa", "275 bar")
    assert told["proof pressure"] == ("50 MPa", "550 bar")
    assert told["least burst pressure"] == ("100 MPa", "1100 bar")


@pytest.mark.parametrize(("printed", "counts"), [(121, 120), (120, 120), (100, 100)])
def test_spiral_hose_of_an_unknown_year_is_for_120(world: World, printed: int, counts: int) -> None:
    # Rationale of SAE J517-2020: 120 °C from 2020, 121 °C before.
    published(world, standard="SAE 100R12", temperature_max_c=printed)
    world.hose.temperature_max_c = 130
    world.hose.save()
    proposal = resolved(world, pressure_typed="240")
    assert proposal.temperature_max_c == counts
    with pytest.raises(refusals.TooHot):
        save_line(actor=world.counter, line=world.line(pressure_typed="240", temperature_c=counts + 1))


def test_the_makers_temperatures_count_where_only_the_standard_is_rated(world: World) -> None:
    rating = published(world, temperature_max_c=120)
    hose = factories.HoseFactory(standard=rating, printed_value="", printed_unit="", temperature_max_c=90)
    refusal = resolved(world, hose=hose, temperature_c=95).refusals[0]
    assert refusal.what == f"{hose} is for use up to 90 °C; the fluid is at 95 °C."


# Proof and burst: twice and at least four times, unless printed (ISO 6605:2017 5.2; SAE J517, from memory).


def test_burst_is_four_times_the_rating_where_none_is_printed(world: World) -> None:
    proposal = resolved(world)
    assert (str(proposal.proof), str(proposal.burst)) == ("550 bar", "1100 bar")
    assert "No burst pressure is printed: 4 × 275 bar is 1100 bar, from memory." in proposal.reasons
    assert proposal.proof_and_burst is not None
    assert NOT_A_LICENCE in proposal.proof_and_burst.cautions
    assert confirm_line(actor=world.counter, line=world.written_line()).burst_value == "1100"


def test_proof_and_burst_are_taken_as_the_governing_document_prints_them(world: World) -> None:
    world.hose.proof_printed, world.hose.burst_printed = "560", "1150"
    world.hose.save()
    proposal = resolved(world)
    assert (str(proposal.proof), str(proposal.burst)) == ("560 bar", "1150 bar")
    name = str(world.hose).removesuffix(" -8")
    assert f"Burst pressure as {name} -8 prints it: 1150 bar." in proposal.reasons


def test_of_two_documents_the_one_that_governs_prints_proof_and_burst(world: World) -> None:
    published(world, proof_printed="49", burst_printed="98")
    world.hose.proof_printed, world.hose.burst_printed = "560", "1150"
    world.hose.save()
    proposal = resolved(world, pressure_typed="240")
    assert (str(proposal.proof), str(proposal.burst)) == ("49 MPa", "98 MPa")
    choose(world, Governs.MAKER)
    proposal = resolved(world, pressure_typed="240")
    assert (str(proposal.proof), str(proposal.burst)) == ("560 bar", "1150 bar")


@pytest.mark.parametrize(
    ("proof", "burst", "comes_to"),
    [("500", "", ("500 bar", "1100 bar")), ("", "1000", ("550 bar", "1000 bar"))],
)
def test_what_is_not_printed_is_by_factor(
    world: World, proof: str, burst: str, comes_to: tuple[str, str]
) -> None:
    world.hose.proof_printed, world.hose.burst_printed = proof, burst
    world.hose.save()
    proposal = resolved(world)
    assert (str(proposal.proof), str(proposal.burst)) == comes_to


def test_by_factor_a_hose_is_never_proved_above_what_it_prints(world: World) -> None:
    world.hose.proof_printed, world.hose.burst_printed = "380", "700"
    world.hose.save()
    weak = factories.FittingFactory(series=world.series, printed_value="200", printed_unit="bar")
    proposal = resolved(world, fitting_b=weak, pressure_typed="190")
    assert (str(proposal.proof), str(proposal.burst)) == ("380 bar", "700 bar")


def test_a_cap_in_another_unit_is_rounded_down(world: World) -> None:
    world.hose.proof_printed = "380"
    world.hose.save()
    weak = factories.FittingFactory(series=world.series, printed_value="2900", printed_unit="psi")
    # 380 bar is 5511.434 psi: 38 000 000 Pa by 6894.757 Pa.
    assert str(resolved(world, fitting_b=weak, pressure_typed="190").proof) == "5511.434 psi"


@pytest.mark.parametrize(("proof", "burst"), [("560", "560"), ("1200", ""), ("270", ""), ("", "549")])
def test_printed_figures_that_do_not_rise_keep_the_line_a_quotation(
    world: World, proof: str, burst: str
) -> None:
    world.hose.proof_printed, world.hose.burst_printed = proof, burst
    world.hose.save()
    line = world.line()
    [point] = save_line(actor=world.counter, line=line).open_points
    assert isinstance(point, refusals.ProofNotKnown)
    assert "don't rise" in point.what
    with pytest.raises(refusals.ProofNotKnown):
        confirm_line(actor=world.counter, line=line)


def test_a_policy_that_proves_at_burst_proves_nothing(world: World) -> None:
    set_policy(actor=world.owner, policy=Policy(number=2, effective_from=today(), proof_factor_percent=400))
    [point] = resolved(world).open_points
    assert isinstance(point, refusals.ProofNotKnown)
    assert "A burst factor of 4 is not above the proof factor 4." in point.what


def test_a_weaker_part_never_raises_proof_or_burst(world: World) -> None:
    stronger = resolved(world)
    for figure in ("100", "200", "274"):
        weak = factories.FittingFactory(series=world.series, printed_value=figure, printed_unit="bar")
        weaker = resolved(world, fitting_b=weak, pressure_typed="90")
        for what in ("proof", "burst"):
            assert getattr(weaker, what).value < getattr(stronger, what).value
        assert weaker.proof is not None
        assert weaker.proof.value == 2 * Decimal(figure)
