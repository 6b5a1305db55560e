from collections.abc import Callable
from decimal import Decimal
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shop.engineering.cut_correction import CutCorrection, Finished, cut_correction
from shop.engineering.elongation import ChangeLimits, length_change, length_under_pressure
from shop.engineering.errors import EngineeringError, NotANumber, OutOfRange
from tests.engineering.outside import outside

LONGER = ("901.2", "901.6", "900.9", "901.4", "901.1", "901.3")


@pytest.mark.parametrize(
    ("measured", "percent", "within", "source", "why_independent"),
    [
        ("509", "1.8", True, "ISO 6605:2017 5.3, 500 mm marked", "9 mm of 500 are 1.8 %, in the head"),
        ("510", "2", True, "ISO 6605:2017 5.3, 500 mm marked", "10 mm of 500 are 2 %, in the head"),
        ("510.001", "2.0002", False, "ISO 6605:2017 5.3, 500 mm marked", "just above 2 %"),
        ("500", "0", True, "ISO 6605:2017 5.3, 500 mm marked", "no change"),
        ("481", "-3.8", True, "ISO 6605:2017 5.3, 500 mm marked", "19 mm of 500 are 3.8 %"),
        ("480", "-4", True, "ISO 6605:2017 5.3, 500 mm marked", "20 mm of 500 are 4 %"),
        ("479", "-4.2", False, "ISO 6605:2017 5.3, 500 mm marked", "21 mm of 500 are 4.2 %"),
    ],
)
def test_change_of_length_is_within_plus_2_and_minus_4_percent(
    measured: str, percent: str, within: bool, source: str, why_independent: str
) -> None:
    # The limits: FAA AC 43.13-1B Figure 9-9.
    change = length_change(Decimal(measured))
    assert (change.percent, change.within) == (Decimal(percent), within)
    assert ("within" in change.reason) is within
    assert change.assumptions


def test_only_the_hose_between_the_ends_changes() -> None:
    # 1000 mm with 100 mm of metal: 900 mm of hose, 2 % are 18 and 4 % are 36.
    lengths = length_under_pressure(Decimal(1000), Decimal(100))
    assert (lengths.shortest_mm, lengths.longest_mm) == (Decimal(964), Decimal(1018))
    assert lengths.assumptions
    assert lengths.cautions


@given(st.decimals("100", "5000", places=3), st.decimals("0", "99", places=3))
def test_a_length_calculated_under_pressure_tests_as_just_within(overall: Decimal, metal: Decimal) -> None:
    lengths = length_under_pressure(overall, metal)
    hose = overall - metal
    longest = length_change(lengths.longest_mm - metal, hose)
    shortest = length_change(lengths.shortest_mm - metal, hose)
    assert longest.percent == pytest.approx(Decimal(2), abs=Decimal("0.0002"))
    assert shortest.percent == pytest.approx(Decimal(-4), abs=Decimal("0.0002"))
    assert lengths.shortest_mm < overall < lengths.longest_mm


def test_other_limits_are_the_hose_standards() -> None:
    tight = ChangeLimits(shortest=Decimal(-2), longest=Decimal(2))
    assert not length_change(Decimal(481), limits=tight).within


def of(*measured: str, wanted: str = "900", fewest: int = 5) -> CutCorrection:
    return cut_correction([Finished(Decimal(wanted), Decimal(length)) for length in measured], fewest)


def test_the_mean_of_measured_less_wanted_is_taken_off_the_cut() -> None:
    correction = of(*LONGER)
    # 1.2, 1.6, 0.9, 1.4, 1.1 and 1.3 make 7.5; a sixth of it is 1.25.
    assert correction.mean_mm == Decimal("1.25")
    assert correction.proven
    assert correction.corrected_mm(Decimal("815.5")) == Decimal("814.25")
    assert "6 pieces came out 1.25 mm longer" in correction.reason
    assert correction.assumptions
    assert correction.cautions


@outside(
    cut_correction,
    source="SciPy's interval of t about a mean",
    independent="another library, in floating point",
)
@given(st.lists(st.decimals("895", "905", places=1), min_size=5, max_size=20))
def test_its_interval_is_that_of_scipy(measured: list[Decimal]) -> None:
    correction = of(*map(str, measured))
    over = [float(length) - 900 for length in measured]
    assert float(correction.spread_mm) == pytest.approx(
        stats.tstd(over) if len(set(over)) > 1 else 0, abs=1e-6
    )
    if len(set(over)) > 1:
        interval = stats.t.interval(0.95, len(over) - 1, sum(over) / len(over), stats.sem(over))
        assert (float(correction.low_mm), float(correction.high_mm)) == pytest.approx(interval, abs=2e-6)
        assert correction.proven is not (correction.low_mm <= 0 <= correction.high_mm)


def test_each_piece_is_compared_with_its_own_wanted_length() -> None:
    pieces = [Finished(Decimal(wanted), Decimal(wanted) - 2) for wanted in (300, 500, 900, 1200, 2400)]
    correction = cut_correction(pieces)
    assert (correction.mean_mm, correction.spread_mm) == (Decimal(-2), Decimal(0))
    assert correction.corrected_mm(Decimal(800)) == Decimal(802)


def test_what_may_be_chance_is_not_corrected() -> None:
    correction = of("901", "899", "902", "898", "900.5")
    assert not correction.proven
    with pytest.raises(OutOfRange, match="may be chance") as refusal:
        correction.corrected_mm(Decimal(800))
    assert refusal.value.argument == "cut correction"


def test_the_tape_is_off_in_every_piece_alike() -> None:
    # By hand: the spread is nought, so the interval is the tape's own expanded uncertainty.
    alike = [Finished(Decimal(900), Decimal(901))] * 6
    by_a_good_tape = cut_correction(alike, tape_mm=Decimal("0.4"))
    assert (by_a_good_tape.low_mm, by_a_good_tape.high_mm) == (Decimal("0.6"), Decimal("1.4"))
    assert by_a_good_tape.proven
    by_a_coarse_one = cut_correction(alike, tape_mm=Decimal("1.2"))
    assert not by_a_coarse_one.proven
    assert "the tape's own error" in by_a_coarse_one.reason


@given(
    st.lists(st.decimals("895", "905", places=1), min_size=5, max_size=20), st.decimals("0", "3", places=2)
)
def test_what_the_tape_adds_is_the_hypotenuse_of_both(measured: list[Decimal], tape: Decimal) -> None:
    over = [float(length) - 900 for length in measured]
    pieces = [Finished(Decimal(900), length) for length in measured]
    correction = cut_correction(pieces, tape_mm=tape)
    by_chance = float(stats.t.ppf(0.975, len(over) - 1)) * stats.sem(over) if len(set(over)) > 1 else 0.0
    reach = float(correction.high_mm - correction.low_mm) / 2
    assert reach == pytest.approx(hypot(by_chance, float(tape)), abs=3e-6)


def test_too_few_pieces_are_refused_with_how_many_it_takes() -> None:
    with pytest.raises(OutOfRange, match="Measure 5 or more") as refusal:
        of(*LONGER[:4])
    assert (refusal.value.argument, refusal.value.allowed) == ("finished pieces", "5 or more")
    assert of(*LONGER[:4], fewest=4).pieces == 4


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: length_change(Decimal(0)), OutOfRange, "length under pressure"),
        (lambda: length_change(Decimal("NaN")), NotANumber, "length under pressure"),
        (lambda: length_change(Decimal(500), Decimal(-500)), OutOfRange, "marked length"),
        (lambda: ChangeLimits(longest=Decimal(-1)), OutOfRange, "allowed lengthening"),
        (lambda: ChangeLimits(shortest=Decimal(4)), OutOfRange, "allowed shortening"),
        (lambda: ChangeLimits(shortest=Decimal(-100)), OutOfRange, "allowed shortening"),
        (lambda: ChangeLimits(longest=Decimal("Infinity")), NotANumber, "allowed lengthening"),
        (lambda: length_under_pressure(Decimal(0), Decimal(0)), OutOfRange, "overall length"),
        (lambda: length_under_pressure(Decimal(100), Decimal(-1)), OutOfRange, "length of both ends"),
        (lambda: length_under_pressure(Decimal(100), Decimal(100)), OutOfRange, "length of both ends"),
        (lambda: Finished(Decimal(0), Decimal(900)), OutOfRange, "wanted overall length"),
        (lambda: Finished(Decimal(900), Decimal("NaN")), NotANumber, "measured overall length"),
        (lambda: Finished(Decimal(900), Decimal("35.4")), OutOfRange, "measured overall length"),
        (lambda: of(*LONGER, fewest=1), OutOfRange, "fewest pieces"),
        (lambda: cut_correction([], tape_mm=Decimal(-1)), OutOfRange, "uncertainty of the tape"),
        (lambda: of(*LONGER).corrected_mm(Decimal(0)), OutOfRange, "cut length"),
        (lambda: of(*LONGER).corrected_mm(Decimal(1)), OutOfRange, "corrected cut length"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed or refused.value.got
