from collections.abc import Callable
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.duty import (
    CLASSES_BAR,
    NOT_A_MARGIN,
    check_suction,
    check_surge,
    lowest_class_for,
    upper_temperature_c,
)
from shop.engineering.errors import EngineeringError, OffTheTable, OutOfRange
from shop.engineering.pressures import Pressure, PressureUnit
from tests.engineering.outside import outside

UNITS = pint.UnitRegistry(non_int_type=Decimal)
PINT_NAMES = {"bar": "bar", "psi": "psi", "MPa": "megapascal", "kPa": "kilopascal"}
AMOUNTS = st.decimals("1", "600", places=2)
ANY_UNIT = st.sampled_from(PressureUnit)


def p(value: str, unit: PressureUnit = PressureUnit.BAR) -> Pressure:
    return Pressure(Decimal(value), unit)


def psi(value: str) -> Pressure:
    return p(value, PressureUnit.PSI)


def pascals(pressure: Pressure) -> Decimal:
    """By `pint`, which has conversion factors of its own."""
    return Decimal(UNITS.Quantity(pressure.value, PINT_NAMES[pressure.unit]).to("pascal").magnitude)


@pytest.mark.parametrize(
    ("working", "surge", "rating", "within"),
    [
        (p("250"), p("25"), p("275"), True),
        (p("250"), p("25.01"), p("275"), False),
        (psi("3000"), psi("1000"), psi("4000"), True),
        (psi("3000"), psi("1001"), psi("4000"), False),
        (p("275"), p("0"), p("275"), True),
        # 41.4 MPa is 6004.56 psi: facts of conversion, so 6000 psi and 4 psi are within and 5 are not
        (psi("6000"), psi("4"), p("41.4", PressureUnit.MPA), True),
        (psi("6000"), psi("5"), p("41.4", PressureUnit.MPA), False),
    ],
)
def test_working_pressure_and_surge_count_together(
    working: Pressure, surge: Pressure, rating: Pressure, within: bool
) -> None:
    # SAE J1273, from memory: the rating covers the peak.
    check = check_surge(working, surge, rating)
    assert check.within is within
    assert ("limit the surge" in check.reason) is not within
    assert NOT_A_MARGIN in check.cautions
    assert check.assumptions


def test_a_highest_pressure_that_has_its_surges_in_it_stands_alone() -> None:
    check = check_surge(psi("3000"), None, psi("3000"))
    assert (check.within, check.demand) == (True, psi("3000"))
    above = check_surge(psi("3001"), None, psi("3000"))
    assert not above.within
    assert "limit the pressure" in above.reason


@outside(
    check_surge,
    source="pint's own table of units",
    independent="another library with factors of its own",
)
@given(AMOUNTS, AMOUNTS, AMOUNTS, ANY_UNIT, ANY_UNIT, ANY_UNIT)
def test_mixed_units_are_compared_as_pint_compares_them(
    working: Decimal,
    surge: Decimal,
    rating: Decimal,
    of_working: PressureUnit,
    of_surge: PressureUnit,
    of_rating: PressureUnit,
) -> None:
    check = check_surge(Pressure(working, of_working), Pressure(surge, of_surge), Pressure(rating, of_rating))
    peak = pascals(Pressure(working, of_working)) + pascals(Pressure(surge, of_surge))
    allowed = pascals(Pressure(rating, of_rating))
    if abs(peak - allowed) > allowed * Decimal("1e-12"):
        assert check.within is (peak < allowed)
    shown = pascals(check.demand)
    assert peak * (1 - Decimal("1e-12")) <= shown
    assert shown - peak <= pascals(Pressure(Decimal("0.0011"), of_working))


@given(AMOUNTS, AMOUNTS, st.decimals("0", "50", places=2))
def test_a_larger_surge_never_comes_within(working: Decimal, rating: Decimal, surge: Decimal) -> None:
    smaller = check_surge(p(str(working)), p(str(surge)), p(str(rating)))
    larger = check_surge(p(str(working)), p(str(surge + 1)), p(str(rating)))
    assert smaller.within or not larger.within


@pytest.mark.parametrize(
    ("vacuum", "rated", "within"),
    [
        (p("0.5"), p("0.85"), True),
        (p("0.85"), p("0.85"), True),
        (p("0.9"), p("0.85"), False),
        (p("85", PressureUnit.KPA), p("0.85"), True),
        (psi("12.33"), p("0.85"), False),  # 12.328 psi are 0.85 bar
    ],
)
def test_suction_hose_stands_the_vacuum(vacuum: Pressure, rated: Pressure, within: bool) -> None:
    check = check_suction(vacuum, rated)
    assert check.within is within
    assert check.assumptions
    assert check.cautions


def test_hose_without_a_vacuum_rating_is_not_for_suction() -> None:
    with pytest.raises(OffTheTable, match="not for suction") as refusal:
        check_suction(p("0.2"), None)
    assert refusal.value.argument == "vacuum rating"


@outside(check_suction, source="pint's standard atmosphere", independent="a unit of another library")
@pytest.mark.parametrize("vacuum", ["1.01326", "5"])
def test_nothing_is_emptier_than_empty(vacuum: str) -> None:
    # Standard atmosphere, 101 325 Pa: `pint` has it as a unit.
    assert UNITS.Quantity(Decimal(1), "atm").to("bar").magnitude == Decimal("1.01325")
    with pytest.raises(OutOfRange, match="deeper than atmosphere"):
        check_suction(p(vacuum), p("0.85"))
    with pytest.raises(OutOfRange, match="deeper than atmosphere"):
        check_suction(p("0.5"), p(vacuum))


def test_there_are_ten_pressure_classes() -> None:
    # ISO 18752, abstract: ten classes; the printed psi of the highest and lowest, from memory: 500 and 8000.
    assert len(CLASSES_BAR) == 10
    assert list(CLASSES_BAR) == sorted(CLASSES_BAR)
    assert round(pascals(p(str(CLASSES_BAR[0]))) / pascals(psi("500")), 1) == 1
    assert round(pascals(p(str(CLASSES_BAR[-1]))) / pascals(psi("8000")), 1) == 1


@pytest.mark.parametrize(
    ("demand", "rating"),
    [(p("35"), "35"), (p("35.01"), "70"), (psi("5000"), "350"), (psi("5100"), "420"), (p("560"), "560")],
)
def test_the_lowest_class_that_covers_the_demand(demand: Pressure, rating: str) -> None:
    # 5000 psi are 344.7 bar and 5100 are 351.6: conversion by hand.
    found = lowest_class_for(demand)
    assert found.rating == p(rating)
    assert any("from memory" in caution for caution in found.cautions)
    assert found.assumptions


@given(st.decimals("0.01", "560", places=2))
def test_a_class_covers_and_the_one_below_does_not(demand: Decimal) -> None:
    rating = lowest_class_for(p(str(demand))).rating.value
    assert demand <= rating
    assert all(lower < demand for lower in CLASSES_BAR if lower < rating)


@outside(
    upper_temperature_c,
    source="scope of ISO 18752: to 100 °C and to 120 °C by grade and type",
    independent="read in its scope",
)
@pytest.mark.parametrize(("grade", "upper_c"), [("AS", 100), ("bc", 100), (" CS ", 120), ("DC", 120)])
def test_grades_have_their_upper_temperature(grade: str, upper_c: int) -> None:
    # ISO 18752, read: AS, AC, BS and BC to 100 °C, CS, CC and DC to 120 °C.
    assert upper_temperature_c(grade) == upper_c


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: check_surge(p("0"), p("10"), p("275")), OutOfRange, "working pressure"),
        (lambda: check_surge(p("250"), p("10"), p("0")), OutOfRange, "rating"),
        (lambda: check_suction(p("0"), p("0.85")), OutOfRange, "vacuum"),
        (lambda: check_suction(p("0.5"), p("0")), OutOfRange, "vacuum rating"),
        (lambda: lowest_class_for(p("560.01")), OffTheTable, "pressure"),
        (lambda: lowest_class_for(p("0")), OutOfRange, "pressure"),
        (lambda: upper_temperature_c("DS"), OffTheTable, "grade and type"),
        (lambda: upper_temperature_c(""), OffTheTable, "grade and type"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed
