"""Lengths, angles and crimps by another route: drawings, simulation, and figures that documents print."""

import csv
import math
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import brentq

from shop.engineering.conformity import UncertaintyParts, repeatability_mm, uncertainty_of_mean
from shop.engineering.crimp import judge_crimp
from shop.engineering.cut_correction import Finished, cut_correction
from shop.engineering.dates import Made, last_day_to_fit
from shop.engineering.decision import DecisionRule, guard_mm
from shop.engineering.elongation import length_change
from shop.engineering.flange_identification import identify_flange, read_flanges
from shop.engineering.line_fit import student_t
from shop.engineering.orientation import (
    angle_off,
    orientation_tolerance_deg,
)
from shop.engineering.routing_shapes import SCurve
from shop.engineering.thread_identification import Gender, Measured, identify, read_connections
from shop.engineering.tolerance import length_limits_mm, read_rules
from tests.engineering.charts import CALIPER, MICROMETER, limits
from tests.engineering.outside import outside

TABLES = Path(__file__).parents[2] / "fixtures/standards"
DATA = Path(__file__).parent / "data"
PINT: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)


def in_pint(value: str, unit: str, to: str) -> Fraction:
    """A number in one unit as `pint` says it in another, exactly."""
    return Fraction(PINT.Quantity(Fraction(value), unit).to(to).magnitude)


@outside(
    length_change,
    source="FAA AC 43.13-1B Fig. 9-9: up to 2 % longer and 4 % shorter, on the 500 mm of ISO 6605:2017 5.3",
    independent="10 and 20 mm of 500, counted and not divided",
)
@pytest.mark.parametrize(
    ("millimetres", "within"), [("10", True), ("10.001", False), ("-20", True), ("-20.001", False)]
)
def test_of_500_mm_a_hose_may_gain_10_and_lose_20(millimetres: str, within: bool) -> None:
    assert length_change(500 + Decimal(millimetres)).within is within


@outside(
    length_limits_mm,
    source="trade-body hose handbook IP-2 (2003) Table 4-8, printed in inches",
    independent="inches by pint, while the table that is checked is in millimetres",
)
@pytest.mark.parametrize(
    ("length_in", "tolerance_in"),
    [("12", "0.125"), ("24", "0.188"), ("36", "0.250"), ("48", "0.375"), ("72", "0.500"), ("100", "1")],
)
def test_cut_hose_has_the_tolerance_that_the_handbook_prints(length_in: str, tolerance_in: str) -> None:
    cut_hose = read_rules(TABLES / "length_tolerances.csv")["IP-2 cut length"]
    found = length_limits_mm(Decimal(length_in) * Decimal("25.4"), 8, cut_hose)
    either_way = float(found.upper_mm - found.lower_mm) / 2
    assert either_way == pytest.approx(float(in_pint(tolerance_in, "inch", "mm")), abs=0.055)


@outside(
    orientation_tolerance_deg,
    source="MIL-DTL-83796/5 Figure 3: 3° up to 2 ft, 5° above",
    independent="the length in feet by pint, where the program counts 610 mm",
)
@pytest.mark.parametrize(("feet", "degrees"), [("1", 3), ("2", 3), ("2.1", 5), ("10", 5)])
def test_the_angle_is_held_closer_up_to_two_feet(feet: str, degrees: int) -> None:
    assert orientation_tolerance_deg(Decimal(float(in_pint(feet, "foot", "mm")))) == degrees


@outside(
    angle_off,
    source="the arc between two hands of a clock, by NumPy's arc cosine",
    independent="a scalar product, no turn of 360°",
)
@given(st.decimals(0, 360, places=1), st.decimals(0, 360, places=1))
def test_an_angle_is_off_by_the_arc_between_two_hands(measured: Decimal, wanted: Decimal) -> None:
    one, other = np.exp(1j * np.radians([float(measured), float(wanted)]))
    between = np.degrees(np.arccos(np.clip((one * other.conjugate()).real, -1, 1)))
    assert float(angle_off(measured, wanted)) == pytest.approx(between, abs=1e-5)


@outside(
    SCurve,
    source="SciPy's root of h = 2r (1 - cos θ), and the sine integrated along the curve",
    independent="the angle is searched for and the advance is an area",
)
@pytest.mark.parametrize(
    ("centreline", "offset"), [(191.5, 1.0), (191.5, 100.0), (191.5, 382.0), (500.0, 30.0), (80.0, 159.0)]
)
def test_two_bends_shift_a_line_as_scipy_solves(centreline: float, offset: float) -> None:
    theta = brentq(
        lambda angle: 2 * centreline * (1 - math.cos(angle)) - offset, 1e-6, math.pi / 2, xtol=1e-14
    )
    along = np.linspace(0, theta, 100_001)
    shape = SCurve(centreline, offset)
    assert math.radians(shape.angle_deg) == pytest.approx(theta, rel=1e-6)
    assert shape.advance == pytest.approx(2 * centreline * np.trapezoid(np.cos(along), along), rel=1e-6)


@outside(
    judge_crimp,
    source="NumPy's mean and peak-to-peak of each section",
    independent="another library, in floating point",
)
@given(
    st.lists(st.decimals("20.1", "20.3", places=3), min_size=3, max_size=8),
    st.lists(st.decimals("20.1", "20.3", places=3), min_size=3, max_size=8),
)
def test_mean_spread_and_taper_are_numpys(first: list[Decimal], second: list[Decimal]) -> None:
    chart = limits(readings=3)
    found = judge_crimp(first, chart, MICROMETER, DecisionRule.PLAIN, other_section_mm=second)
    one, other = np.array(first, dtype=float), np.array(second, dtype=float)
    assert float(found.mean_mm) == pytest.approx(one.mean(), abs=1e-6)
    assert float(found.spread_mm) == pytest.approx(np.ptp(one), abs=1e-9)
    assert found.taper_mm is not None
    assert float(found.taper_mm) == pytest.approx(abs(one.mean() - other.mean()), abs=2e-6)


@outside(
    guard_mm,
    source="SciPy's normal distribution: 95 % on one side, 97.7 % for two standard uncertainties",
    independent="the probability at the end of the zone, not the factor",
)
@pytest.mark.parametrize(
    ("rule", "sure"), [(DecisionRule.GUARDED_164U, 0.9495), (DecisionRule.GUARDED_U, 0.97725)]
)
def test_a_guard_makes_a_value_at_its_edge_as_sure_as_its_rule_says(rule: DecisionRule, sure: float) -> None:
    u = float(CALIPER.expanded_mm / CALIPER.coverage_factor)
    assert stats.norm.cdf(float(guard_mm(CALIPER, rule)) / u) == pytest.approx(sure, abs=1e-4)


@outside(
    uncertainty_of_mean,
    source="200 000 simulated means: a bias and a rounding shared by all readings, and a scatter of each",
    independent="a simulation by NumPy; no sum of squares",
)
@pytest.mark.parametrize("readings", [1, 4, 9])
def test_the_uncertainty_of_a_mean_is_what_simulated_means_scatter_by(readings: int) -> None:
    chance = np.random.default_rng(20_260_101)
    trials = 200_000
    shared = chance.normal(0, 0.008, trials) + chance.uniform(-0.005, 0.005, trials)
    scatter = chance.normal(0, 0.012, (trials, readings)).mean(axis=1)
    parts = UncertaintyParts(
        calibration_mm=Decimal("0.008"), repeatability_mm=Decimal("0.012"), resolution_mm=Decimal("0.01")
    )
    found = uncertainty_of_mean(parts, readings)
    assert float(found.standard_mm) == pytest.approx(np.std(shared + scatter), rel=0.01)


@outside(
    repeatability_mm,
    source="gauge study of 10 parts by 3 people in 3 trials, as a trade body's manual prints it",
    independent="the mean square of its published analysis of variance, 0.04598",
)
def test_repeatability_is_that_of_the_published_gauge_study() -> None:
    trials: dict[tuple[str, str], list[Decimal]] = {}
    with (DATA / "gauge_study.csv").open(newline="") as table:
        for row in csv.DictReader(table):
            # The study's readings are deviations; ten more of each makes them diameters and spreads the same.
            trials.setdefault((row["part"], row["operator"]), []).append(Decimal(row["value"]) + 10)
    squares = [repeatability_mm(readings) ** 2 for readings in trials.values()]
    assert len(squares) == 30
    assert sum(squares) / 30 == pytest.approx(Decimal("0.04598"), abs=Decimal("0.000005"))


@outside(
    cut_correction,
    source="NIST e-Handbook 6.3.2.2: ten flow rates of mean 50.81 and s = 2.0339",
    independent="published mean and standard deviation of data from outside the trade",
)
def test_finished_lengths_have_the_mean_and_spread_that_nist_prints() -> None:
    rates = ["49.6", "47.6", "49.9", "51.3", "47.8", "51.2", "52.6", "52.4", "53.6", "52.1"]
    found = cut_correction([Finished(Decimal(50), Decimal(rate)) for rate in rates])
    assert found.mean_mm == Decimal("0.81")
    assert round(found.spread_mm, 4) == Decimal("2.0339")


@outside(student_t, source="SciPy's percent point function of t", independent="another library, no halving")
@given(st.sampled_from(["0.5", "0.9", "0.95", "0.99", "0.999"]), st.integers(1, 200))
def test_the_t_that_holds_a_confidence_is_scipys(confidence: str, degrees: int) -> None:
    expected = stats.t.ppf((1 + float(confidence)) / 2, degrees)
    assert float(student_t(Decimal(confidence), degrees)) == pytest.approx(expected, rel=1e-7)


@outside(
    last_day_to_fit,
    source="NumPy's calendar of months",
    independent="another library, months counted from 1970",
)
@given(st.integers(1980, 2079), st.integers(1, 4), st.integers(1, 600), st.booleans())
def test_the_last_day_to_fit_is_that_of_numpys_calendar(
    year: int, quarter: int, months: int, own: bool
) -> None:
    starts = np.datetime64(f"{year}-{3 * quarter - 2:02}", "M") + np.timedelta64(0 if own else 3, "M")
    last = (starts + np.timedelta64(months, "M")).astype("datetime64[D]") - np.timedelta64(1, "D")
    assert last_day_to_fit(Made(year, quarter, None, ""), months, own) == last.astype(object)


BRITISH_PIPE = [
    ("-2", "9.728", 28),
    ("-4", "13.157", 19),
    ("-6", "16.662", 19),
    ("-8", "20.955", 14),
    ("-10", "22.911", 14),
    ("-12", "26.441", 14),
    ("-16", "33.249", 11),
    ("-20", "41.910", 11),
    ("-24", "47.803", 11),
    ("-32", "59.614", 11),
]


@outside(
    identify,
    source="British pipe threads, major diameter and threads per inch, two public tables that agree",
    independent="typed from the tables, while the program's candidates come by distance",
)
@pytest.mark.parametrize(("size", "major", "per_inch"), BRITISH_PIPE)
def test_british_pipe_is_known_by_its_printed_diameter_and_count(
    size: str, major: str, per_inch: int
) -> None:
    table = read_connections(TABLES / "connections.csv")
    found = identify(Measured(Gender.MALE, Decimal(major), Fraction("25.4") / per_inch), table)
    exact = [c.connection for c in found.candidates if c.distance_mm == 0]
    assert size in [connection.size for connection in exact if connection.system.startswith("BSP")]


@outside(
    read_flanges,
    source="titles of ISO 6162-1 (3.5 to 35 MPa, DN 13 to 127) and ISO 6162-2 (42 MPa, DN 13 to 76)",
    independent="ranges of whole standards, rounded in MPa, while the rows are in psi by size",
)
@pytest.mark.parametrize(
    ("code", "lowest_mpa", "highest_mpa", "largest_dn"), [("61", 3.5, 35, 127), ("62", 42, 42, 76)]
)
def test_flanges_keep_within_what_their_standards_are_titled_for(
    code: str, lowest_mpa: float, highest_mpa: float, largest_dn: int
) -> None:
    flanges = [f for f in read_flanges(TABLES / "connections.csv") if f"code {code}" in f.system]
    mpa = [float(in_pint(str(f.rating.value), f.rating.unit, "megapascal")) for f in flanges]
    assert (min(mpa), max(mpa)) == pytest.approx((lowest_mpa, highest_mpa), rel=0.02)
    bores = [float(in_pint(f.size.removeprefix("-"), "inch", "mm")) / 16 for f in flanges]
    assert 12 < min(bores) < 13.5
    assert max(bores) < largest_dn + 1


@outside(
    identify_flange,
    source="NumPy's sorting of the distances",
    independent="another library, all heads at once",
)
@given(st.decimals(29, 110, places=1))
def test_flanges_come_nearest_first_as_numpy_sorts_them(head: Decimal) -> None:
    flanges = read_flanges(TABLES / "connections.csv")
    off = np.abs(np.array([float(flange.head_mm) for flange in flanges]) - float(head))
    assume(off.min() <= 2)
    found = identify_flange(head, flanges).candidates
    assert [float(c.off_mm) for c in found] == pytest.approx(np.sort(off)[: (off <= 2 + 1e-9).sum()])
