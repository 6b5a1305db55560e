"""Numbers, units and ratings by another route: other libraries, and figures that documents print."""

import math
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.lengths import LengthUnit, parse_length, round_length
from shop.engineering.numbers import exact_decimal, rounded, rounded_down
from shop.engineering.pressures import Pressure, PressureUnit, lowest, show_bar, show_psi
from shop.engineering.proof_burst import PrintedPressures, proof_and_burst, read_printed_pressures
from shop.engineering.quantities import Quantity, Unit
from shop.engineering.rating import PartRole, RatedPart, rate_assembly
from tests.engineering.outside import outside

DATA = Path(__file__).parent / "data"
PINT: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)
OTHER_FACTORS = "another library with factors of its own"


def in_pint(value: str, unit: str, to: str) -> Fraction:
    """A number in one unit as `pint` says it in another, exactly."""
    return Fraction(PINT.Quantity(Fraction(value), unit).to(to).magnitude)


@outside(
    rounded,
    source="quantize of Python's decimal module",
    independent="decimal digits instead of fractions",
)
@given(st.decimals("-1e6", "1e6", places=9), st.integers(0, 8))
def test_rounding_is_that_of_decimal_arithmetic(value: Decimal, places: int) -> None:
    step = Decimal(1).scaleb(-places)
    assert rounded(Fraction(value), places) == value.quantize(step, ROUND_HALF_EVEN)
    assert rounded_down(Fraction(value), places) == value.quantize(step, ROUND_FLOOR)


@outside(
    exact_decimal,
    source="long division by Python's decimal module, 400 digits of it",
    independent="it is looked whether digits are left, not which primes divide",
)
@given(st.integers(-(10**6), 10**6), st.integers(1, 3000))
def test_a_fraction_ends_where_long_division_leaves_nothing(above: int, below: int) -> None:
    with localcontext() as context:
        context.prec = 400
        quotient = Decimal(above) / Decimal(below)
        ends = Fraction(quotient) == Fraction(above, below)
    found = exact_decimal(Fraction(above, below))
    assert (found is not None) is ends
    assert found is None or found == quotient


@outside(parse_length, source="pint's own table of lengths, in fractions", independent=OTHER_FACTORS)
@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("930 mm", [("930", "mm")]),
        ("0,93 m", [("0.93", "meter")]),
        ("93.7 cm", [("93.7", "centimeter")]),
        ("36 1/2 in", [("73/2", "inch")]),
        ('11/64"', [("11/64", "inch")]),
        ("2.5 ft", [("5/2", "foot")]),
        ("3' 4-1/2\"", [("3", "foot"), ("9/2", "inch")]),
        ("12 ft 11 63/64 in", [("12", "foot"), ("767/64", "inch")]),
    ],
)
def test_a_typed_length_is_what_pint_makes_of_its_pieces(text: str, pieces: list[tuple[str, str]]) -> None:
    assert Fraction(parse_length(text).mm) == sum(in_pint(value, unit, "mm") for value, unit in pieces)


@outside(round_length, source="pint's own table of lengths, rounded by NumPy", independent=OTHER_FACTORS)
@pytest.mark.parametrize(
    ("unit", "name"), [("m", "meter"), ("cm", "centimeter"), ("in", "inch"), ("ft", "foot")]
)
def test_a_length_for_reading_is_rounded_from_what_pint_converts(unit: str, name: str) -> None:
    for mm in ("930", "1234.56", "77.7"):
        shown = float(np.round(float(in_pint(mm, "mm", name)), 3))
        assert round_length(Decimal(mm), LengthUnit(unit), 3) == f"{shown:.3f} {unit}"


PRESSURES = {
    PressureUnit.BAR: "bar",
    PressureUnit.PSI: "psi",
    PressureUnit.MPA: "megapascal",
    PressureUnit.KPA: "kilopascal",
}


@outside(Pressure, source="pint's own table of pressures, in fractions", independent=OTHER_FACTORS)
@pytest.mark.parametrize("unit", PRESSURES)
@pytest.mark.parametrize("other", PRESSURES)
def test_a_pressure_converts_as_pint_does(unit: PressureUnit, other: PressureUnit) -> None:
    expected = in_pint("275.5", PRESSURES[unit], PRESSURES[other])
    pressure = Pressure(Decimal("275.5"), unit)
    assert pressure.exact_pascals == in_pint("275.5", PRESSURES[unit], "pascal")
    assert abs(Fraction(pressure.in_unit(other)) - expected) <= expected / 10**26


@outside(
    show_bar,
    source="pint's conversion to bar and psi, floored by math.floor",
    independent="another library, and floating point",
)
@given(st.integers(1, 9999), st.sampled_from([PressureUnit.PSI, PressureUnit.MPA, PressureUnit.KPA]))
def test_a_shown_pressure_is_cut_off_and_never_rounded_up(value: int, unit: PressureUnit) -> None:
    pressure = Pressure(Decimal(value), unit)
    bar, psi = (in_pint(str(value), PRESSURES[unit], to) for to in ("bar", "psi"))
    step = 1 if bar >= 100 else 10
    assert float(show_bar(pressure).split()[0]) == pytest.approx(math.floor(bar * step) / step)
    assert unit is PressureUnit.PSI or float(show_psi(pressure).split()[0]) == math.floor(psi)


CONSTANTS = outside(
    Quantity,
    source="constants and temperature scales that SciPy carries",
    independent="typed by other people, in SI units",
)


@CONSTANTS
@pytest.mark.parametrize(
    ("unit", "base", "scipys"),
    [
        (Unit.GPM_US, Unit.L_MIN, scipy.constants.gallon / scipy.constants.liter),
        (Unit.M3_H, Unit.L_MIN, 1 / (scipy.constants.liter * 60)),
        (Unit.LBF_FT, Unit.NM, scipy.constants.pound_force * scipy.constants.foot),
        (Unit.LBF_IN, Unit.NM, scipy.constants.pound_force * scipy.constants.inch),
        (Unit.FT_S, Unit.M_S, scipy.constants.foot),
    ],
)
def test_a_unit_is_what_scipys_constants_make_of_it(unit: Unit, base: Unit, scipys: float) -> None:
    assert float(Quantity(Decimal(1), unit).exact_in(base)) == pytest.approx(scipys, rel=1e-14)


@CONSTANTS
@pytest.mark.parametrize("fahrenheit", ["-459.67", "-65", "-40", "68", "250", "275"])
def test_a_temperature_converts_as_scipy_does(fahrenheit: str) -> None:
    celsius = scipy.constants.convert_temperature(float(fahrenheit), "Fahrenheit", "Celsius")
    found = Quantity(Decimal(fahrenheit), Unit.FAHRENHEIT).exact_in(Unit.CELSIUS)
    assert float(found) == pytest.approx(celsius, abs=1e-10)


@outside(
    lowest,
    source="the least of what pint converts to pascal",
    independent="another library's units, and its comparison",
)
@given(
    st.lists(
        st.builds(Pressure, st.decimals(1, 600, places=2), st.sampled_from(PressureUnit)),
        min_size=1,
        max_size=6,
    )
)
def test_the_lowest_is_the_least_of_what_pint_converts(pressures: list[Pressure]) -> None:
    least = min(in_pint(str(p.value), PRESSURES[p.unit], "pascal") for p in pressures)
    assert lowest(pressures).exact_pascals == least


@outside(
    rate_assembly,
    source="SAE J517-2003 scope and abstract of ISO 18752: the lowest-rated component governs",
    independent="the least by pint, looked up among the parts",
)
@given(
    st.lists(
        st.builds(Pressure, st.decimals(1, 600, places=2), st.sampled_from(PressureUnit)),
        min_size=5,
        max_size=5,
    )
)
def test_the_weakest_part_of_an_assembly_is_the_one_that_pint_finds(ratings: list[Pressure]) -> None:
    parts = [
        RatedPart(role, role.label, rating, True) for role, rating in zip(PartRole, ratings, strict=True)
    ]
    pascals = [in_pint(str(p.value), PRESSURES[p.unit], "pascal") for p in ratings]
    assert rate_assembly(parts, 20).governing == parts[int(np.argmin(pascals))]


AVIATION = read_printed_pressures(DATA / "aviation_proof_burst.csv")
# What FAA AC 43.13-1B Table 9-3 prints: dash number, working, proof and burst pressure, psi.
TWICE_AND_FOUR_TIMES = [
    (3, "3000", "6000", "12000"),
    (4, "3000", "6000", "12000"),
    (8, "2000", "4000", "8000"),
    (10, "1750", "3500", "7000"),
    (16, "800", "1600", "3200"),
    (24, "500", "1000", "2000"),
    (32, "350", "700", "1400"),
]


@outside(
    proof_and_burst,
    source="FAA AC 43.13-1B Table 9-3, the sizes that are proved with twice and burst at four times",
    independent="printed for each size, while the program multiplies",
)
@pytest.mark.parametrize(("dash", "working", "proof", "burst"), TWICE_AND_FOUR_TIMES)
def test_by_factor_it_is_what_the_faa_prints(dash: int, working: str, proof: str, burst: str) -> None:
    found = proof_and_burst(Pressure(Decimal(working), PressureUnit.PSI))
    assert (found.proof.value, found.burst.value) == (Decimal(proof), Decimal(burst))


@outside(
    PrintedPressures,
    source="US Army TM 1-1500-204-23-2 Table 4-15: burst is twice proof but for -16, probably a misprint",
    independent="read in the table and told by its reader",
)
@pytest.mark.parametrize(
    ("dash", "twice"), [(4, True), (5, True), (6, True), (8, True), (10, True), (12, True), (16, False)]
)
def test_the_one_row_that_looks_like_a_misprint_is_found(dash: int, twice: bool) -> None:
    (row,) = (row for row in AVIATION if row.specification == "MS28759/MS28762" and row.dash == dash)
    assert row.burst_is_twice_proof is twice
