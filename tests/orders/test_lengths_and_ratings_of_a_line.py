"""Cut length and rating through an order line, against published examples and by properties."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.engineering.lengths import LengthUnit
from shop.orders.drawing import drawing_of_proposal, drawing_of_resolution
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line
from shop.policy.services import today
from shop.standards.models import Basis
from tests import factories
from tests.world import World

INCH = Decimal("25.4")


def test_24_inches_with_two_ends_of_the_navy_table_is_cut_at_22_12(world: World) -> None:
    # Navy training manual 14018 Table 5-2 (read): cut-off of MS24587 in size -8 is 0.94 in for each end.
    # Cut length is overall length less both (TM 1-1500-204-23-2, read).
    fitting = factories.FittingFactory(cut_off=Decimal("0.94") * INCH)
    line = world.line(fitting_a=fitting, fitting_b=fitting, overall_length=24 * INCH, overall_typed="24 in")
    cut = resolve_line(line, today()).cut_length
    assert cut is not None
    assert cut / INCH == Decimal("22.12")


@pytest.mark.parametrize(
    ("hose", "end_a", "end_b", "rating", "governs"),
    [
        # Worked from the published figures (from memory): EN 853 2SN DN 12 at 275 bar; face seal -8 at
        # 414 bar; flange ISO 6162-1 size -12 at 345 bar.
        ("275 bar", "414 bar", "345 bar", "275 bar", "the hose"),
        # SAE 100R15 -20 at 6000 psi; flange ISO 6162-1 size -20 at 4000 psi.
        ("6000 psi", "6000 psi", "4000 psi", "4000 psi", "the connection at end B"),
        # The same class printed in two units: 42 MPa is 6091.6 psi.
        ("42 MPa", "6000 psi", "42 MPa", "6000 psi", "the connection at end A"),
    ],
)
def test_the_lowest_component_governs(
    world: World, hose: str, end_a: str, end_b: str, rating: str, governs: str
) -> None:
    # SAE J517 scope and the abstract of ISO 18752: the lowest rated component governs.
    def printed(text: str) -> dict[str, str]:
        value, unit = text.split()
        return {"printed_value": value, "printed_unit": unit}

    fittings = [
        factories.FittingFactory(
            **printed("500 bar"), connection=factories.ConnectionFactory(**printed(connection))
        )
        for connection in (end_a, end_b)
    ]
    line = world.line(
        hose=factories.HoseFactory(**printed(hose)), fitting_a=fittings[0], fitting_b=fittings[1]
    )
    found = resolve_line(line, today()).rating
    assert str(found.pressure) == rating
    assert found.governing is not None
    assert found.governing.role.label == governs


def test_a_published_rating_below_the_makers_governs(world: World) -> None:
    standard = factories.HoseRatingFactory(printed_value="25", printed_unit="MPa", basis=Basis.MEMORY)
    hose = factories.HoseFactory(standard=standard, printed_value="275", printed_unit="bar")
    rating = resolve_line(world.line(hose=hose, pressure_typed="250"), today()).rating
    assert str(rating.pressure) == "25 MPa"
    assert rating.governing is not None
    assert rating.governing.name == str(standard)


def test_a_hose_without_a_figure_of_its_own_has_its_standards(world: World) -> None:
    standard = factories.HoseRatingFactory(printed_value="25", printed_unit="MPa")
    hose = factories.HoseFactory(standard=standard, printed_value="", printed_unit="")
    proposal = resolve_line(world.line(hose=hose), today())
    assert str(proposal.rating.pressure) == "25 MPa"
    assert not proposal.rating.unrated


def test_proof_is_twice_the_rating_unless_the_hose_prints_its_own(world: World) -> None:
    # ISO 6605: twice the working pressure. FAA AC 43.13-1B Table 9-3 prints proofs that are not twice.
    assert str(resolve_line(world.line(), today()).proof) == "550 bar"
    printed = factories.HoseFactory(proof_printed="500")
    assert str(resolve_line(world.line(hose=printed), today()).proof) == "500 bar"


def test_a_printed_proof_does_not_count_where_something_weaker_governs(world: World) -> None:
    printed = factories.HoseFactory(proof_printed="500")
    weak = factories.FittingFactory(series=world.series, printed_value="200", printed_unit="bar")
    line = world.line(hose=printed, fitting_b=weak, pressure_typed="190")
    assert str(resolve_line(line, today()).proof) == "400 bar"


def test_a_makers_proof_does_not_count_where_the_standards_rating_governs(world: World) -> None:
    standard = factories.HoseRatingFactory(printed_value="25", printed_unit="MPa")
    hose = factories.HoseFactory(standard=standard, proof_printed="560")
    assert str(resolve_line(world.line(hose=hose), today()).proof) == "50 MPa"


def test_the_finished_length_is_held_to_the_policys_rules(world: World) -> None:
    # EN 853 Table 3 / DIN 20066, from memory: up to DN 25, over 630 up to 1250 mm, +12 -4 mm.
    limits = resolve_line(world.line(), today()).finished_length
    assert limits is not None
    assert (limits.lower_mm, limits.upper_mm) == (Decimal(926), Decimal(942))


def test_bend_radius_and_temperatures_are_the_stricter_of_maker_and_standard(world: World) -> None:
    standard = factories.HoseRatingFactory(
        bend_radius=Decimal(130), temperature_min_c=-30, temperature_max_c=120
    )
    hose = factories.HoseFactory(standard=standard)
    proposal = resolve_line(world.line(hose=hose), today())
    assert proposal.bend_radius == Decimal(180)
    assert (proposal.temperature_min_c, proposal.temperature_max_c) == (-30, 100)


NANOMETRES = st.integers(min_value=0, max_value=80_000_000).map(lambda count: Decimal(count) / 1_000_000)


@settings(max_examples=40)
@given(
    overall=st.integers(min_value=400_000_000, max_value=9_000_000_000),
    cut_off_a=NANOMETRES,
    cut_off_b=NANOMETRES,
)
def test_cut_length_and_both_allowances_make_the_overall_length_exactly(
    world: World, overall: int, cut_off_a: Decimal, cut_off_b: Decimal
) -> None:
    line = world.line(overall_length=Decimal(overall) / 1_000_000, fitting_b=world.elbow)
    line.fitting_a.cut_off, line.fitting_b.cut_off = cut_off_a, cut_off_b
    proposal = resolve_line(line, today())
    assert proposal.cut_length is not None
    assert proposal.cut_length + cut_off_a + cut_off_b == line.overall_length


def test_the_drawing_has_the_lines_own_measures(world: World) -> None:
    line = world.written_line(fitting_b=world.elbow, angle_deg=90)
    quoted = drawing_of_proposal(resolve_line(line, today()), LengthUnit.MM)
    confirmed = drawing_of_resolution(confirm_line(actor=world.counter, line=line), LengthUnit.MM)
    assert quoted == confirmed
    assert quoted is not None
    assert (quoted.overall_label, quoted.cut_label) == ("930 mm", "860 mm")
    assert (quoted.end_a.angle_deg, quoted.end_b.angle_deg, quoted.orientation_deg) == (0, 90, 90)
    assert quoted.end_a.ferrule_length_mm == world.ferrule.length


def test_ferrules_that_would_meet_are_not_drawn(world: World) -> None:
    line = world.line(overall_length=Decimal(110), overall_typed="110")
    assert drawing_of_proposal(resolve_line(line, today()), LengthUnit.MM) is None
