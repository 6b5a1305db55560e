import math
from decimal import Decimal
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, OffTheTable, OutOfRange
from shop.engineering.flow import (
    DEFAULT_LIMITS,
    Duty,
    choose_bore,
    flow_l_min,
    read_velocity_limits,
    smallest_bore_mm,
    velocity_m_s,
)
from shop.engineering.quantities import Quantity, Unit
from shop.engineering.sizes import read_sizes
from tests.engineering.outside import outside

TABLES = Path(__file__).parents[2] / "fixtures/standards"
LIMITS = read_velocity_limits(TABLES / "velocity_limits.csv")
BORES = [size.nominal_bore_mm for size in read_sizes(TABLES / "sizes.csv")]
INCH = Decimal("25.4")

WIKI = outside(
    smallest_bore_mm,
    source="open-hardware wiki on hydraulic line sizes, read",
    independent="printed there in gpm, ft/s and inches, by a person with another formula",
)
BY_MISTAKE = outside(
    smallest_bore_mm,
    source="the same wiki, where it stands under 15 ft/s by mistake",
    independent="the answer for 20 ft/s, printed by somebody who looked it up",
)
# flow, unit, velocity, unit, bore, in, to
PRINTED_BORES = [
    pytest.param("13", Unit.GPM_US, "20", Unit.FT_S, "0.515", INCH, "0.001", marks=WIKI),
    pytest.param("16", Unit.GPM_US, "20", Unit.FT_S, "0.572", INCH, "0.001", marks=WIKI),
    pytest.param("28.5", Unit.GPM_US, "20", Unit.FT_S, "0.762", INCH, "0.002", marks=BY_MISTAKE),
    pytest.param("13", Unit.GPM_US, "15", Unit.FT_S, "0.595", INCH, "0.001", marks=WIKI),
    pytest.param("16", Unit.GPM_US, "15", Unit.FT_S, "0.660", INCH, "0.001", marks=WIKI),
    pytest.param("13", Unit.GPM_US, "10", Unit.FT_S, "0.729", INCH, "0.001", marks=WIKI),
    pytest.param("16", Unit.GPM_US, "10", Unit.FT_S, "0.808", INCH, "0.001", marks=WIKI),
    pytest.param("28.5", Unit.GPM_US, "10", Unit.FT_S, "1.079", INCH, "0.001", marks=WIKI),
    pytest.param("16", Unit.GPM_US, "5", Unit.FT_S, "1.143", INCH, "0.001", marks=WIKI),
    # d = 4.6066 √(Q/v), worked out by hand to four figures.
    ("20", Unit.L_MIN, "3", Unit.M_S, "11.89", Decimal(1), "0.01"),
    ("60", Unit.L_MIN, "5", Unit.M_S, "15.96", Decimal(1), "0.01"),
    ("100", Unit.L_MIN, "4.5", Unit.M_S, "21.72", Decimal(1), "0.01"),
]


@pytest.mark.parametrize(
    ("flow", "flow_unit", "velocity", "velocity_unit", "bore", "mm", "to"),
    PRINTED_BORES,
)
def test_the_bore_for_a_flow_and_a_velocity_is_as_printed(
    flow: str,
    flow_unit: Unit,
    velocity: str,
    velocity_unit: Unit,
    bore: str,
    mm: Decimal,
    to: str,
) -> None:
    found = smallest_bore_mm(
        Quantity(Decimal(flow), flow_unit).in_unit(Unit.L_MIN),
        Quantity(Decimal(velocity), velocity_unit).in_unit(Unit.M_S),
    )
    assert abs(found / mm - Decimal(bore)) <= Decimal(to)


@outside(
    velocity_m_s,
    source="pint for the units and math.pi for the circle",
    independent="another library, no constant of the program",
)
@pytest.mark.parametrize(("flow", "bore"), [("0.5", "3.2"), ("60", "12.5"), ("100", "19"), ("900", "76")])
def test_velocity_is_flow_over_area_with_pint_minding_the_units(flow: str, bore: str) -> None:
    # Independent: pint carries the units, math.pi the circle; the program has one constant for both.
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    area = math.pi / 4 * registry.Quantity(float(bore), "millimeter") ** 2
    expected = (registry.Quantity(float(flow), "liter / minute") / area).to("meter / second").magnitude
    assert float(velocity_m_s(Decimal(flow), Decimal(bore))) == pytest.approx(expected, rel=1e-12)


@outside(
    velocity_m_s,
    source="v = 0.3208 Q/A of handbooks, from 231/(12 × 60)",
    independent="a constant for gallons, square inches and feet",
)
def test_the_same_in_gallons_and_feet_per_second() -> None:
    # v = 0.3208 Q / A with Q in gpm and A in in²: a constant that handbooks print, from 231/(12 × 60).
    area_in2 = Decimal("0.19635")  # of a 1/2 in bore
    found = velocity_m_s(Quantity(Decimal(10), Unit.GPM_US).in_unit(Unit.L_MIN), INCH / 2)
    assert abs(found / Decimal("0.3048") - Decimal("0.3208") * 10 / area_in2) < Decimal("0.01")


@pytest.mark.parametrize(
    ("limits", "duty", "up_to"),
    [
        ("inch slow", Duty.PRESSURE, "15 ft/s"),
        ("inch slow", Duty.RETURN, "10 ft/s"),
        ("inch slow", Duty.SUCTION, "4 ft/s"),
        ("inch fast", Duty.PRESSURE, "20 ft/s"),
        ("inch fast", Duty.RETURN, "15 ft/s"),
        ("inch fast", Duty.SUCTION, "5 ft/s"),
        ("metric habit", Duty.PRESSURE, "6 m/s"),
        ("metric habit", Duty.RETURN, "4 m/s"),
        ("metric habit", Duty.SUCTION, "1.5 m/s"),
    ],
)
def test_the_tables_of_limits_are_kept_as_printed(limits: str, duty: Duty, up_to: str) -> None:
    row = LIMITS[limits][duty]
    assert str(row.up_to) == up_to
    assert row.source in row.words
    assert (row.basis == "memory") is (limits == "metric habit")


def test_the_default_limits_are_the_slowest_for_pressure() -> None:
    slowest = min(LIMITS.values(), key=lambda table: table[Duty.PRESSURE].up_to_m_s)
    assert slowest is LIMITS[DEFAULT_LIMITS]


def test_it_chooses_the_smallest_bore_that_keeps_within_the_limit() -> None:
    choice = choose_bore(Decimal(60), LIMITS["inch slow"][Duty.PRESSURE], BORES)
    assert (str(choice.bore_mm), f"{choice.smallest_mm:.2f}", f"{choice.velocity_m_s:.2f}") == (
        "19",
        "16.69",
        "3.53",
    )
    assert choice.limit.source in choice.assumptions[0]


def test_a_bore_of_just_the_smallest_will_do() -> None:
    limit = LIMITS["metric habit"][Duty.PRESSURE]
    smallest = smallest_bore_mm(Decimal(60), limit.up_to_m_s)
    assert choose_bore(Decimal(60), limit, [smallest, Decimal(19)]).bore_mm == smallest


def test_limits_from_memory_and_suction_lines_carry_their_cautions() -> None:
    habit = choose_bore(Decimal(20), LIMITS["metric habit"][Duty.SUCTION], BORES)
    assert any("from memory" in caution for caution in habit.cautions)
    assert any("vacuum" in caution for caution in habit.cautions)
    printed = choose_bore(Decimal(20), LIMITS["inch slow"][Duty.RETURN], BORES)
    assert len(printed.cautions) == 1


def test_a_flow_that_no_bore_carries_is_told_the_bore_that_it_needs() -> None:
    with pytest.raises(OffTheTable) as refusal:
        choose_bore(Decimal(900), LIMITS["inch slow"][Duty.SUCTION], BORES)
    assert (refusal.value.argument, refusal.value.unit, refusal.value.got) == ("bore", "mm", "125.16")
    assert refusal.value.allowed.endswith("63, 76")


@pytest.mark.parametrize(
    ("flow", "bore", "argument", "error"),
    [
        ("0", "12", "flow", OutOfRange),
        ("-60", "12", "flow", OutOfRange),
        ("1e400", "12", "flow", OutOfRange),
        ("NaN", "12", "flow", NotANumber),
        ("Infinity", "12", "flow", NotANumber),
        ("60", "0", "bore", OutOfRange),
        ("60", "-12", "bore", OutOfRange),
        ("60", "NaN", "bore", NotANumber),
        ("60", "1001", "bore", OutOfRange),
    ],
)
def test_a_flow_or_a_bore_that_can_not_be_is_refused(
    flow: str, bore: str, argument: str, error: type[EngineeringError]
) -> None:
    with pytest.raises(error) as refusal:
        velocity_m_s(Decimal(flow), Decimal(bore))
    assert refusal.value.argument == argument
    assert refusal.value.unit in {"l/min", "mm"}


@pytest.mark.parametrize("velocity", ["0", "-3", "NaN", "101"])
def test_a_velocity_that_can_not_be_is_refused(velocity: str) -> None:
    with pytest.raises(EngineeringError) as refusal:
        smallest_bore_mm(Decimal(60), Decimal(velocity))
    assert (refusal.value.argument, refusal.value.unit) == ("velocity", "m/s")
    with pytest.raises(EngineeringError):
        flow_l_min(Decimal(velocity), Decimal(12))


FLOWS = st.decimals("0.01", 5000, places=2)


@given(FLOWS, st.decimals("0.1", 30, places=2))
def test_flow_velocity_and_bore_return(flow: Decimal, velocity: Decimal) -> None:
    bore = smallest_bore_mm(flow, velocity)
    if Decimal("0.5") <= bore <= 1000:
        assert abs(velocity_m_s(flow, bore) - velocity) < Decimal("1e-20")
        assert abs(flow_l_min(velocity, bore) - flow) < Decimal("1e-20")


@given(FLOWS, FLOWS)
def test_more_flow_never_needs_a_smaller_bore(a: Decimal, b: Decimal) -> None:
    less, more = sorted((a, b))
    assert smallest_bore_mm(less, Decimal(4)) <= smallest_bore_mm(more, Decimal(4))
