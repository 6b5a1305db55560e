from decimal import Decimal
from fractions import Fraction
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.common_factors import Counts, adjusted, fishers_p, odds_ratio, rate_per_1000_months
from shop.engineering.errors import OutOfRange
from tests.engineering.outside import outside

D = Decimal
# Fifteen probabilities and what they are once it counts that they are fifteen.
PUBLISHED = [
    ("0.0001", "0.0015"),
    ("0.0004", "0.003"),
    ("0.0019", "0.0095"),
    ("0.0095", "0.035625"),
    ("0.0201", "0.0603"),
    ("0.0278", "0.06385714"),
    ("0.0298", "0.06385714"),
    ("0.0344", "0.0645"),
    ("0.0459", "0.0765"),
    ("0.3240", "0.486"),
    ("0.4262", "0.58118182"),
    ("0.5719", "0.714875"),
    ("0.6528", "0.75323077"),
    ("0.7590", "0.81321429"),
    ("1.000", "1"),
]
SOURCE = "SciPy's documentation of {}, read as installed with version 1.17"


def by_counting(a: int, b: int, c: int, d: int) -> Fraction:
    """The two-sided probability as a sum over every table with these margins, in whole numbers."""
    with_it, failed, every = a + b, a + c, a + b + c + d
    ways = {
        x: comb(with_it, x) * comb(every - with_it, failed - x)
        for x in range(max(0, failed - (every - with_it)), min(with_it, failed) + 1)
    }
    return Fraction(sum(way for way in ways.values() if way <= ways[a]), comb(every, failed))


@outside(
    fishers_p,
    source=SOURCE.format("fisher_exact") + ": table 6, 2; 1, 4",
    independent="printed there with each probability of the sum",
)
def test_a_published_table_has_its_published_probability() -> None:
    assert float(fishers_p(Counts(6, 2, 1, 4))) == pytest.approx(0.10256410256410257, rel=1e-12)


@outside(
    fishers_p,
    source="the 70 ways of choosing four cups of eight: the tasting of tea that Fisher told of in 1935",
    independent="whole numbers of ways by math.comb",
)
def test_three_of_four_cups_told_right_is_no_proof() -> None:
    assert by_counting(3, 1, 1, 3) == Fraction(34, 70)
    assert float(fishers_p(Counts(3, 1, 1, 3))) == pytest.approx(34 / 70, rel=1e-12)
    assert float(fishers_p(Counts(4, 0, 0, 4))) == pytest.approx(2 / 70, rel=1e-12)


@outside(
    fishers_p,
    source="the definition of the two-sided probability, summed over every table with the same margins",
    independent="whole numbers of ways by math.comb, divided as a fraction",
)
@given(*[st.integers(0, 40)] * 4)
def test_it_is_the_sum_over_all_tables_that_are_no_more_likely(a: int, b: int, c: int, d: int) -> None:
    assert float(fishers_p(Counts(a, b, c, d))) == pytest.approx(float(by_counting(a, b, c, d)), rel=1e-6)


@outside(
    adjusted,
    source=SOURCE.format("false_discovery_control") + ", from Benjamini and Hochberg 1995",
    independent="printed there; the paper rejects the first four at 0.05",
)
def test_fifteen_published_probabilities_are_adjusted_as_published() -> None:
    found = adjusted([D(p) for p, _ in PUBLISHED], questions=len(PUBLISHED))
    assert [float(p) for p in found] == pytest.approx([float(p) for _, p in PUBLISHED], abs=5e-9)
    assert [p <= D("0.05") for p in found] == [True] * 4 + [False] * 11


@outside(
    adjusted,
    source="Benjamini and Hochberg's step-up: the largest k with p(k) at most k/m · q, and all below it",
    independent="the procedure itself in fractions, without any adjusted value",
)
@given(
    st.lists(st.decimals(0, 1, places=4), min_size=1, max_size=12), st.sampled_from(["0.05", "0.1", "0.2"])
)
def test_what_is_below_a_share_is_what_the_procedure_keeps(p_values: list[Decimal], share: str) -> None:
    ordered = sorted(p_values)
    bounds = [Fraction(rank) * Fraction(share) / len(ordered) for rank in range(1, len(ordered) + 1)]
    kept = [p for p, bound in zip(ordered, bounds, strict=True) if Fraction(p) <= bound]
    highest = kept[-1] if kept else None
    for p, found in zip(p_values, adjusted(p_values, questions=len(p_values)), strict=True):
        is_kept = highest is not None and p <= highest
        # Where it is the bound itself, floats may fall to either side of it.
        assert abs(found - D(share)) < D("1e-12") or (found < D(share)) == is_kept


@outside(
    adjusted,
    source=SOURCE.format("false_discovery_control") + ", from Benjamini and Hochberg 1995",
    independent="the first four of the fifteen, corrected for all of them, are what is printed there",
)
def test_questions_that_were_not_worked_out_count_all_the_same() -> None:
    found = adjusted([D(p) for p, _ in PUBLISHED[:4]], questions=len(PUBLISHED))
    assert [float(p) for p in found] == pytest.approx([float(p) for _, p in PUBLISHED[:4]], abs=5e-9)


def test_there_are_no_fewer_questions_than_probabilities() -> None:
    with pytest.raises(OutOfRange):
        adjusted([D("0.03"), D("0.5")], questions=1)


@outside(
    odds_ratio,
    source="three machines of ten and one of twenty: (3 · 19) / (7 · 1)",
    independent="cross products of whole numbers",
)
def test_the_odds_ratio_is_the_cross_product() -> None:
    found = odds_ratio(Counts(3, 7, 1, 19))
    assert (found.value, found.is_corrected) == (D("8.14"), False)


def test_a_nought_among_the_counts_is_corrected_and_said() -> None:
    found = odds_ratio(Counts(3, 7, 0, 20))
    assert found.is_corrected
    assert found.value == D("19.13")  # 3.5 · 20.5 / (7.5 · 0.5)


def test_a_rate_is_failures_in_a_thousand_months() -> None:
    assert rate_per_1000_months(3, D(1500)) == D("2.00")
    assert rate_per_1000_months(0, D(10)) == D("0.00")
    assert rate_per_1000_months(1, D(1)) == D("1000.00")


def test_of_less_than_a_month_together_there_is_no_rate() -> None:
    assert rate_per_1000_months(0, D(0)) is None
    assert rate_per_1000_months(1, D("0.99")) is None


def test_nothing_asked_is_nothing_adjusted() -> None:
    assert adjusted([], questions=0) == []
    assert adjusted([], questions=7) == []


def test_one_question_needs_no_correction() -> None:
    assert adjusted([D("0.03")], questions=1) == [D("0.03")]
