import csv
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.engineering.cut_length import (
    Datum,
    between_datums_mm,
    cut_length_mm,
    overall_length_mm,
    shortest_overall_mm,
)
from shop.engineering.errors import NotANumber, OffTheTable, OutOfRange
from shop.engineering.tolerance import LengthRule, length_limits_mm, read_rules
from tests.engineering.outside import outside

ROOT = Path(__file__).parents[2]
RULES = read_rules(ROOT / "fixtures/standards/length_tolerances.csv")
SAE, EN, CUT_HOSE = RULES["SAE J517"], RULES["EN 853 / DIN 20066"], RULES["IP-2 cut length"]
INCH = Decimal("25.4")


def navy_cut_offs() -> list[tuple[str, Decimal]]:
    """Cut-off of one fitting by size: Navy training manual 14018 Table 5-2."""
    with (Path(__file__).parent / "data/cutoff_navy_table.csv").open(newline="") as table:
        return [
            (f"{row['fitting']} -{row['dash']}", Decimal(row["cutoff_in"])) for row in csv.DictReader(table)
        ]


@outside(
    cut_length_mm,
    source="TM 1-1500-204-23-2 for the rule, Navy training manual 14018 Table 5-2 for the cut-off",
    independent="worked out on paper in inches",
)
def test_24_inches_with_two_ends_of_the_navy_table_is_cut_at_22_12() -> None:
    # Cut-off 0.94 in read from Navy 14018 Table 5-2; the rest is arithmetic.
    cut_off = dict(navy_cut_offs())["MS24587 -8"] * INCH
    assert cut_length_mm(24 * INCH, cut_off, cut_off) / INCH == Decimal("22.12")


@pytest.mark.parametrize(("fitting", "cut_off_in"), navy_cut_offs())
def test_each_row_of_the_navy_table_takes_its_cut_off_at_either_end(
    fitting: str, cut_off_in: Decimal
) -> None:
    other = Decimal("0.94") * INCH
    at_a = cut_length_mm(24 * INCH, cut_off_in * INCH, other)
    assert at_a == cut_length_mm(24 * INCH, other, cut_off_in * INCH)
    assert at_a / INCH == 24 - Decimal("0.94") - cut_off_in


NANOMETRES = st.integers(min_value=0, max_value=10**10).map(lambda count: Decimal(count) / 1_000_000)
CORRECTIONS = st.integers(min_value=-(10**8), max_value=10**8).map(lambda count: Decimal(count) / 1_000_000)


@given(NANOMETRES, NANOMETRES, NANOMETRES, CORRECTIONS)
def test_cut_length_allowances_and_correction_make_the_overall_length_exactly(
    overall: Decimal, cut_off_a: Decimal, cut_off_b: Decimal, longer: Decimal
) -> None:
    assume(overall > 0)
    assume(overall > cut_off_a + cut_off_b + longer)
    cut = cut_length_mm(overall, cut_off_a, cut_off_b, longer)
    assert cut + cut_off_a + cut_off_b + longer == overall


def test_pieces_that_come_out_longer_are_cut_shorter() -> None:
    assert cut_length_mm(Decimal(930), Decimal(25), Decimal(25), Decimal("0.8")) == Decimal("879.2")
    assert cut_length_mm(Decimal(930), Decimal(25), Decimal(25), Decimal("-0.8")) == Decimal("880.8")


def test_a_correction_that_leaves_no_hose_is_refused() -> None:
    with pytest.raises(OutOfRange, match="leaves no hose") as refused:
        cut_length_mm(Decimal(52), Decimal(25), Decimal(25), Decimal(2))
    assert refused.value.allowed == "more than 52 mm"


@given(NANOMETRES, NANOMETRES, NANOMETRES)
def test_between_the_datums_and_the_metal_beyond_them_is_tip_to_tip_exactly(
    between: Decimal, beyond_a: Decimal, beyond_b: Decimal
) -> None:
    assume(between > 0)
    assert between_datums_mm(between + beyond_a + beyond_b, beyond_a, beyond_b) == between


def test_a_thousand_millimetres_over_all_metal_are_962_between_the_datums() -> None:
    assert between_datums_mm(Decimal(1000), Decimal(20), Decimal(18)) == Decimal(962)


@pytest.mark.parametrize(("over_all", "beyond"), [("38", "19"), ("0", "0"), ("-1", "0"), ("100", "-1")])
def test_metal_that_takes_all_of_it_leaves_nothing_between_the_datums(over_all: str, beyond: str) -> None:
    with pytest.raises(OutOfRange):
        between_datums_mm(Decimal(over_all), Decimal(beyond), Decimal(beyond))


@given(NANOMETRES, NANOMETRES, NANOMETRES)
def test_cut_length_and_both_allowances_make_the_overall_length_exactly(
    overall: Decimal, cut_off_a: Decimal, cut_off_b: Decimal
) -> None:
    assume(overall > cut_off_a + cut_off_b)
    assert cut_length_mm(overall, cut_off_a, cut_off_b) + cut_off_a + cut_off_b == overall


@given(NANOMETRES, NANOMETRES, NANOMETRES)
def test_what_a_piece_becomes_is_cut_to_that_piece_again(
    cut: Decimal, cut_off_a: Decimal, cut_off_b: Decimal
) -> None:
    assume(cut > 0)
    assert cut_length_mm(overall_length_mm(cut, cut_off_a, cut_off_b), cut_off_a, cut_off_b) == cut


def test_no_hose_and_a_negative_allowance_make_no_assembly() -> None:
    with pytest.raises(OutOfRange) as refusal:
        overall_length_mm(Decimal(0), INCH, INCH)
    assert refusal.value.argument == "cut length"
    with pytest.raises(OutOfRange) as refusal:
        overall_length_mm(24 * INCH, INCH, -INCH)
    assert refusal.value.argument == "cut-off allowance at end B"


def test_ends_that_take_the_whole_length_are_refused() -> None:
    with pytest.raises(OutOfRange) as refusal:
        cut_length_mm(Decimal(60), Decimal(30), Decimal(30))
    assert refusal.value.argument == "overall length"
    assert refusal.value.allowed == "more than 60 mm"
    assert cut_length_mm(Decimal("60.1"), Decimal(30), Decimal(30)) == Decimal("0.1")


@pytest.mark.parametrize(
    ("overall", "a", "b"), [("0", "1", "1"), ("-930", "1", "1"), ("930", "-1", "1"), ("930", "1", "-1")]
)
def test_a_negative_length_is_refused(overall: str, a: str, b: str) -> None:
    with pytest.raises(OutOfRange):
        cut_length_mm(Decimal(overall), Decimal(a), Decimal(b))


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(NotANumber):
        cut_length_mm(Decimal("NaN"), Decimal(1), Decimal(1))


def test_the_shortest_assembly_shows_the_least_hose_between_its_ferrules() -> None:
    shortest = shortest_overall_mm(Decimal(150), Decimal(30), Decimal(40), Decimal(28), Decimal(28))
    assert shortest == 276
    # What is cut less what both ends swallow.
    assert cut_length_mm(shortest, Decimal(30), Decimal(40)) - 28 - 28 == 150


def test_every_datum_has_words() -> None:
    assert [datum.words for datum in Datum] == [
        "the sealing seat",
        "the sealing face",
        "the centreline of the elbow's end",
        "the end of the thread",
    ]


@pytest.mark.parametrize(
    ("rules", "overall", "dash", "lower", "upper"),
    [
        # SAE J517, from memory: up to 12 in 1/8, to 18 in 3/16, to 36 in 1/4, above 1 %.
        (SAE, "305", 8, "301.8", "308.2"),
        (SAE, "305.1", 8, "300.3", "309.9"),
        (SAE, "914", 8, "907.6", "920.4"),
        (SAE, "1000", 8, "990", "1010"),
        # EN 853 Table 3 / DIN 20066, from memory: DN 25 is -16, DN 31 is -20.
        (EN, "630", 16, "627", "637"),
        (EN, "630", 20, "626", "642"),
        (EN, "631", 8, "627", "643"),
        (EN, "1250", 40, "1244", "1275"),
        (EN, "2500", 8, "2494", "2520"),
        (EN, "3000", 8, "2985", "3045"),
        (EN, "10000", 40, "9900", "10300"),
        # Trade-body hose handbook IP-2 (2003) Table 4-8, read: hose cut to length, not assemblies.
        (CUT_HOSE, "600", 8, "595.2", "604.8"),
    ],
)
def test_the_tolerance_of_the_length_is_that_of_the_table(
    rules: Sequence[LengthRule], overall: str, dash: int, lower: str, upper: str
) -> None:
    limits = length_limits_mm(Decimal(overall), dash, rules)
    assert (limits.lower_mm, limits.upper_mm) == (Decimal(lower), Decimal(upper))
    assert limits.row in rules


def test_a_size_that_the_table_leaves_out_is_refused() -> None:
    with pytest.raises(OffTheTable, match="Choose another rule set"):
        length_limits_mm(Decimal(930), 18, EN)
    with pytest.raises(OffTheTable):
        length_limits_mm(Decimal(930), 8, ())


@pytest.mark.parametrize("overall", ["0", "-930"])
def test_no_length_has_no_tolerance(overall: str) -> None:
    with pytest.raises(OutOfRange):
        length_limits_mm(Decimal(overall), 8, SAE)


def test_every_length_rule_says_where_it_is_from_and_whether_it_was_read() -> None:
    rows = [row for rows in RULES.values() for row in rows]
    assert len(rows) == 27
    assert all(row.source for row in rows)
    assert {row.basis for row in rows} == {"read", "memory"}


@pytest.mark.parametrize("rules", [SAE, EN, CUT_HOSE])
@given(
    overall=st.integers(min_value=1, max_value=20_000),
    dash=st.sampled_from([3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 40]),
)
def test_exactly_one_row_covers_each_length_and_size(
    rules: Sequence[LengthRule], overall: int, dash: int
) -> None:
    assert sum(row.covers(Decimal(overall), dash) for row in rules) == 1
