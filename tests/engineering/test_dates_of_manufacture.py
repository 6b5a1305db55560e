from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.dates import Made, last_day_to_fit, month_made, parse_made
from shop.engineering.errors import EngineeringError, NotUnderstood, OutOfRange
from tests.engineering.outside import outside

# The forms in use on hose and assemblies are from memory.


@pytest.mark.parametrize(
    "text", ["2Q16", "2q16", "2Q2016", "2Q 2016", "Q2 2016", "Q2/16", "2016-Q2", "2016 Q2", " 2Q/16 "]
)
def test_it_reads_a_quarter_as_hose_is_printed(text: str) -> None:
    made = parse_made(text)
    assert (made.year, made.quarter, made.month, made.text) == (2016, 2, None, text.strip())
    assert (made.first_day, made.last_day) == (date(2016, 4, 1), date(2016, 6, 30))
    assert made.counting_starts == date(2016, 7, 1)
    assert str(made) == "2Q2016"


@pytest.mark.parametrize(
    "text", ["06/16", "6/16", "06/2016", "06-2016", "06.16", "2016-06", "2016/6", "1606"]
)
def test_it_reads_a_month_as_assemblies_are_marked(text: str) -> None:
    made = parse_made(text)
    assert (made.year, made.quarter, made.month) == (2016, None, 6)
    assert (made.first_day, made.last_day) == (date(2016, 6, 1), date(2016, 6, 30))
    assert str(made) == "2016-06"


@pytest.mark.parametrize("text", ["1206", "1212", "0101", "2012", "1999", "2006"])
def test_four_digits_with_two_readings_are_refused(text: str) -> None:
    with pytest.raises(NotUnderstood, match="Type"):
        parse_made(text)


@pytest.mark.parametrize(
    "text", ["", "2016", "June 2016", "160615", "2Q", "Q2", "2Q1", "06/6", "-06/16", "２Q16"]
)
def test_it_refuses_what_is_no_quarter_and_no_month(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_made(text)


@pytest.mark.parametrize(
    "text", ["5Q16", "0Q16", "13/16", "0/16", "2016-13", "1613", "2100", "06/1955", "2Q1899"]
)
def test_it_refuses_a_quarter_month_or_year_that_does_not_exist(text: str) -> None:
    with pytest.raises(OutOfRange):
        parse_made(text)


@pytest.mark.parametrize(("text", "year"), [("1Q79", 2079), ("1Q80", 1980), ("1Q99", 1999), ("1Q00", 2000)])
def test_two_digits_of_a_year_are_of_1980_to_2079(text: str, year: int) -> None:
    assert parse_made(text).year == year


@outside(
    Made,
    source="Navy training manual 14018: quarters from January to March",
    independent="typed from the manual as first and last days",
)
@pytest.mark.parametrize(
    ("quarter", "first", "last"),
    [(1, (1, 1), (3, 31)), (2, (4, 1), (6, 30)), (3, (7, 1), (9, 30)), (4, (10, 1), (12, 31))],
)
def test_the_first_quarter_is_january_to_march(
    quarter: int, first: tuple[int, int], last: tuple[int, int]
) -> None:
    # Navy training manual 14018.
    made = parse_made(f"{quarter}Q2023")
    assert (made.first_day, made.last_day) == (date(2023, *first), date(2023, *last))


@outside(
    last_day_to_fit,
    source="US Navy 14104 p. 9-37: four years, own quarter not counted",
    independent="counted by hand in quarters",
)
def test_hose_of_2q22_may_be_fitted_until_30_june_2026() -> None:
    # US Navy 14104 p. 9-37: four years, the quarter of manufacture not counted.
    assert last_day_to_fit(parse_made("2Q22"), 48, count_own_quarter=False) == date(2026, 6, 30)


@pytest.mark.parametrize(
    ("text", "months", "own", "last"),
    [
        ("2Q22", 48, True, date(2026, 3, 31)),
        ("2016-06", 48, False, date(2020, 6, 30)),
        ("2016-06", 48, True, date(2020, 5, 31)),
        ("4Q23", 2, False, date(2024, 2, 29)),
        ("2023-12", 1, False, date(2024, 1, 31)),
    ],
)
def test_the_limit_counts_whole_months(text: str, months: int, own: bool, last: date) -> None:
    assert last_day_to_fit(parse_made(text), months, count_own_quarter=own) == last


@given(st.integers(1980, 2079), st.integers(1, 4), st.integers(min_value=1, max_value=480))
def test_not_counting_its_own_quarter_gives_three_months_more(year: int, quarter: int, months: int) -> None:
    made = Made(year, quarter, None, "")
    assert last_day_to_fit(made, months, False) == last_day_to_fit(made, months + 3, True)
    assert parse_made(str(made)).first_day == made.first_day


@pytest.mark.parametrize("months", [0, -48, 1201, 10**6])
def test_a_limit_below_a_month_or_above_a_century_is_refused(months: int) -> None:
    with pytest.raises(OutOfRange):
        last_day_to_fit(parse_made("2Q22"), months, count_own_quarter=False)


@pytest.mark.parametrize(("quarter", "month"), [(None, None), (2, 6)])
def test_manufacture_is_a_quarter_or_a_month(quarter: int | None, month: int | None) -> None:
    with pytest.raises(EngineeringError):
        Made(2016, quarter, month, "")


def test_the_tag_carries_year_and_month() -> None:
    assert month_made(date(2026, 11, 5)) == "2026-11"
