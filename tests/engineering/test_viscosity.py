import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, OutOfRange
from shop.engineering.viscosity import Fluid, ViscosityPoint, viscosity_at
from tests.engineering.outside import outside


def fluid(cold: str = "46", warm: str = "6.8", at: tuple[str, str] = ("40", "100")) -> Fluid:
    return Fluid(
        name="oil",
        density_kg_m3=Decimal(870),
        cold=ViscosityPoint(Decimal(at[0]), Decimal(cold)),
        warm=ViscosityPoint(Decimal(at[1]), Decimal(warm)),
    )


OILS = [
    fluid(),
    fluid("32", "5.4"),
    fluid("68", "8.7"),
    fluid("13.2", "4.9"),
    fluid("1500", "22", ("0", "80")),
]


@pytest.mark.parametrize("oil", OILS)
def test_it_gives_back_what_the_data_sheet_says(oil: Fluid) -> None:
    for point in (oil.cold, oil.warm):
        found = viscosity_at(oil, point.temperature_c)
        assert found.mm2_s == pytest.approx(point.mm2_s, rel=Decimal("1e-5"))
        assert not found.extrapolated


@outside(
    viscosity_at,
    source="NumPy's least squares on natural logarithms",
    independent="another library, another base of logarithms",
)
@pytest.mark.parametrize("oil", OILS)
@pytest.mark.parametrize("celsius", ["41", "50", "60", "79", "20", "110"])
def test_in_between_it_lies_on_numpys_line_through_both(oil: Fluid, celsius: str) -> None:
    # Independent: NumPy's least squares and natural logarithms, of which any base gives the same line.
    points = [oil.cold, oil.warm]
    kelvin = np.log([float(point.temperature_c) + 273.15 for point in points])
    paper = np.log(np.log([float(point.mm2_s) + 0.7 for point in points]))
    slope, height = np.polyfit(kelvin, paper, 1)
    expected = math.exp(math.exp(slope * math.log(float(celsius) + 273.15) + height)) - 0.7
    assert float(viscosity_at(oil, Decimal(celsius)).mm2_s) == pytest.approx(expected, rel=1e-5)


@outside(
    viscosity_at,
    source="a property of any straight line",
    independent="needs neither its slope nor its height",
)
def test_midway_on_the_paper_the_logarithm_is_the_geometric_mean() -> None:
    # Independent: a property of a straight line that needs neither its slope nor its height.
    midway = math.sqrt(313.15 * 373.15) - 273.15
    found = float(viscosity_at(fluid(), Decimal(str(midway))).mm2_s)
    assert math.log(found + 0.7) ** 2 == pytest.approx(math.log(46.7) * math.log(7.5), rel=1e-5)


def test_outside_the_two_temperatures_it_warns() -> None:
    cold = viscosity_at(fluid(), Decimal(0))
    assert cold.extrapolated
    assert "40 to 100 °C" in cold.cautions[0]
    assert "46 mm²/s at 40 °C" in cold.assumptions[0]
    assert viscosity_at(fluid(), Decimal(60)).cautions == ()


@pytest.mark.parametrize(
    ("temperature", "viscosity", "argument", "unit"),
    [
        ("40", "1.9", "viscosity", "mm²/s"),
        ("40", "-46", "viscosity", "mm²/s"),
        ("40", "NaN", "viscosity", "mm²/s"),
        ("40", "1000001", "viscosity", "mm²/s"),
        ("-61", "46", "temperature of the viscosity", "°C"),
        ("Infinity", "46", "temperature of the viscosity", "°C"),
    ],
)
def test_a_point_that_makes_no_sense_is_refused(
    temperature: str, viscosity: str, argument: str, unit: str
) -> None:
    with pytest.raises(EngineeringError) as refusal:
        ViscosityPoint(Decimal(temperature), Decimal(viscosity))
    assert (refusal.value.argument, refusal.value.unit) == (argument, unit)


@pytest.mark.parametrize(
    ("cold", "warm", "at"),
    [("6.8", "46", ("40", "100")), ("46", "46", ("40", "100")), ("46", "6.8", ("100", "40"))],
)
def test_the_warmer_one_has_to_be_thinner(cold: str, warm: str, at: tuple[str, str]) -> None:
    with pytest.raises(OutOfRange, match="don't fit"):
        fluid(cold, warm, at)


@pytest.mark.parametrize("density", ["0", "-870", "NaN", "8700"])
def test_a_density_that_no_fluid_has_is_refused(density: str) -> None:
    with pytest.raises(EngineeringError) as refusal:
        Fluid("oil", Decimal(density), fluid().cold, fluid().warm)
    assert (refusal.value.argument, refusal.value.unit) == ("density", "kg/m³")


@pytest.mark.parametrize("celsius", ["-61", "251", "NaN"])
def test_a_temperature_that_no_hose_stands_is_refused(celsius: str) -> None:
    with pytest.raises(EngineeringError) as refusal:
        viscosity_at(fluid(), Decimal(celsius))
    assert (refusal.value.argument, refusal.value.unit) == ("temperature", "°C")


@pytest.mark.parametrize(
    ("oil", "celsius"), [(fluid(), "240"), (fluid("1000000", "2", ("0", "10")), "-60"), (fluid(), "-60")]
)
def test_where_the_line_leaves_its_range_nothing_is_said(oil: Fluid, celsius: str) -> None:
    with pytest.raises(OutOfRange, match="can't be told"):
        viscosity_at(oil, Decimal(celsius))


@given(st.decimals(-20, 140, places=1), st.decimals(-20, 140, places=1))
def test_a_warmer_oil_is_never_thicker(a: Decimal, b: Decimal) -> None:
    colder, warmer = sorted((a, b))
    assert viscosity_at(fluid(), colder).mm2_s >= viscosity_at(fluid(), warmer).mm2_s
