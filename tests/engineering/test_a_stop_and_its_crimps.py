import csv
from collections.abc import Callable
from decimal import Decimal
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import special, stats

from shop.engineering.errors import EngineeringError, NotANumber, OffTheTable, OutOfRange
from shop.engineering.line_fit import fit_line, student_t, student_within
from shop.engineering.stop_geometry import (
    ONLY_A_CHECK,
    SAME_PRESS_AND_DIES,
    SAYS_LITTLE,
    StopCrimp,
    StopLine,
    Tapers,
    check_stop,
    diameter_per_mm,
    fit_stops,
)
from tests.engineering.outside import outside

DATA = Path(__file__).parent / "data"

# An invented workshop's crimps: stop thickness and mean diameter, mm.
CRIMPS = [
    ("10", "20.21"),
    ("12", "20.92"),
    ("14", "21.62"),
    ("16", "22.36"),
    ("18", "23.03"),
    ("20", "23.77"),
]
POINTS = st.lists(
    st.tuples(st.decimals("0", "40", places=2), st.decimals("15", "60", places=2)), min_size=3, max_size=12
)


def stops(crimps: list[tuple[str, str]] = CRIMPS, geometry: str | None = None) -> StopLine:
    return fit_stops(
        [StopCrimp(Decimal(thickness), Decimal(diameter)) for thickness, diameter in crimps],
        None if geometry is None else Decimal(geometry),
    )


@outside(
    fit_line,
    source="NIST Statistical Reference Datasets, linear regression, Norris",
    independent="certified by NIST in multiple precision",
)
@pytest.mark.parametrize(
    ("what", "certified", "why_independent"),
    [
        ("intercept", "-0.262323073774029", "certified by NIST in multiple precision"),
        ("slope", "1.00211681802045", "certified by NIST in multiple precision"),
        ("error of intercept", "0.232818234301152", "certified by NIST in multiple precision"),
        ("error of slope", "0.000429796848199937", "certified by NIST in multiple precision"),
        ("residual", "0.884796396144373", "certified by NIST in multiple precision"),
    ],
)
def test_the_line_through_the_norris_data_is_the_certified_one(
    what: str, certified: str, why_independent: str
) -> None:
    # NIST Statistical Reference Datasets, linear regression, Norris (calibration of ozone monitors).
    with (DATA / "nist_norris.csv").open(newline="") as table:
        line = fit_line([(Decimal(row["x"]), Decimal(row["y"])) for row in csv.DictReader(table)])
    found = {
        "intercept": line.intercept.value,
        "slope": line.slope.value,
        "error of intercept": line.intercept.standard_error,
        "error of slope": line.slope.standard_error,
        "residual": line.residual_sd,
    }
    assert found[what] == pytest.approx(Decimal(certified), abs=Decimal("0.000000001"))


@outside(fit_line, source="NumPy's polyfit and lstsq", independent="another library, other algorithms")
@given(POINTS)
def test_the_line_is_that_of_numpy(points: list[tuple[Decimal, Decimal]]) -> None:
    x, y = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    assume(x.std() > 0.1)
    slope, intercept = np.polyfit(x, y, 1)
    (by_lstsq, residual, _, _) = np.linalg.lstsq(np.column_stack([x, np.ones_like(x)]), y, rcond=None)
    line = fit_line(points)
    assert float(line.slope.value) == pytest.approx(slope, abs=1e-6)
    assert float(line.intercept.value) == pytest.approx(intercept, abs=1e-5)
    assert float(line.slope.value) == pytest.approx(by_lstsq[0], abs=1e-6)
    assert float(line.residual_sd) == pytest.approx(np.sqrt(residual[0] / (len(points) - 2)), abs=1e-6)


@outside(
    fit_line,
    source="s²(XᵀX)⁻¹ inverted by NumPy",
    independent="another route than the sums of simple regression",
)
@given(POINTS, st.decimals("0", "40", places=1))
def test_its_errors_are_those_of_the_covariance_matrix(
    points: list[tuple[Decimal, Decimal]], at: Decimal
) -> None:
    # s²(XᵀX)⁻¹, another route than the sums of simple regression.
    x = np.array([x for x, _ in points], dtype=float)
    assume(x.std() > 0.1)
    design = np.column_stack([x, np.ones_like(x)])
    line = fit_line(points)
    covariance = float(line.residual_sd) ** 2 * np.linalg.inv(design.T @ design)
    row = np.array([float(at), 1.0])
    of_next = np.sqrt(float(line.residual_sd) ** 2 + row @ covariance @ row)
    assert float(line.slope.standard_error) == pytest.approx(np.sqrt(covariance[0, 0]), rel=1e-5, abs=1e-7)
    assert float(line.intercept.standard_error) == pytest.approx(
        np.sqrt(covariance[1, 1]), rel=1e-5, abs=1e-7
    )
    assert float(line.at(at).standard_error) == pytest.approx(of_next, rel=1e-5, abs=1e-7)


@pytest.mark.parametrize(
    ("degrees", "t", "why_independent"),
    [
        (1, "12.706", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (2, "4.303", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (3, "3.182", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (4, "2.776", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (5, "2.571", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (10, "2.228", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
        (30, "2.042", "printed table of t, 95 % two-sided, from memory; the code sums a series"),
    ],
)
def test_students_t_is_that_of_the_printed_table(degrees: int, t: str, why_independent: str) -> None:
    assert round(student_t(Decimal("0.95"), degrees), 3) == Decimal(t)


@outside(
    student_within,
    source="SciPy's incomplete beta function",
    independent="another library, no finite series",
)
@given(st.integers(1, 60), st.floats(0, 30))
def test_students_distribution_is_that_of_scipy(degrees: int, t: float) -> None:
    # Not by SciPy's own distribution of t: near the middle that is good for nine places only.
    within = special.betainc(1 / 2, degrees / 2, t**2 / (degrees + t**2))
    assert student_within(t, degrees) == pytest.approx(within, abs=1e-12)


@outside(
    diameter_per_mm,
    source="a wedge moved along its cone, solved by NumPy",
    independent="a position that is solved for, no tangent",
)
@pytest.mark.parametrize("tapers", Tapers)
@pytest.mark.parametrize("degrees", ["5", "10", "15", "22.5"])
def test_a_drawn_wedge_changes_the_diameter_as_the_formula_says(tapers: Tapers, degrees: str) -> None:
    # Independent: the die's back slides along a line of that angle; its position is solved, no tangent used.
    angle = radians(float(degrees))
    direction = np.array([cos(angle), sin(angle)])  # along the cone: axial, radial
    shared = 1 if tapers is Tapers.ONE else 2  # two cones each take half of the travel
    along, radial = np.linalg.solve(np.column_stack([direction, [0.0, -1.0]]), [1 / shared, 0.0])
    assert along > 0
    assert float(diameter_per_mm(Decimal(degrees), tapers)) == pytest.approx(2 * radial, abs=1e-8)


def test_two_tapers_change_half_as_much_as_one() -> None:
    assert diameter_per_mm(Decimal(10), Tapers.ONE) == pytest.approx(
        2 * diameter_per_mm(Decimal(10), Tapers.TWO), abs=Decimal("0.000000002")
    )


@outside(fit_stops, source="SciPy's linregress on the same crimps", independent="another library")
def test_a_stop_between_those_used_is_predicted_with_its_error() -> None:
    expected = stops().diameter_mm(Decimal(15))
    by_scipy = stats.linregress([float(t) for t, _ in CRIMPS], [float(d) for _, d in CRIMPS])
    assert float(expected.value) == pytest.approx(by_scipy.intercept + 15 * by_scipy.slope, abs=1e-8)
    assert float(stops().slope.standard_error) == pytest.approx(by_scipy.stderr, abs=1e-8)
    assert float(stops().intercept.standard_error) == pytest.approx(by_scipy.intercept_stderr, abs=1e-8)
    assert expected.standard_error > stops().line.residual_sd


@pytest.mark.parametrize("thickness", ["9.99", "20.01", "0"])
def test_nothing_is_predicted_beyond_the_stops_that_were_used(thickness: str) -> None:
    with pytest.raises(OffTheTable) as refusal:
        stops().diameter_mm(Decimal(thickness))
    assert refusal.value.allowed == "10 to 20 mm"
    assert refusal.value.argument == "stop thickness"


def test_a_chart_and_its_stop_agree() -> None:
    check = check_stop(stops(), Decimal(14), Decimal("21.55"), Decimal("21.75"))
    assert check.agrees
    assert check.low_mm < Decimal("21.62") < check.high_mm
    assert "agrees with the chart's 21.55 to 21.75 mm" in check.reason
    assert ONLY_A_CHECK in check.cautions
    assert check.assumptions


def test_a_stop_that_leads_away_from_the_chart_is_said_before_the_press_moves() -> None:
    check = check_stop(stops(), Decimal(16), Decimal("21.55"), Decimal("21.75"))
    assert not check.agrees
    assert "Check stop, dies and chart before you crimp." in check.reason


def test_crimps_of_several_hoses_are_said_to_be_so() -> None:
    crimps = [StopCrimp(Decimal(thickness), Decimal(diameter)) for thickness, diameter in CRIMPS]
    assert fit_stops(crimps, of_one_hose=False).assumptions[0] == SAME_PRESS_AND_DIES
    assert SAME_PRESS_AND_DIES not in fit_stops(crimps).assumptions


def test_a_check_that_can_not_tell_says_so() -> None:
    few = stops([("10", "20.2"), ("14", "21.8"), ("18", "23.0")])
    check = check_stop(few, Decimal(14), Decimal("21.55"), Decimal("21.75"))
    assert check.agrees
    assert SAYS_LITTLE in check.cautions
    assert SAYS_LITTLE not in check_stop(stops(), Decimal(14), Decimal("21.5"), Decimal("21.8")).cautions


def test_the_range_holds_the_next_crimp_with_95_percent() -> None:
    # Student's t of four degrees of freedom, 95 % two-sided: 2.776, printed table.
    check = check_stop(stops(), Decimal(15), Decimal("21.9"), Decimal("22.1"))
    reach = (check.high_mm - check.low_mm) / 2
    assert reach / check.expected.standard_error == pytest.approx(Decimal("2.776"), abs=Decimal("0.0005"))


def test_a_taper_that_does_not_agree_with_the_crimps_is_said() -> None:
    ten_degrees = str(diameter_per_mm(Decimal(10), Tapers.ONE))  # 0.3527, and the crimps say 0.356
    assert stops(geometry=ten_degrees).cautions == (ONLY_A_CHECK,)
    of_two = stops(geometry=str(diameter_per_mm(Decimal(10), Tapers.TWO)))
    assert any("Check the taper's angle" in caution for caution in of_two.cautions)


def test_a_thicker_stop_that_makes_a_smaller_crimp_is_said() -> None:
    falling = stops([("10", "23"), ("12", "22"), ("14", "21.1")])
    assert any("exchanged" in caution for caution in falling.cautions)


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: stops(CRIMPS[:2]), OutOfRange, "points"),
        (lambda: stops([("10", "20"), ("10", "20.1"), ("10", "20.2")]), OutOfRange, "points"),
        (lambda: stops([("-1", "20")]), OutOfRange, "stop thickness"),
        (lambda: stops([("NaN", "20")]), NotANumber, "stop thickness"),
        (lambda: stops([("10", "0")]), OutOfRange, "crimp diameter"),
        (lambda: stops(geometry="-0.3"), OutOfRange, "change of diameter per millimetre of stop"),
        (lambda: stops().diameter_mm(Decimal("NaN")), NotANumber, "stop thickness"),
        (lambda: check_stop(stops(), Decimal(14), Decimal(22), Decimal(21)), OutOfRange, "crimp limits"),
        (
            lambda: check_stop(stops(), Decimal(14), Decimal("NaN"), Decimal(21)),
            NotANumber,
            "lower crimp limit",
        ),
        (lambda: diameter_per_mm(Decimal(0), Tapers.ONE), OutOfRange, "taper angle"),
        (lambda: diameter_per_mm(Decimal(60), Tapers.ONE), OutOfRange, "taper angle"),
        (lambda: diameter_per_mm(Decimal("Infinity"), Tapers.TWO), NotANumber, "taper angle"),
        (lambda: student_t(Decimal(1), 4), OutOfRange, "confidence"),
        (lambda: student_t(Decimal("0.95"), 0), OutOfRange, "degrees of freedom"),
        (lambda: student_within(1.0, -1), OutOfRange, "degrees of freedom"),
        (lambda: fit_line([(Decimal("NaN"), Decimal(1))] * 3), NotANumber, "x"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.got or refused.value.allowed
