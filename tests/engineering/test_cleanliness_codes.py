from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.cleanliness import ScaleRow, code_of_counts, parse_code, read_scale, scale_number
from shop.engineering.errors import EngineeringError, NotANumber, NotUnderstood, OffTheTable, OutOfRange
from tests.engineering.outside import outside

SCALE = read_scale(Path(__file__).parents[2] / "fixtures/standards/cleanliness_codes.csv")

READ = "ISO 4406 scale, read in a public copy"
WHY = "a row as printed; the program looks it up by comparing, not by doubling"
# code, over, up to (per ml), source, why_independent
PRINTED_ROWS = [
    (10, "5", "10", READ, WHY),
    (11, "10", "20", READ, WHY),
    (12, "20", "40", READ, WHY),
    (13, "40", "80", READ, WHY),
    (14, "80", "160", READ, WHY),
    (15, "160", "320", READ, WHY),
    (16, "320", "640", READ, WHY),
    (17, "640", "1300", READ, WHY),
    (18, "1300", "2500", READ, WHY),
    (19, "2500", "5000", READ, WHY),
    (20, "5000", "10000", READ, WHY),
    (21, "10000", "20000", READ, WHY),
]


@outside(
    scale_number,
    source="ISO 4406 scale of codes, rows 10 to 21 read in a public copy",
    independent="typed from the copy, beside the table of the program",
)
@pytest.mark.parametrize(("code", "over", "up_to", "source", "why_independent"), PRINTED_ROWS)
def test_a_count_on_the_upper_bound_is_in_and_one_more_is_not(
    code: int, over: str, up_to: str, source: str, why_independent: str
) -> None:
    row = scale_number(Decimal(up_to), SCALE)
    assert (row.code, row.over, row.up_to) == (code, Decimal(over), Decimal(up_to)), (source, why_independent)
    assert scale_number(Decimal(up_to) + Decimal("0.01"), SCALE).code == code + 1
    assert scale_number(Decimal(over), SCALE).code == code - 1
    assert row.basis == "read"


@pytest.mark.parametrize(("lower", "upper"), list(pairwise(SCALE)))
def test_the_scale_has_no_gap_and_each_number_is_about_twice_the_last(
    lower: ScaleRow, upper: ScaleRow
) -> None:
    # Independent of the rows: the standard's rule is that each step about doubles (printed 640 to 1300).
    assert upper.code == lower.code + 1
    assert upper.over == lower.up_to
    assert Decimal("1.9") < upper.up_to / lower.up_to < Decimal("2.1")


def test_rows_from_memory_say_so() -> None:
    by_code = {row.code: row for row in SCALE}
    assert {code for code, row in by_code.items() if row.basis == "read"} == set(range(10, 22))
    assert all("from memory" in row.source for row in SCALE if row.basis == "memory")


@pytest.mark.parametrize(
    ("counts", "code"),
    [
        # Worked by hand from the printed rows.
        (("1500", "400", "60"), "18/16/13"),
        (("1300", "640", "80"), "17/16/13"),
        (("1301", "641", "81"), "18/17/14"),
        (("9", "9", "9"), "10/10/10"),
    ],
)
def test_three_counts_make_a_code(counts: tuple[str, str, str], code: str) -> None:
    at_4, at_6, at_14 = map(Decimal, counts)
    assert str(code_of_counts(at_4, at_6, at_14, SCALE)) == code


def test_particles_of_4_micrometres_may_be_uncounted() -> None:
    code = code_of_counts(None, Decimal(400), Decimal(60), SCALE)
    assert str(code) == "-/16/13"
    assert code == parse_code("–/16/13", SCALE)
    assert code.meanings[0] == "4 µm(c) and larger: not counted."


def test_a_code_tells_both_bounds_of_each_number_and_its_source() -> None:
    code = parse_code("18/16/5", SCALE)
    assert code.meanings == (
        "4 µm(c) and larger: more than 1300 up to 2500 per ml (ISO 4406 scale of codes, read).",
        "6 µm(c) and larger: more than 320 up to 640 per ml (ISO 4406 scale of codes, read).",
        "14 µm(c) and larger: more than 0.16 up to 0.32 per ml (ISO 4406 scale of codes, from memory).",
    )
    assert any("100 ml" in caution for caution in code.cautions)
    assert parse_code("0/0/0", SCALE).meanings[2].startswith("14 µm(c) and larger: up to 0.01 per ml")


@pytest.mark.parametrize(
    ("have", "clean"),
    [("18/16/13", True), ("17/15/12", True), ("19/16/13", False), ("18/16/14", False), ("-/16/13", False)],
)
def test_it_is_clean_enough_if_no_number_is_above_the_wanted(have: str, clean: bool) -> None:
    assert parse_code(have, SCALE).is_as_clean_as(parse_code("18/16/13", SCALE)) is clean


def test_what_is_not_wanted_need_not_be_counted() -> None:
    assert parse_code("-/16/13", SCALE).is_as_clean_as(parse_code("-/16/13", SCALE))


def test_two_numbers_alone_are_asked_about() -> None:
    with pytest.raises(NotUnderstood, match="editions differ"):
        parse_code("16/13", SCALE)


@pytest.mark.parametrize("text", ["", "18", "18-16-13", "18/16/", "a/b/c", "18/16/13/10", "18/-/13", "NaN"])
def test_it_refuses_what_is_no_code(text: str) -> None:
    with pytest.raises(NotUnderstood) as refusal:
        parse_code(text, SCALE)
    assert refusal.value.argument == "cleanliness code"
    assert "18/16/13" in refusal.value.allowed


@pytest.mark.parametrize("text", ["13/16/18", "16/18/13", "-/13/16"])
def test_numbers_that_rise_are_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="never rise"):
        parse_code(text, SCALE)


def test_counts_that_rise_are_refused_even_within_one_number() -> None:
    with pytest.raises(OutOfRange) as refusal:
        code_of_counts(Decimal(1500), Decimal(1600), Decimal(60), SCALE)
    assert (refusal.value.argument, refusal.value.unit) == ("particle counts", "per ml")


@pytest.mark.parametrize(
    ("count", "error"),
    [("-1", OutOfRange), ("NaN", NotANumber), ("Infinity", NotANumber), ("2500001", OffTheTable)],
)
def test_it_refuses_a_count_that_makes_no_sense(count: str, error: type[EngineeringError]) -> None:
    with pytest.raises(error) as refusal:
        scale_number(Decimal(count), SCALE)
    assert (refusal.value.argument, refusal.value.unit) == ("particle count", "per ml")


def test_a_number_off_the_scale_is_told_its_ends() -> None:
    with pytest.raises(OffTheTable) as refusal:
        parse_code("29/16/13", SCALE)
    assert refusal.value.allowed == "0 to 28"
    with pytest.raises(OffTheTable, match="above the scale"):
        scale_number(Decimal(1), ())


@given(st.decimals(0, 2_500_000, places=3), st.decimals(0, 2_500_000, places=3))
def test_more_particles_never_make_a_lower_number(a: Decimal, b: Decimal) -> None:
    fewer, more = sorted((a, b))
    assert scale_number(fewer, SCALE).code <= scale_number(more, SCALE).code


@given(st.decimals(0, 2_500_000, places=3))
def test_a_count_lies_within_the_bounds_of_its_number(count: Decimal) -> None:
    row = scale_number(count, SCALE)
    assert row.over < count <= row.up_to or count == row.over == 0
