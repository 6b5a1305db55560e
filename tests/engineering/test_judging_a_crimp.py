from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.crimp import (
    CrimpLimits,
    DecisionRule,
    Judged,
    Judgement,
    MeasurementUncertainty,
    Outcome,
    gauge_fits,
    judge_crimp,
)
from shop.engineering.errors import NotANumber, OutOfRange
from tests.engineering.charts import CALIPER, MICROMETER, limits

PLAIN, GUARDED_U, GUARDED_164U = DecisionRule.PLAIN, DecisionRule.GUARDED_U, DecisionRule.GUARDED_164U


def judge(
    readings: str,
    chart: CrimpLimits | None = None,
    gauge: MeasurementUncertainty | None = MICROMETER,
    rule: DecisionRule = PLAIN,
    other_section: str = "",
) -> Judgement:
    return judge_crimp(
        [Decimal(reading) for reading in readings.split()],
        limits() if chart is None else chart,
        gauge,
        rule,
        other_section_mm=[Decimal(reading) for reading in other_section.split()],
    )


@pytest.mark.parametrize(
    ("target", "reading", "outcome"),
    [
        ("24.2", "24.19", Outcome.PASS),
        ("41.1", "41.15", Outcome.PASS),
        ("24.2", "24.33", Outcome.FAIL),
        ("41.1", "40.97", Outcome.FAIL),
    ],
)
def test_a_tolerance_of_0_12_with_an_expanded_uncertainty_of_0_03(
    target: str, reading: str, outcome: Outcome
) -> None:
    # Common practice, no source. 0.03 is just a quarter of 0.12, so plain acceptance is allowed.
    middle = Decimal(target)
    chart = limits(str(middle - Decimal("0.12")), str(middle + Decimal("0.12")))
    assert judge(reading, chart, CALIPER, PLAIN).outcome is outcome


@pytest.mark.parametrize(
    ("reading", "outcome"),
    [
        ("20.09", Outcome.FAIL),
        ("20.10", Outcome.HELD),
        ("20.12", Outcome.HELD),
        ("20.13", Outcome.PASS),
        ("20.20", Outcome.PASS),
        ("20.27", Outcome.PASS),
        ("20.28", Outcome.HELD),
        ("20.30", Outcome.HELD),
        ("20.31", Outcome.FAIL),
    ],
)
def test_guarded_by_the_uncertainty_20_13_to_20_27_is_accepted(reading: str, outcome: Outcome) -> None:
    # Worked for limits 20.10 to 20.30 and U = 0.03; the idea is ISO 14253-1's, from memory.
    judgement = judge(reading, gauge=CALIPER, rule=GUARDED_U)
    assert judgement.outcome is outcome
    assert judgement.guard_mm == Decimal("0.03")
    assert (judgement.acceptance_lower, judgement.acceptance_upper) == (Decimal("20.13"), Decimal("20.27"))


def test_guarded_by_1_64_standard_uncertainties_the_limit_is_20_2754() -> None:
    # u = 0.015: 20.30 - 1.64 u; with 1.645 u it would be 20.2753, computed.
    judgement = judge("20.2754", gauge=CALIPER, rule=GUARDED_164U)
    assert judgement.acceptance_upper == Decimal("20.2754")
    assert judgement.outcome is Outcome.PASS
    assert judge("20.2755", gauge=CALIPER, rule=GUARDED_164U).outcome is Outcome.HELD


@pytest.mark.parametrize("rule", DecisionRule)
@pytest.mark.parametrize("reading", ["20.09", "20.31"])
def test_a_hundredth_beyond_a_limit_fails_whatever_the_gauge(reading: str, rule: DecisionRule) -> None:
    for gauge in (CALIPER, MICROMETER, None):
        assert judge(reading, gauge=gauge, rule=rule).outcome is Outcome.FAIL


@pytest.mark.parametrize("reading", ["20.10", "20.30"])
def test_a_limit_is_inclusive(reading: str) -> None:
    assert judge(reading).outcome is Outcome.PASS


@pytest.mark.parametrize("gauge", [CALIPER, None])
def test_inside_the_limits_a_gauge_that_is_too_coarse_or_unknown_proves_nothing(
    gauge: MeasurementUncertainty | None,
) -> None:
    judgement = judge("20.20", gauge=gauge, rule=PLAIN)
    assert judgement.outcome is Outcome.HELD
    assert judgement.reasons == (gauge_fits(limits(), gauge, PLAIN).why,)


def test_where_the_mean_is_judged_one_reading_beyond_the_limit_does_not_fail() -> None:
    chart = limits(judged=Judged.MEAN, readings=3)
    judgement = judge("20.08 20.20 20.22", chart)
    assert judgement.outcome is Outcome.PASS
    assert judgement.mean_mm == judgement.judged_low == judgement.judged_high == Decimal("20.166667")
    assert judgement.spread_mm == Decimal("0.14")


def test_where_each_reading_is_judged_it_does() -> None:
    judgement = judge("20.08 20.20 20.32", limits(judged=Judged.EACH, readings=3))
    assert judgement.outcome is Outcome.FAIL
    assert judgement.reasons == (
        "The smallest reading is 20.08 mm, below the lower limit of 20.1 mm.",
        "The largest reading is 20.32 mm, above the upper limit of 20.3 mm.",
    )


def test_a_mean_a_third_of_a_nanometre_over_the_limit_fails() -> None:
    chart = limits(judged=Judged.MEAN, readings=3)
    assert judge("20.3 20.3 20.3", chart).outcome is Outcome.PASS
    assert judge("20.3 20.3 20.300001", chart).outcome is Outcome.FAIL


def test_a_crimp_more_oval_than_allowed_fails() -> None:
    chart = limits(judged=Judged.MEAN, ovality="0.10", readings=2)
    assert judge("20.15 20.25", chart).outcome is Outcome.PASS
    judgement = judge("20.14 20.25", chart)
    assert judgement.outcome is Outcome.FAIL
    assert judgement.reasons == ("The crimp is oval: 0.11 mm, at most 0.1 mm allowed.",)


def test_a_chart_that_limits_taper_is_not_proven_by_one_section() -> None:
    judgement = judge("20.20 20.20", limits(taper="0.05", readings=2))
    assert judgement.outcome is Outcome.HELD
    assert "Measure the other section too" in judgement.reasons[0]


@pytest.mark.parametrize(
    ("other_section", "outcome", "taper"),
    [
        ("20.24 20.26", Outcome.PASS, "0.05"),
        ("20.15 20.15", Outcome.PASS, "0.05"),
        ("20.25 20.26", Outcome.FAIL, "0.055"),
        ("20.24 20.31", Outcome.FAIL, "0.075"),
    ],
)
def test_taper_is_the_difference_of_the_means_of_two_sections(
    other_section: str, outcome: Outcome, taper: str
) -> None:
    judgement = judge("20.20 20.20", limits(taper="0.05", readings=2), other_section=other_section)
    assert judgement.outcome is outcome
    assert judgement.taper_mm == Decimal(taper)


def test_the_other_section_is_judged_by_the_limits_too() -> None:
    assert judge("20.20", limits(), other_section="20.31").outcome is Outcome.FAIL


def test_fewer_readings_than_the_chart_asks_for_are_refused() -> None:
    chart = limits(readings=4)
    for readings, other in [("20.2 20.2 20.2", ""), ("20.2 20.2 20.2 20.2", "20.2"), ("", "")]:
        with pytest.raises(OutOfRange) as refusal:
            judge(readings, chart, other_section=other)
        assert refusal.value.allowed == "4 or more"


def test_more_readings_all_count() -> None:
    chart = limits(judged=Judged.MEAN, ovality="0.05", readings=2)
    assert judge("20.20 20.21", chart).outcome is Outcome.PASS
    assert judge("20.20 20.21 20.20 20.26", chart).outcome is Outcome.FAIL


def test_a_reading_that_is_no_diameter_is_refused() -> None:
    with pytest.raises(NotANumber):
        judge("20.2 NaN")
    with pytest.raises(OutOfRange):
        judge("20.2 -20.2")


READINGS = st.lists(st.decimals(min_value=20, max_value="20.4", places=3), min_size=1, max_size=8)
UNCERTAINTIES = st.none() | st.builds(
    MeasurementUncertainty,
    expanded_mm=st.decimals(min_value="0.001", max_value="0.2", places=3),
    resolution_mm=st.sampled_from([Decimal("0.001"), Decimal("0.01"), Decimal("0.05")]),
)


@given(
    READINGS, READINGS | st.just([]), st.sampled_from(Judged), UNCERTAINTIES, st.sampled_from(DecisionRule)
)
def test_it_never_passes_outside_the_limits(
    readings: list[Decimal],
    other_section: list[Decimal],
    judged: Judged,
    gauge: MeasurementUncertainty | None,
    rule: DecisionRule,
) -> None:
    chart = limits(judged=judged)
    judgement = judge_crimp(readings, chart, gauge, rule, other_section_mm=other_section)
    sections = [section for section in (readings, other_section) if section]
    if judged is Judged.MEAN:
        values = [sum(map(Fraction, section), Fraction(0)) / len(section) for section in sections]
    else:
        values = [Fraction(reading) for section in sections for reading in section]
    inside = all(Fraction(chart.lower_mm) <= value <= Fraction(chart.upper_mm) for value in values)
    proven = all(
        Fraction(judgement.acceptance_lower) <= value <= Fraction(judgement.acceptance_upper)
        for value in values
    )
    fits = gauge_fits(chart, gauge, rule).fits
    assert (judgement.outcome is Outcome.FAIL) is not inside
    assert (judgement.outcome is Outcome.PASS) is (inside and proven and fits)
    assert judgement.reasons


@given(READINGS, UNCERTAINTIES)
def test_a_stricter_rule_never_passes_what_a_milder_one_holds(
    readings: list[Decimal], gauge: MeasurementUncertainty | None
) -> None:
    strict = judge_crimp(readings, limits(), gauge, GUARDED_U)
    mild = judge_crimp(readings, limits(), gauge, GUARDED_164U)
    assert strict.outcome is not Outcome.PASS or mild.outcome is Outcome.PASS
