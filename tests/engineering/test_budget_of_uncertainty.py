"""The uncertainty of a reading from what it comes from."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shop.engineering.decision import DecisionRule, MeasurementUncertainty, finest_tolerance_mm, gauge_fits
from shop.engineering.errors import OutOfRange
from shop.engineering.uncertainty_budget import UncertaintyBudget
from tests.engineering.charts import CALIPER, limits
from tests.engineering.outside import outside

D = Decimal
SMALL = st.decimals("0.001", "0.2", places=4)


def budget(certificate: str, resolution: str, temperature: str, repeatability: str) -> UncertaintyBudget:
    return UncertaintyBudget(
        certificate_mm=D(certificate),
        resolution_mm=D(resolution),
        temperature_mm=D(temperature),
        repeatability_mm=D(repeatability),
    )


@outside(
    UncertaintyBudget,
    source="SciPy's uniform and normal distributions",
    independent="standard deviations of another library's distributions, added as floating-point numbers",
)
@given(SMALL, SMALL, SMALL, SMALL)
def test_it_combines_what_the_distributions_say(c: Decimal, r: Decimal, t: Decimal, s: Decimal) -> None:
    parts = (
        stats.norm(scale=float(c) / 2).std(),
        stats.uniform(loc=-float(r) / 2, scale=float(r)).std(),
        stats.uniform(loc=-float(t), scale=2 * float(t)).std(),
        float(s),
    )
    found = UncertaintyBudget(certificate_mm=c, resolution_mm=r, temperature_mm=t, repeatability_mm=s)
    assert [float(part) for _, part in found.components] == pytest.approx(parts, abs=1.1e-6)
    assert float(found.combined_mm) == pytest.approx(float(np.linalg.norm(parts)), abs=1.1e-6)
    assert float(found.expanded_mm) == pytest.approx(2 * float(np.linalg.norm(parts)), abs=1.1e-6)


@outside(
    UncertaintyBudget,
    source="a million readings drawn by NumPy with each part's own distribution",
    independent="a simulation in which nothing is squared or added up",
)
def test_drawn_readings_spread_as_it_says() -> None:
    draw = np.random.default_rng(20261125)
    many = 1_000_000
    off = draw.normal(0, 0.01, many) + draw.uniform(-0.005, 0.005, many)
    off += draw.uniform(-0.012, 0.012, many) + draw.normal(0, 0.008, many)
    found = budget("0.02", "0.01", "0.012", "0.008")
    assert float(found.combined_mm) == pytest.approx(off.std(), rel=0.005)
    within = np.mean(np.abs(off) <= float(found.expanded_mm))
    assert within == pytest.approx(0.95, abs=0.01)


def test_the_example_of_end_gauges_comes_out() -> None:
    """JCGM 100:2008, H.1, from memory: 25, 9.7, 2.9 and 16.6 nm combine to 32 nm; here in other clothes."""
    in_budget = UncertaintyBudget(
        certificate_mm=2 * D("0.000025"),
        resolution_mm=2 * D("0.0000097") * D(3).sqrt(),
        temperature_mm=D("0.0000029") * D(3).sqrt(),
        repeatability_mm=D("0.0000166"),
    )
    assert in_budget.combined_mm == D("0.000032")


def test_nothing_is_ever_rounded_down() -> None:
    assert budget("0.02", "0.01", "0", "0").combined_mm == D("0.010409")  # 0.0104083…
    assert budget("0.02", "0.01", "0", "0").expanded_mm == D("0.020817")  # 0.0208166…


@pytest.mark.parametrize(
    "wrong", [("0", "0.01", "0", "0"), ("0.02", "0", "0", "0"), ("0.02", "0.01", "-1", "0")]
)
def test_a_budget_without_calibration_or_resolution_is_none(wrong: tuple[str, str, str, str]) -> None:
    with pytest.raises(OutOfRange):
        budget(*wrong)


@pytest.mark.parametrize(
    ("rule", "finest"),
    [(DecisionRule.PLAIN, "0.24"), (DecisionRule.GUARDED_U, "0.1"), (DecisionRule.GUARDED_164U, "0.1")],
)
def test_a_caliper_is_fit_down_to_these_tolerances(rule: DecisionRule, finest: str) -> None:
    assert finest_tolerance_mm(CALIPER, rule) == D(finest)


@given(SMALL, st.sampled_from(["0.001", "0.01", "0.05"]), st.sampled_from(DecisionRule), SMALL)
def test_it_fits_the_finest_tolerance_and_none_that_is_finer(
    expanded: Decimal, resolution: str, rule: DecisionRule, share: Decimal
) -> None:
    gauge = MeasurementUncertainty(expanded_mm=expanded, resolution_mm=D(resolution))
    finest = finest_tolerance_mm(gauge, rule, share)
    lower = D("1000")

    def fits(width: Decimal) -> bool:
        return gauge_fits(limits(str(lower), str(lower + width)), gauge, rule, share).fits

    assert fits(finest)
    assert not fits(finest - D("0.000001"))
