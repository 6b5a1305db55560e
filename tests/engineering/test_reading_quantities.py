"""Temperatures, flows, torques and velocities against `pint`, which has its own table of units."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, NotUnderstood, OutOfRange
from shop.engineering.quantities import (
    Kind,
    Quantity,
    Unit,
    parse_flow,
    parse_quantity,
    parse_temperature,
    parse_torque,
    parse_velocity,
    round_quantity,
)
from tests.engineering.outside import outside

PINT: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)
IN_PINT = {
    Unit.CELSIUS: "degC",
    Unit.FAHRENHEIT: "degF",
    Unit.L_MIN: "liter / minute",
    Unit.M3_H: "meter ** 3 / hour",
    Unit.GPM_US: "gallon / minute",
    Unit.NM: "newton * meter",
    Unit.LBF_FT: "force_pound * foot",
    Unit.LBF_IN: "force_pound * inch",
    Unit.M_S: "meter / second",
    Unit.FT_S: "foot / second",
}
PAIRS = [(a, b) for a in Unit for b in Unit if a.kind is b.kind and a is not b]


@outside(
    Quantity,
    source="pint's own table of units, in fractions",
    independent="another library with factors of its own",
)
@pytest.mark.parametrize(("unit", "other"), PAIRS)
@pytest.mark.parametrize("value", ["1", "37.5", "999.75"])
def test_it_converts_exactly_as_pint_does(unit: Unit, other: Unit, value: str) -> None:
    expected = PINT.Quantity(Fraction(value), IN_PINT[unit]).to(IN_PINT[other]).magnitude
    assert Quantity(Decimal(value), unit).exact_in(other) == expected


# why_independent: what fixes the pair is no factor of the program.
FIXED_POINTS = [
    # typed, unit, comes to, source, why_independent
    ("-40 °C", Unit.FAHRENHEIT, "-40", "where both scales cross", "a fixed point of the two scales"),
    ("32 F", Unit.CELSIUS, "0", "ice point, by the scale's definition", "the definition, not its slope"),
    ("212 °F", Unit.CELSIUS, "100", "steam point, by the scale's definition", "the definition"),
    ("275 °F", Unit.CELSIUS, "135", "FAA AC 43.13-1B p. 9-22 gives 275 °F", "by hand: 243 × 5/9"),
    ("1 gpm", Unit.L_MIN, "3.785411784", "US gallon 231 in³ (NIST SP 811, from memory)", "printed figure"),
    ("1 m3/h", Unit.L_MIN, "16.66666666666666666666666667", "1000 l in 60 min", "counted, no unit table"),
    ("12 lbf·in", Unit.LBF_FT, "1", "twelve inches to the foot", "no newton in it"),
    ("1 ft/s", Unit.M_S, "0.3048", "the international foot", "printed figure"),
]


@pytest.mark.parametrize(("typed", "unit", "comes_to", "source", "why_independent"), FIXED_POINTS)
def test_it_meets_the_fixed_points(
    typed: str, unit: Unit, comes_to: str, source: str, why_independent: str
) -> None:
    kind = unit.kind
    assert parse_quantity(typed, kind, unit).in_unit(unit) == Decimal(comes_to), (source, why_independent)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("80", "80", Unit.CELSIUS),
        ("80 °C", "80", Unit.CELSIUS),
        ("80,5C", "80.5", Unit.CELSIUS),
        ("−40 ºC", "-40", Unit.CELSIUS),
        ("- 40", "-40", Unit.CELSIUS),
        ("0", "0", Unit.CELSIUS),
        ("250 deg F", "250", Unit.FAHRENHEIT),
        ("250℉", "250", Unit.FAHRENHEIT),
    ],
)
def test_it_reads_a_temperature(text: str, value: str, unit: Unit) -> None:
    assert parse_temperature(text) == Quantity(Decimal(value), unit)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("60", "60", Unit.L_MIN),
        ("60 LPM", "60", Unit.L_MIN),
        ("3,6 m³/h", "3.6", Unit.M3_H),
        ("16 US gpm", "16", Unit.GPM_US),
        ("16 gpm (US)", "16", Unit.GPM_US),
        ("16 gal/min", "16", Unit.GPM_US),
    ],
)
def test_it_reads_a_flow_and_a_gallon_is_the_us_one(text: str, value: str, unit: Unit) -> None:
    assert parse_flow(text) == Quantity(Decimal(value), unit)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("44", Unit.NM),
        ("44 Nm", Unit.NM),
        ("44 N*m", Unit.NM),
        ("44 N m", Unit.NM),
        ("44 ft-lb", Unit.LBF_FT),
        ("44 lb ft", Unit.LBF_FT),
        ("44 lbf⋅ft", Unit.LBF_FT),
        ("44 in-lb", Unit.LBF_IN),
        ("44 lbf in", Unit.LBF_IN),
    ],
)
def test_it_reads_a_torque_pounds_first_or_last(text: str, unit: Unit) -> None:
    assert parse_torque(text) == Quantity(Decimal(44), unit)


@pytest.mark.parametrize(("text", "unit"), [("4.5", Unit.M_S), ("4.5 m/s", Unit.M_S), ("4.5 fps", Unit.FT_S)])
def test_it_reads_a_velocity(text: str, unit: Unit) -> None:
    assert parse_velocity(text) == Quantity(Decimal("4.5"), unit)


@pytest.mark.parametrize("unit", Unit)
def test_what_a_unit_prints_reads_back(unit: Unit) -> None:
    quantity = Quantity(Decimal("12.5"), unit)
    assert parse_quantity(str(quantity), unit.kind, unit) == quantity


@pytest.mark.parametrize(
    "text", ["16 imp gpm", "16 UK gal/min", "16 igpm", "16 gpm (UK)", "16 imperial gal/min"]
)
def test_uk_gallons_are_refused_by_name(text: str) -> None:
    with pytest.raises(NotUnderstood, match="UK gallons"):
        parse_flow(text)


@pytest.mark.parametrize("text", ["1,200", "1.200 l/min", "12,500 gpm"])
def test_it_refuses_thousands_that_may_be_decimals(text: str) -> None:
    with pytest.raises(NotUnderstood, match="thousands or as decimals"):
        parse_flow(text)


@pytest.mark.parametrize("text", ["", "hot", "NaN", "inf", "1e3", "60 bar", "60 N·m", "60 l/s", "٦٠", "5 5"])
def test_it_refuses_what_is_no_flow_and_shows_the_forms(text: str) -> None:
    with pytest.raises(NotUnderstood) as refusal:
        parse_flow(text)
    assert (refusal.value.argument, refusal.value.unit) == ("flow", "l/min")
    assert "16 gpm" in refusal.value.allowed


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("-273.2", Kind.TEMPERATURE),
        ("-460 °F", Kind.TEMPERATURE),
        ("1001", Kind.TEMPERATURE),
        ("0", Kind.FLOW),
        ("-60", Kind.FLOW),
        ("100001", Kind.FLOW),
        ("0 N·m", Kind.TORQUE),
        ("100001", Kind.TORQUE),
        ("0.0", Kind.VELOCITY),
        ("1001 m/s", Kind.VELOCITY),
    ],
)
def test_it_refuses_what_can_not_be(text: str, kind: Kind) -> None:
    base = {"temperature": Unit.CELSIUS, "flow": Unit.L_MIN, "torque": Unit.NM, "velocity": Unit.M_S}[kind]
    with pytest.raises(OutOfRange) as refusal:
        parse_quantity(text, kind, base)
    assert (refusal.value.argument, refusal.value.unit) == (kind, base)
    assert base in refusal.value.allowed


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity"])
def test_it_refuses_what_is_no_number(value: str) -> None:
    with pytest.raises(NotANumber):
        Quantity(Decimal(value), Unit.L_MIN)


def test_a_torque_is_not_said_in_litres() -> None:
    with pytest.raises(EngineeringError) as refusal:
        Quantity(Decimal(44), Unit.NM).in_unit(Unit.L_MIN)
    assert refusal.value.allowed == "N·m, lbf·ft, lbf·in"


def test_absolute_zero_is_a_temperature_and_is_the_same_in_both_scales() -> None:
    assert parse_temperature("-273.15 °C").same_amount(parse_temperature("-459.67 °F"))
    assert not parse_temperature("-273.15 °C").same_amount(parse_temperature("-459.66 °F"))


def test_as_typed_it_is_never_converted_there_and_back() -> None:
    assert str(parse_flow("16 gpm")) == "16 gpm (US)"
    assert parse_flow("16 gpm").in_unit(Unit.GPM_US) == 16
    assert round_quantity(parse_flow("16 gpm"), Unit.L_MIN, 1) == "60.6 l/min"


@given(st.sampled_from(PAIRS), st.integers(1, 10**9))
def test_a_conversion_returns(pair: tuple[Unit, Unit], thousandths: int) -> None:
    unit, other = pair
    quantity = Quantity(Decimal(thousandths % 900_000 + 1) / 1000, unit)
    there = quantity.exact_in(other)
    scale = Quantity(Decimal(1), other).exact_base - Quantity(Decimal(2), other).exact_base
    zero = Quantity(Decimal(1), other).exact_base + scale
    assert there * -scale + zero == quantity.exact_base
