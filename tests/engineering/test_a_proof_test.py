import io
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import NotUnderstood, OutOfRange
from shop.engineering.pressures import Pressure, PressureUnit, parse_pressure
from shop.engineering.proof_test import (
    MOST_POINTS,
    highest_allowed,
    pressure_gauge_fits,
    read_curve,
)
from tests.engineering.outside import outside

UNITS = pint.UnitRegistry()
CURVE = "time s; pressure bar\n0; 0\n5; 300\n9,5; 552\n20; 555\n41,5; 551\n42; 549\n50; 560\n60; 0\n"


def fits(
    scale: str = "1000 bar", expanded: str = "1.5 bar", proof: str = "550 bar", share: str = "0.25"
) -> str:
    required = parse_pressure(proof)
    return pressure_gauge_fits(
        parse_pressure(scale),
        parse_pressure(expanded),
        required,
        highest_allowed(required, Decimal(5)),
        Decimal(share),
    ).why


@outside(
    highest_allowed,
    source="pint's own units and percent",
    independent="another library's pascals and percent",
)
@pytest.mark.parametrize(("typed", "percent"), [("550 bar", "5"), ("8000 psi", "10"), ("41.5 MPa", "7.5")])
def test_so_many_per_cent_above_proof_pressure_is_the_highest(typed: str, percent: str) -> None:
    found = highest_allowed(parse_pressure(typed), Decimal(percent))
    number, unit = typed.split()
    by_pint = UNITS.Quantity(float(number), unit) * (1 + UNITS.Quantity(float(percent), "percent"))
    assert float(found.exact_pascals) == pytest.approx(by_pint.to("pascal").magnitude, rel=1e-9)
    assert found.unit == unit


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({}, ""),
        ({"scale": "577.5 bar", "proof": "500 bar"}, ""),
        ({"scale": "577 bar"}, "Its scale ends at 577 bar; the test may reach 577.5 bar."),
        ({"scale": "600 bar"}, "is at 92% of its scale"),
        ({"scale": "2201 bar"}, "is at 25% of its scale"),
        ({"scale": "2200 bar"}, ""),
        ({"expanded": "3.4375 bar"}, ""),
        ({"expanded": "3.44 bar"}, "between 550 bar and 577.5 bar it may be 3.44 bar."),
        ({"expanded": "49 psi"}, ""),
        ({"expanded": "50 psi"}, "it may be 49.9 psi."),
        ({"expanded": "6.8 bar", "share": "0.5"}, ""),
    ],
)
def test_a_gauge_has_to_reach_far_enough_be_read_well_and_be_fine_enough(
    changes: dict[str, str], why: str
) -> None:
    found = fits(**changes)
    assert why in found
    assert bool(found) == bool(why)


def test_the_longest_time_that_it_was_not_below_counts_and_nothing_beyond_the_points() -> None:
    curve = read_curve(CURVE)
    assert curve.peak == Pressure(Decimal(560), PressureUnit.BAR)
    assert curve.held_s(parse_pressure("550 bar")) == Decimal(32)
    assert curve.held_s(parse_pressure("549 bar")) == Decimal("40.5")
    assert curve.held_s(parse_pressure("561 bar")) == 0
    assert curve.held_s(parse_pressure("55 MPa")) == Decimal(32)


@pytest.mark.parametrize(
    "text",
    [
        "time s,pressure psi\n0,0\n1,8000.5\n2,0",
        "Time [sec]\tPressure [psi]\n0\t0\n1\t8000,5\n2\t0\n\n",
        "\ufeffs;psi\r\n0;0\r\n1;8000,5\r\n2;-3",
    ],
)
def test_a_curve_is_read_as_benches_write_it(text: str) -> None:
    curve = read_curve(text)
    assert (str(curve.peak), len(curve.points)) == ("8000.5 psi", 3)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "first line"),
        ("0;0\n1;5\n2;0", "first line"),
        ("time ms;bar\n0;0\n1;5\n2;0", "first line"),
        ("time s;pressure\n0;0\n1;5\n2;0", "first line"),
        ("time s;bar;°C\n0;0;20\n1;5;20\n2;0;20", "first line"),
        ("time s;bar\n0;0\n1;much\n2;0", "Line 3"),
        ("time s;bar\n0;0\n1;NaN\n2;0", "Line 3"),
        ("time s;bar\n0;0\n1\n2;0", "Line 3"),
        ("time s;bar\n0;0\n2;5\n2;0", "Line 4 of the curve is not later"),
        ("time s;bar\n0;0\n2;5", "2 points"),
        ("time s;bar\n" + "\n".join(f"{second};1" for second in range(MOST_POINTS + 1)), "20001 points"),
    ],
    ids=range(11),
)
def test_what_is_no_curve_is_refused_with_its_line(text: str, says: str) -> None:
    with pytest.raises(NotUnderstood) as refused:
        read_curve(text)
    assert says in str(refused.value)


def test_a_curve_without_pressure_is_refused() -> None:
    with pytest.raises(OutOfRange):
        read_curve("time s;bar\n0;0\n1;0\n2;-1")


@outside(
    read_curve,
    source="numpy's own reader of tables, and the edges of its boolean array",
    independent="another reader; the runs are found by differences of a mask and not one by one",
)
@given(
    st.lists(st.tuples(st.integers(1, 90), st.integers(0, 700)), min_size=3, max_size=60).filter(
        lambda points: any(pressure for _, pressure in points)
    ),
    st.integers(1, 700),
)
def test_peak_and_hold_are_what_numpy_finds(points: list[tuple[int, int]], least: int) -> None:
    seconds = np.cumsum([step for step, _ in points])
    text = "time s,pressure bar\n" + "\n".join(
        f"{second},{pressure}" for second, (_, pressure) in zip(seconds, points, strict=True)
    )
    curve = read_curve(text)
    table = np.genfromtxt(io.StringIO(text), delimiter=",", skip_header=1)
    edges = np.diff(np.concatenate([[0], (table[:, 1] >= least).astype(int), [0]]))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    longest = max(
        (table[end, 0] - table[start, 0] for start, end in zip(starts, ends, strict=True)), default=0
    )
    assert float(curve.peak.value) == table[:, 1].max()
    assert Fraction(curve.held_s(Pressure(Decimal(least), PressureUnit.BAR))) == Fraction(longest)
