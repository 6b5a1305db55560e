"""What holds for every assembly, length and pressure, tried on many of them."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from shop.engineering.cut_length import cut_length_mm, overall_length_mm
from shop.engineering.lengths import LengthUnit, parse_length, show_length
from shop.engineering.pressures import Pressure, PressureUnit
from shop.engineering.rating import PartRole, RatedPart, rate_assembly

PRESSURES = st.builds(Pressure, st.decimals(1, 1000, places=2), st.sampled_from(PressureUnit))
CELSIUS = st.integers(-60, 250)
PARTS = st.builds(
    RatedPart,
    role=st.sampled_from(PartRole),
    name=st.just("part"),
    rating=st.none() | PRESSURES,
    confirmed=st.booleans(),
    temperature_max_c=st.none() | CELSIUS,
)


def can_be_relied_on(parts: list[RatedPart], temperature_c: int) -> Fraction:
    """The pressure (Pa) that the parts allow at a temperature; nothing where one of them is too hot."""
    rating = rate_assembly(parts, temperature_c)
    return Fraction(0) if rating.too_hot or rating.pressure is None else rating.pressure.exact_pascals


@given(st.lists(PARTS), CELSIUS, CELSIUS)
def test_the_rating_never_rises_when_it_gets_hotter(parts: list[RatedPart], one: int, other: int) -> None:
    cooler, hotter = sorted((one, other))
    assert can_be_relied_on(parts, hotter) <= can_be_relied_on(parts, cooler)
    assert set(rate_assembly(parts, cooler).too_hot) <= set(rate_assembly(parts, hotter).too_hot)


@given(st.lists(PARTS, min_size=1), PARTS, CELSIUS)
def test_the_rating_never_rises_when_a_part_is_added(
    parts: list[RatedPart], added: RatedPart, temperature_c: int
) -> None:
    assume(rate_assembly(parts, temperature_c).pressure is not None)
    assert can_be_relied_on([*parts, added], temperature_c) <= can_be_relied_on(parts, temperature_c)


# The finest step that is typed in each unit, in nanometres: hundredths and tenths, whole mm, 1/64 in.
STEPS = {
    LengthUnit.MM: 10_000,
    LengthUnit.CM: 100_000,
    LengthUnit.M: 1_000_000,
    LengthUnit.IN: 396_875,
    LengthUnit.FT: 396_875,
}


@given(st.sampled_from(LengthUnit), st.integers(1, 10**6), st.integers(0, 10**4), st.integers(0, 10**4))
def test_cut_and_both_allowances_are_the_overall_length_exactly_in_the_unit_typed(
    unit: LengthUnit, overall: int, cut_off_a: int, cut_off_b: int
) -> None:
    assume(overall > cut_off_a + cut_off_b)
    overall_mm, a_mm, b_mm = (
        Decimal(steps * STEPS[unit]) / 1_000_000 for steps in (overall, cut_off_a, cut_off_b)
    )
    typed = show_length(overall_mm, unit)
    cut = show_length(cut_length_mm(parse_length(typed).mm, a_mm, b_mm), unit)
    assert show_length(overall_length_mm(parse_length(cut).mm, a_mm, b_mm), unit) == typed
    assert parse_length(cut).mm * 1_000_000 == (overall - cut_off_a - cut_off_b) * STEPS[unit]


@given(PRESSURES, st.sampled_from(PressureUnit))
def test_a_pressure_that_is_converted_there_and_back_returns(pressure: Pressure, other: PressureUnit) -> None:
    there = Pressure(pressure.in_unit(other), other)
    back = there.in_unit(pressure.unit)
    assert abs(back - pressure.value) <= pressure.value * Decimal("1e-26")
    if PressureUnit.PSI not in {other, pressure.unit}:
        assert back == pressure.value
