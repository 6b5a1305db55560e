from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import integrate, stats

from shop.engineering.conformity import (
    UncertaintyParts,
    acceptance_zone,
    plan_readings,
    probability_of_conformity,
    repeatability_mm,
    uncertainty_of_mean,
)
from shop.engineering.decision import DecisionRule, guard_mm
from shop.engineering.errors import EngineeringError, NotANumber, OutOfRange
from tests.engineering.outside import outside

LOWER, UPPER, U = Decimal("20.10"), Decimal("20.30"), Decimal("0.015")

# Shares of a normal distribution, (z, below z), to five places. Source: standard normal table, the rows
# that CPython's tests of NormalDist quote. Independent: a printed table; the code looks nothing up.
NORMAL_TABLE = [
    ("0.00", "0.50000"),
    ("0.01", "0.50399"),
    ("0.02", "0.50798"),
    ("0.14", "0.55567"),
    ("0.29", "0.61409"),
    ("0.33", "0.62930"),
    ("0.54", "0.70540"),
    ("0.60", "0.72575"),
    ("1.17", "0.87900"),
    ("1.60", "0.94520"),
    ("2.05", "0.97982"),
    ("2.89", "0.99807"),
    ("3.52", "0.99978"),
    ("3.98", "0.99997"),
    ("4.07", "0.99998"),
]


def parts(
    calibration: str = "0.01", repeatability: str = "0.012", resolution: str = "0.01"
) -> UncertaintyParts:
    return UncertaintyParts(
        calibration_mm=Decimal(calibration),
        repeatability_mm=Decimal(repeatability),
        resolution_mm=Decimal(resolution),
    )


def probability(x: Decimal | str, u: Decimal = U) -> Decimal:
    return probability_of_conformity(Decimal(x), LOWER, UPPER, u).probability


@outside(
    probability_of_conformity,
    source="standard normal table, the rows that CPython's tests of NormalDist quote",
    independent="a printed table; the code looks nothing up",
)
@pytest.mark.parametrize(("z", "below"), NORMAL_TABLE)
def test_near_one_limit_it_is_the_share_of_the_normal_distribution(z: str, below: str) -> None:
    u = Decimal("0.001")  # the other limit is 200 u away and takes nothing
    inside, outside = UPPER - Decimal(z) * u, UPPER + Decimal(z) * u
    assert probability(inside, u) == pytest.approx(Decimal(below), abs=Decimal("0.000006"))
    assert probability(outside, u) == pytest.approx(1 - Decimal(below), abs=Decimal("0.000006"))


@pytest.mark.parametrize(
    ("k", "share", "source", "why_independent"),
    [
        ("1", "0.6827", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
        ("1.645", "0.90", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
        ("1.960", "0.95", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
        ("2", "0.9545", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
        ("2.576", "0.99", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
        ("3", "0.9973", "GUM Table G.1, from memory", "printed percentages, not computed by the code"),
    ],
)
def test_in_the_middle_both_limits_take_their_share(
    k: str, share: str, source: str, why_independent: str
) -> None:
    u = Decimal("0.1") / Decimal(k)
    assert probability("20.20", u) == pytest.approx(Decimal(share), abs=Decimal("0.00006"))


@pytest.mark.parametrize(
    ("x", "expected", "source"),
    [
        ("20.27", "0.9772", "two standard deviations inside: printed normal table"),
        ("20.28", "0.9088", "1.333 standard deviations inside: printed normal table, interpolated"),
        ("20.30", "0.5000", "on the limit half of what is possible is inside"),
    ],
)
def test_the_worked_crimp_of_20_10_to_20_30(x: str, expected: str, source: str) -> None:
    assert round(probability(x), 4) == Decimal(expected)


@outside(
    probability_of_conformity,
    source="SciPy's normal density integrated numerically",
    independent="an area, not a difference of two tails",
)
@given(
    st.decimals("20.00", "20.40", places=3),
    st.decimals("0.001", "0.3", places=3),
)
def test_it_is_the_area_under_the_curve_between_the_limits(x: Decimal, u: Decimal) -> None:
    area, _ = integrate.quad(
        stats.norm(float(x), float(u)).pdf, 20.10, 20.30, points=[min(max(float(x), 20.10), 20.30)]
    )
    assert float(probability(x, u)) == pytest.approx(area, abs=2e-6)


@given(
    st.lists(st.decimals("0", "0.5", places=6), min_size=2, max_size=6),
    st.decimals("0.0005", "0.5", places=4),
    st.sampled_from([1, -1]),
)
def test_from_the_middle_outwards_the_probability_never_rises(
    off: list[Decimal], u: Decimal, side: int
) -> None:
    found = [probability(Decimal("20.2") + side * distance, u) for distance in sorted(off)]
    assert all(nearer >= further for nearer, further in pairwise(found))
    assert all(0 <= p <= 1 for p in found)


def test_no_measurement_makes_a_crimp_certain() -> None:
    u = Decimal("0.02")  # five standard deviations to each limit: 0.99999943
    assert probability("20.2", u) == Decimal("0.999999")
    assert probability_of_conformity(Decimal("20.2"), LOWER, UPPER, u).cautions


@pytest.mark.parametrize("far", ["1e-400", "1e400"])
def test_an_uncertainty_of_any_size_has_an_answer(far: str) -> None:
    assert 0 <= probability("20.2", Decimal(far)) <= 1


def test_a_zone_that_is_95_percent_sure_keeps_1_645_u_from_each_limit() -> None:
    # 1.6449 standard deviations leave 5 % on one side: printed normal table.
    zone = acceptance_zone(LOWER, UPPER, U, Decimal("0.95"))
    assert round(zone.upper_mm, 4) == Decimal("20.2753")
    assert round(zone.lower_mm, 4) == Decimal("20.1247")
    assert zone.cautions
    assert zone.assumptions


def test_the_guard_of_the_policys_rule_is_the_same_to_half_a_percent() -> None:
    gauge = uncertainty_of_mean(parts(), 4).in_use
    zone = acceptance_zone(LOWER, UPPER, gauge.expanded_mm / 2, Decimal("0.95"))
    assert zone.guard_mm == pytest.approx(guard_mm(gauge, DecisionRule.GUARDED_164U), rel=Decimal("0.005"))


@outside(
    acceptance_zone,
    source="SciPy's normal distribution",
    independent="another library, put in at the end of the zone",
)
@given(st.decimals("0.002", "0.05", places=4), st.decimals("0.501", "0.999", places=3))
def test_at_the_end_of_the_zone_the_probability_is_the_wanted_one(u: Decimal, wanted: Decimal) -> None:
    assume(stats.norm.cdf(0.1 / float(u)) - stats.norm.cdf(-0.1 / float(u)) >= float(wanted))
    zone = acceptance_zone(LOWER, UPPER, u, wanted)
    at_end = stats.norm.cdf((20.30 - float(zone.upper_mm)) / float(u)) - stats.norm.cdf(
        (20.10 - float(zone.upper_mm)) / float(u)
    )
    assert at_end == pytest.approx(float(wanted), abs=3e-4)
    assert at_end >= float(wanted) - 1e-9
    assert zone.lower_mm - LOWER == UPPER - zone.upper_mm


def test_a_gauge_too_poor_for_the_wanted_probability_is_refused_with_what_would_do() -> None:
    with pytest.raises(OutOfRange) as refusal:
        acceptance_zone(LOWER, UPPER, Decimal("0.06"), Decimal("0.95"))
    # 0.1 / 1.959964 = 0.051021: GUM Table G.1.
    assert refusal.value.allowed == "at most 0.051021 mm"
    zone = acceptance_zone(LOWER, UPPER, Decimal("0.051021"), Decimal("0.95"))
    assert zone.lower_mm <= zone.upper_mm


@pytest.mark.parametrize("wanted", ["0.5", "1", "0", "-0.1", "95"])
def test_a_wanted_probability_is_above_a_half_and_below_one(wanted: str) -> None:
    with pytest.raises(OutOfRange, match="95 % is"):
        acceptance_zone(LOWER, UPPER, U, Decimal(wanted))


@pytest.mark.parametrize(
    ("readings", "standard", "why_independent"),
    [
        # calibration 3, repeatability 4, in thousandths, resolution as good as none: sums of squares by hand
        (1, "0.005", "3² + 4² = 5²"),
        (4, "0.003606", "3² + (4/2)² = 13, √13 = 3.60555"),
        (16, "0.003163", "3² + (4/4)² = 10, √10 = 3.16228"),
        (1600, "0.003002", "3² + (4/40)² = 9.01, √9.01 = 3.00167"),
    ],
)
def test_only_the_repeatability_falls_with_the_readings(
    readings: int, standard: str, why_independent: str
) -> None:
    found = uncertainty_of_mean(parts("0.003", "0.004", "0.000001"), readings)
    assert found.standard_mm == pytest.approx(Decimal(standard), abs=Decimal("0.000001"))
    assert found.expanded_mm == pytest.approx(2 * found.standard_mm, abs=Decimal("0.000002"))


@outside(
    uncertainty_of_mean,
    source="standard deviation of SciPy's uniform distribution",
    independent="another library, no √12",
)
def test_resolution_is_a_step_over_the_root_of_twelve() -> None:
    # The standard deviation of a uniform distribution, here by SciPy.
    found = uncertainty_of_mean(parts("0", "0", "0.01"), 100)
    assert float(found.standard_mm) == pytest.approx(stats.uniform(0, 0.01).std(), abs=1e-6)


@given(st.integers(1, 200), st.integers(1, 200))
def test_more_readings_never_make_a_mean_less_sure(first: int, more: int) -> None:
    few, many = uncertainty_of_mean(parts(), first), uncertainty_of_mean(parts(), first + more)
    assert many.standard_mm <= few.standard_mm
    assert many.standard_mm >= Decimal("0.01")
    assert few.assumptions


def test_the_mean_of_readings_is_judged_with_its_own_uncertainty() -> None:
    found = uncertainty_of_mean(parts(), 4, Decimal(3))
    assert found.in_use.expanded_mm == found.expanded_mm
    assert found.in_use.coverage_factor == 3
    assert found.in_use.resolution_mm == Decimal("0.01")


@outside(
    repeatability_mm,
    source="SciPy's standard deviation of a sample",
    independent="another library, in floating point",
)
@given(st.lists(st.decimals("19", "21", places=3), min_size=2, max_size=30))
def test_repeatability_is_the_standard_deviation_of_the_sample(readings: list[Decimal]) -> None:
    by_scipy = stats.tstd([float(reading) for reading in readings]) if len(set(readings)) > 1 else 0
    assert float(repeatability_mm(readings)) == pytest.approx(by_scipy, abs=1e-6)


@outside(
    repeatability_mm,
    source="NIST e-Handbook 6.3.2.2, ten flow rates, s = 2.0339",
    independent="published data from outside the trade",
)
def test_repeatability_of_the_flow_rates_of_the_nist_handbook() -> None:
    # NIST e-Handbook 6.3.2.2: ten flow rates, s = 2.0339; the numbers come from outside the trade.
    rates = ["49.6", "47.6", "49.9", "51.3", "47.8", "51.2", "52.6", "52.4", "53.6", "52.1"]
    assert round(repeatability_mm([Decimal(rate) for rate in rates]), 4) == Decimal("2.0339")


@pytest.mark.parametrize(
    ("dies", "readings", "turn"), [(8, 4, "45"), (6, 3, "60"), (16, 8, "22.5"), (4, 2, "90")]
)
def test_there_are_half_as_many_diameters_as_dies(dies: int, readings: int, turn: str) -> None:
    plan = plan_readings(dies)
    assert (plan.readings, plan.turn_deg) == (readings, Decimal(turn))
    assert bool(plan.cautions) is (readings < 3)


@pytest.mark.parametrize("dies", [0, -8, 2, 7])
def test_dies_without_opposed_flats_are_refused(dies: int) -> None:
    with pytest.raises(OutOfRange) as refusal:
        plan_readings(dies)
    assert refusal.value.argument == "number of dies"


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: probability("NaN"), NotANumber, "measured diameter"),
        (lambda: probability("Infinity"), NotANumber, "measured diameter"),
        (lambda: probability("0"), OutOfRange, "measured diameter"),
        (lambda: probability("20.2", Decimal(0)), OutOfRange, "standard uncertainty"),
        (lambda: probability("20.2", Decimal("NaN")), NotANumber, "standard uncertainty"),
        (lambda: probability_of_conformity(LOWER, UPPER, LOWER, U), OutOfRange, "crimp limits"),
        (lambda: acceptance_zone(UPPER, LOWER, U, Decimal("0.95")), OutOfRange, "crimp limits"),
        (lambda: acceptance_zone(LOWER, UPPER, U, Decimal("NaN")), NotANumber, "wanted probability"),
        (lambda: uncertainty_of_mean(parts(), 0), OutOfRange, "number of readings"),
        (lambda: uncertainty_of_mean(parts(), 1, Decimal(0)), OutOfRange, "coverage factor"),
        (lambda: parts(calibration="-0.01"), OutOfRange, "calibration uncertainty"),
        (lambda: parts(repeatability="NaN"), NotANumber, "repeatability"),
        (lambda: parts(resolution="0"), OutOfRange, "resolution"),
        (lambda: repeatability_mm([Decimal(20)]), OutOfRange, "repeated readings"),
        (lambda: repeatability_mm([Decimal(20), Decimal(-20)]), OutOfRange, "reading"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.got or refused.value.allowed
