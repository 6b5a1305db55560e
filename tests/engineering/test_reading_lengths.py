from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import NotANumber, NotUnderstood, OutOfRange
from shop.engineering.lengths import LengthUnit, parse_length, round_length, show_length, trim

MM, M, CM, IN, FT = LengthUnit.MM, LengthUnit.M, LengthUnit.CM, LengthUnit.IN, LengthUnit.FT

# 25.4 mm to the inch, 12 in to the foot: the millimetres are arithmetic.
AS_PEOPLE_WRITE = [
    ("930", "930", MM),
    ("930 mm", "930", MM),
    ("  930MM ", "930", MM),
    ("930.5", "930.5", MM),
    ("930,5 mm", "930.5", MM),
    ("1/2 mm", "0.5", MM),
    ("0,93 m", "930", M),
    ("1,250 m", "1250", M),
    (".93 m", "930", M),
    ("93cm", "930", CM),
    ("2 metres", "2000", M),
    ("36 1/2 in", "927.1", IN),
    ("36 1/2 inches", "927.1", IN),
    ('36-1/2"', "927.1", IN),
    ('36 - 1/2"', "927.1", IN),
    ('36.5"', "927.1", IN),
    ("36,5 in", "927.1", IN),
    ("36,125 in", "917.575", IN),
    ('1/2"', "12.7", IN),
    ("1/64 in", "0.396875", IN),
    ("36½″", "927.1", IN),
    ("36 ½ in", "927.1", IN),
    ("⅝ in", "15.875", IN),
    ("36 1⁄2 in", "927.1", IN),
    ("36–1/2”", "927.1", IN),
    ("36 1/2''", "927.1", IN),
    ("3'", "914.4", FT),
    ("2.5 ft", "762", FT),
    ("3' 4-1/2\"", "1028.7", FT),
    ("3'4-1/2\"", "1028.7", FT),
    ("3'-4 1/2\"", "1028.7", FT),
    ("3′ 4½″", "1028.7", FT),
    ("3’ 4”", "1016", FT),
    ("3' 4", "1016", FT),
    ("3 ft 4 1/2 in", "1028.7", FT),
    ("3 feet 4 inches", "1016", FT),
    ("0' 4\"", "101.6", FT),
]


@pytest.mark.parametrize(("text", "mm", "unit"), AS_PEOPLE_WRITE)
def test_it_reads_a_length_as_people_write_it(text: str, mm: str, unit: LengthUnit) -> None:
    typed = parse_length(text)
    assert (typed.mm, typed.unit, typed.text) == (Decimal(mm), unit, text.strip())


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("36 1/2", IN, "927.1"),
        ("1/2", IN, "12.7"),
        ("0.93", M, "930"),
        ("3", FT, "914.4"),
        ("930 mm", IN, "930"),
    ],
)
def test_a_number_alone_is_in_the_unit_of_the_workshop(text: str, unit: LengthUnit, mm: str) -> None:
    assert parse_length(text, unit).mm == Decimal(mm)


@pytest.mark.parametrize(
    "text", ["1,200.5", "1.200,5", "1.200.000", "1,200,000 mm", "1,200", "24,192 mm", "1,200 ft"]
)
def test_it_refuses_a_number_with_two_readings(text: str) -> None:
    with pytest.raises(NotUnderstood, match="can be read"):
        parse_length(text)


def test_the_sentence_shows_both_readings_of_a_comma() -> None:
    with pytest.raises(NotUnderstood, match=r"1200 mm or as 1\.2 mm"):
        parse_length("1,200")


@pytest.mark.parametrize("text", ["1/2", "36 1/2", "36½"])
def test_it_refuses_a_fraction_without_a_unit_where_millimetres_are_typed(text: str) -> None:
    with pytest.raises(NotUnderstood, match="fraction without a unit"):
        parse_length(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "long",
        "930 yd",
        "9 30",
        "1 200 mm",
        "1e3",
        "NaN",
        "inf",
        "36.5 1/2 in",
        "36 3/2 in",
        "36 2/2 in",
        "1/0 in",
        "3' 12\"",
        "3.5' 4\"",
        '36" 1/2',
        "1/½ in",
        "٣٦ mm",
        "93²",
        "9" * 61,
    ],
)
def test_it_refuses_text_that_is_no_length_and_shows_the_forms(text: str) -> None:
    with pytest.raises(NotUnderstood) as refusal:
        parse_length(text)
    assert "36-1/2" in refusal.value.allowed
    assert str(refusal.value).endswith(".") or refusal.value.allowed in str(refusal.value)


@pytest.mark.parametrize(
    "text", ["0", "0 in", "0' 0\"", "-930", "−36 in", "10000001", "99999 m", "1/128 in", "0.0000001"]
)
def test_it_refuses_a_length_that_no_hose_has_or_that_is_too_fine_to_keep(text: str) -> None:
    with pytest.raises(OutOfRange):
        parse_length(text)


@pytest.mark.parametrize(
    ("mm", "unit", "shown"),
    [
        ("930", MM, "930 mm"),
        ("930.000", MM, "930 mm"),
        ("1E+3", MM, "1000 mm"),
        ("0.000001", MM, "0.000001 mm"),
        ("930", M, "0.93 m"),
        ("930", CM, "93 cm"),
        ("927.1", IN, "36 1/2 in"),
        ("914.4", IN, "36 in"),
        ("0.396875", IN, "1/64 in"),
        ("2.54", IN, "0.1 in"),
        ("930", IN, "930 mm"),
        ("1028.7", FT, "3 ft 4 1/2 in"),
        ("914.4", FT, "3 ft"),
        ("101.6", FT, "4 in"),
        ("930", FT, "930 mm"),
        ("0", MM, "0 mm"),
    ],
)
def test_it_shows_a_length_exactly(mm: str, unit: LengthUnit, shown: str) -> None:
    assert show_length(Decimal(mm), unit) == shown


NANOMETRES = st.integers(min_value=1, max_value=10**13)
SIXTY_FOURTHS = st.integers(min_value=1, max_value=64 * 12 * 1000).map(lambda count: count * 396_875)
TENTHS_OF_INCHES = st.integers(min_value=1, max_value=10**6).map(lambda count: count * 2_540_000)


@given(NANOMETRES | SIXTY_FOURTHS | TENTHS_OF_INCHES, st.sampled_from(LengthUnit))
def test_what_is_shown_reads_back_to_the_same_length(nanometres: int, unit: LengthUnit) -> None:
    mm = Decimal(nanometres) / 1_000_000
    shown = show_length(mm, unit)
    typed = parse_length(shown)
    assert typed.mm == mm
    assert show_length(typed.mm, typed.unit) == shown


@given(SIXTY_FOURTHS)
def test_every_sixty_fourth_is_shown_as_a_fraction_and_never_in_millimetres(nanometres: int) -> None:
    assert show_length(Decimal(nanometres) / 1_000_000, IN).endswith(" in")


@given(st.text(max_size=30) | st.text(alphabet="0123456789.,/-'\"½′ inftcm", max_size=12))
def test_any_text_is_read_or_refused_and_never_more(text: str) -> None:
    try:
        typed = parse_length(text)
    except (NotUnderstood, OutOfRange):
        return
    assert typed.mm > 0
    assert parse_length(show_length(typed.mm, typed.unit)).mm == typed.mm


@pytest.mark.parametrize(
    ("mm", "unit", "places", "shown"),
    [
        ("930", IN, 2, "36.61 in"),
        ("927.1", IN, 2, "36.50 in"),
        ("930.5", MM, 0, "930 mm"),
        ("931.5", MM, 0, "932 mm"),
        ("930", M, 1, "0.9 m"),
    ],
)
def test_for_reading_it_is_rounded_once_a_half_to_even(
    mm: str, unit: LengthUnit, places: int, shown: str
) -> None:
    assert round_length(Decimal(mm), unit, places) == shown


@pytest.mark.parametrize(
    ("number", "text"),
    [("930.000", "930"), ("1E+3", "1000"), ("-0.0", "0"), ("0.10", "0.1"), ("100", "100"), ("-5.50", "-5.5")],
)
def test_trimming_leaves_the_number_without_zeros_and_exponent(number: str, text: str) -> None:
    assert str(trim(Decimal(number))) == text


def test_trimming_keeps_more_digits_than_the_context_would() -> None:
    digits = "1234567890123456789012345678901.5"
    assert str(trim(Decimal(digits + "0"))) == digits


@pytest.mark.parametrize("text", ["NaN", "Infinity"])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        trim(Decimal(text))
    with pytest.raises(NotANumber):
        show_length(Decimal(text), MM)


def test_a_negative_length_is_not_shown() -> None:
    with pytest.raises(OutOfRange):
        round_length(Decimal(-1), MM, 0)
