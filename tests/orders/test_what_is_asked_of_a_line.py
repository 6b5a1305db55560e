"""Highest pressure, surges on top of it and vacuum, against what the parts stand."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.assemblies.refusals import NoLongerRight
from shop.core.refusals import Refusal
from shop.engineering.duty import check_surge
from shop.engineering.pressures import Pressure, PressureUnit, exceeds
from shop.orders import refusals
from shop.orders.demand import Demand
from shop.orders.models import OrderLine
from shop.orders.services import confirm_line, save_line
from tests import factories
from tests.assemblies import bench
from tests.world import World

SUCTION = {"vacuum_printed": "0.8", "vacuum_unit": "bar"}


def refused(world: World, kind: type[Refusal], **changes: object) -> Refusal:
    """The first refusal that the line runs into; the line is not written."""
    with pytest.raises(kind) as raised:
        save_line(actor=world.counter, line=world.line(**changes))
    assert not OrderLine.objects.exists()
    return raised.value


def test_surges_are_added_before_the_rating_is_asked(world: World) -> None:
    refusal = refused(world, refusals.PressureAboveRating, pressure_typed="250", surge_typed="25.1")
    assert refusal.what == (
        "275.1 bar (250 bar and surges of 25.1 bar) is above the rating of 275 bar (3988 psi): "
        f"the hose ({world.hose}) governs."
    )


def test_pressure_and_surges_that_make_the_rating_are_taken(world: World) -> None:
    line = world.written_line(pressure_typed="250", surge_typed="25")
    assert confirm_line(actor=world.counter, line=line).demand.peak == Pressure(
        Decimal(275), PressureUnit.BAR
    )


def test_psi_are_compared_as_printed_with_their_surges(world: World) -> None:
    psi = {"printed_value": "2500", "printed_unit": "psi"}
    weak = factories.HoseFactory(maker=world.hose.maker, **psi)
    typed = {"hose": weak, "pressure_typed": "2000", "pressure_unit": "psi"}
    save_line(actor=world.counter, line=world.line(**typed, surge_typed="500"))
    with pytest.raises(refusals.PressureAboveRating):
        save_line(actor=world.counter, line=world.line(**typed, surge_typed="500.001"))


def test_the_resolution_keeps_pressure_and_surges_as_typed(world: World) -> None:
    resolution = confirm_line(
        actor=world.counter, line=world.written_line(pressure_typed="240", surge_typed="20.5")
    )
    assert (resolution.demand_typed, resolution.surge_typed, resolution.demand_unit) == ("240", "20.5", "bar")
    assert resolution.demand.words == "260.5 bar (240 bar and surges of 20.5 bar)"


def test_surges_that_lead_far_above_hydraulic_hose_are_asked_about(world: World) -> None:
    strong = {"printed_value": "800", "printed_unit": "bar"}
    fitting = factories.FittingFactory(connection=factories.ConnectionFactory(**strong), **strong)
    parts = {"hose": factories.HoseFactory(**strong), "fitting_a": fitting, "fitting_b": fitting}
    doubt = refused(world, refusals.VeryHighPressure, **parts, pressure_typed="690", surge_typed="20")
    assert doubt.what == "710 bar is far above what hydraulic hose is made for."


FIGURES = st.integers(min_value=1, max_value=9_000_000).map(lambda thousandths: Decimal(thousandths) / 1000)
PRESSURES = st.builds(Pressure, FIGURES, st.sampled_from(PressureUnit))


@given(highest=PRESSURES, surge=FIGURES, rating=PRESSURES)
def test_with_surges_the_demand_is_never_lower(highest: Pressure, surge: Decimal, rating: Pressure) -> None:
    plain, surged = Demand(highest, None, None), Demand(highest, Pressure(surge, highest.unit), None)
    assert exceeds(surged.peak, plain.peak)
    assert surged.exceeds(rating) or not plain.exceeds(rating)
    assert surged.exceeds(rating) is not check_surge(highest, Pressure(surge, highest.unit), rating).within


def test_hose_without_a_vacuum_is_not_for_suction(world: World) -> None:
    refusal = refused(world, refusals.NotForSuction, vacuum_typed="0.2", vacuum_unit="bar")
    assert refusal.what.startswith(f"{world.hose} has no vacuum printed, so it is not for suction")
    assert refusal.field == "vacuum_typed"


def test_a_vacuum_deeper_than_the_hose_stands_is_refused(world: World) -> None:
    hose = factories.HoseFactory(**SUCTION)
    refusal = refused(world, refusals.VacuumTooDeep, hose=hose, vacuum_typed="81", vacuum_unit="kPa")
    assert refusal.what == f"A vacuum of 81 kPa is deeper than the 0.8 bar that {hose} stands."


def test_a_vacuum_that_the_hose_stands_is_kept(world: World) -> None:
    world.hose.vacuum_printed, world.hose.vacuum_unit = "0.8", "bar"
    world.hose.save()
    line = world.written_line(vacuum_typed="0.8", vacuum_unit="bar")
    resolution = confirm_line(actor=world.counter, line=line)
    assert resolution.demand.vacuum == Pressure(Decimal("0.8"), PressureUnit.BAR)


@pytest.mark.parametrize(
    ("own", "published", "taken"),
    [("0.8", "0.6", "0.6"), ("0.6", "0.8", "0.6"), ("", "0.7", "0.7"), ("0.7", "", "0.7")],
)
def test_the_shallower_of_two_printed_vacuums_counts(
    world: World, own: str, published: str, taken: str
) -> None:
    def printed(figure: str) -> dict[str, str]:
        return {"vacuum_printed": figure, "vacuum_unit": "bar" if figure else ""}

    standard = factories.HoseRatingFactory(**printed(published))
    hose = factories.HoseFactory(standard=standard, **printed(own))
    save_line(actor=world.counter, line=world.line(hose=hose, vacuum_typed=taken, vacuum_unit="bar"))
    with pytest.raises(refusals.VacuumTooDeep) as raised:
        save_line(
            actor=world.counter, line=world.line(hose=hose, vacuum_typed=f"{taken}1", vacuum_unit="bar")
        )
    assert f"deeper than the {taken} bar" in raised.value.what


def test_no_vacuum_is_deeper_than_atmosphere(world: World) -> None:
    hose = factories.HoseFactory(**SUCTION)
    refusal = refused(world, refusals.VacuumNotUsable, hose=hose, vacuum_typed="1.02", vacuum_unit="bar")
    assert refusal.what.startswith("A vacuum of 1.02 bar is deeper than atmosphere.")


def test_hose_that_turns_out_to_stand_no_vacuum_stops_the_assembly(world: World) -> None:
    world.hose.vacuum_printed, world.hose.vacuum_unit = "0.8", "bar"
    world.hose.save()
    assembly = bench.plan(world, vacuum_typed="0.5", vacuum_unit="bar")
    world.hose.vacuum_printed, world.hose.vacuum_unit = "", ""
    world.hose.save()
    with pytest.raises(NoLongerRight) as stopped:
        bench.cut(world, assembly)
    assert "so it is not for suction" in stopped.value.what


@settings(max_examples=25)
@given(surge=st.integers(min_value=1, max_value=400))
def test_surges_never_make_a_refused_line_a_good_one(world: World, surge: int) -> None:
    with pytest.raises(refusals.PressureAboveRating):
        save_line(actor=world.counter, line=world.line(pressure_typed="276", surge_typed=str(surge)))
