import sqlite3
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.age import (
    Deed,
    History,
    age_limit,
    earliest_limit,
    kinds_of,
    months_old,
    read_age_policies,
)
from shop.engineering.dates import Made, parse_made
from shop.engineering.errors import EngineeringError, OffTheTable, OutOfRange
from tests.engineering.outside import outside

ROOT = Path(__file__).resolve().parent.parent.parent
POLICIES = read_age_policies(ROOT / "fixtures/standards/age_policies.csv")
NAVY, SHORE, GERMAN = POLICIES["us-navy"], POLICIES["us-shore"], POLICIES["de-safety"]
NAVY_FIT, NAVY_REPLACE = NAVY


def by_sqlite(day: date, months: int) -> date:
    """The day before so many months after a first of the month, by another calendar than Python's."""
    with sqlite3.connect(":memory:") as database:
        found = database.execute("SELECT date(?, ?, '-1 day')", (day.isoformat(), f"+{months} months"))
        return date.fromisoformat(found.fetchone()[0])


def read(source: str) -> pytest.MarkDecorator:
    return outside(
        earliest_limit, source=source, independent="counted on the fingers, in quarters or birthdays"
    )


NAVY_14104, UFC = read("US Navy 14104 p. 9-37"), read("UFC 4-390-01, limits of hose")


@pytest.mark.parametrize(
    ("policy", "applies_to", "deed", "history", "last_day", "why_independent"),
    [
        pytest.param(
            "us-navy",
            "rubber hose",
            Deed.FIT,
            History(made=parse_made("2Q22")),
            date(2026, 6, 30),
            "16 quarters after 2Q22 is 2Q26, counted on the fingers: its last day",
            marks=NAVY_14104,
        ),
        pytest.param(
            "us-navy",
            "rubber hose",
            Deed.FIT,
            History(made=parse_made("4Q23")),
            date(2027, 12, 31),
            "16 quarters after 4Q23 is 4Q27: its last day",
            marks=NAVY_14104,
        ),
        pytest.param(
            "us-navy",
            "rubber hose",
            Deed.REPLACE,
            History(fitted=date(2022, 7, 1)),
            date(2027, 6, 30),
            "five birthdays less a day",
            marks=NAVY_14104,
        ),
        pytest.param(
            "us-shore",
            "critical hose",
            Deed.REPLACE,
            History(made=parse_made("1Q20")),
            date(2025, 6, 30),
            "22 quarters with 1Q20 the first: 2Q25 is the 22nd",
            marks=UFC,
        ),
        pytest.param(
            "us-shore",
            "other hose",
            Deed.REPLACE,
            History(made=parse_made("3Q12")),
            date(2024, 6, 30),
            "48 quarters with 3Q12 the first: 2Q24 is the 48th",
            marks=UFC,
        ),
        pytest.param(
            "us-shore",
            "PTFE and metal hose",
            Deed.TEST,
            History(fitted=date(2024, 2, 29)),
            date(2025, 2, 27),
            "a year from a leap day ends before 28 February",
            marks=UFC,
        ),
        (
            "de-safety",
            "hose for assemblies",
            Deed.FIT,
            History(made=parse_made("2Q22")),
            date(2026, 3, 31),
            "16 quarters with 2Q22 the first: 1Q26 is the 16th",
        ),
        (
            "de-safety",
            "assembly",
            Deed.STORE,
            History(assembled=date(2024, 5, 15)),
            date(2026, 5, 14),
            "two birthdays less a day",
        ),
        (
            "de-safety",
            "assembly",
            Deed.REPLACE,
            History(assembled=date(2024, 5, 15)),
            date(2030, 5, 14),
            "six birthdays less a day",
        ),
        (
            "de-safety",
            "assembly in heavier duty",
            Deed.REPLACE,
            History(assembled=date(2024, 5, 15)),
            date(2026, 5, 14),
            "two birthdays less a day",
        ),
        (
            "us-shelf",
            "hose",
            Deed.FIT,
            History(made=parse_made("1Q16")),
            date(2025, 12, 31),
            "40 quarters with 1Q16 the first: 4Q25 is the 40th",
        ),
        (
            "naval-aviation",
            "rubber hose",
            Deed.FIT,
            History(made=parse_made("2Q18")),
            date(2026, 3, 31),
            "32 quarters with 2Q18 the first: 1Q26 is the 32nd",
        ),
        (
            "naval-aviation",
            "exposed rubber hose",
            Deed.REPLACE,
            History(fitted=date(2019, 11, 30)),
            date(2026, 11, 29),
            "seven birthdays less a day",
        ),
    ],
)
def test_the_last_day_is_that_of_the_policy(
    policy: str, applies_to: str, deed: Deed, history: History, last_day: date, why_independent: str
) -> None:
    # The limits themselves carry source and basis in the table of policies.
    limit = earliest_limit(POLICIES[policy], deed, applies_to, history)
    assert limit.last_day == last_day
    assert limit.allows(last_day)
    assert not limit.allows(limit.too_old_from)
    assert limit.too_old_from - last_day == timedelta(days=1)


@outside(age_limit, source="SQLite's calendar", independent="another calendar than the one of Python")
@given(st.integers(1980, 2039), st.integers(1, 4), st.integers(1, 300), st.booleans())
def test_months_from_manufacture_are_those_of_another_calendar(
    year: int, quarter: int, months: int, own: bool
) -> None:
    rule = replace(NAVY_FIT, months=months, own_period_counts=own)
    made = Made(year, quarter, None, "")
    starts = date(year, 3 * quarter - 2, 1) if own else date(year + quarter // 4, 3 * quarter % 12 + 1, 1)
    assert age_limit(rule, History(made=made)).last_day == by_sqlite(starts, months)


@outside(age_limit, source="SQLite's calendar", independent="another calendar than the one of Python")
@given(st.dates(date(1990, 1, 1), date(2060, 1, 1)), st.integers(1, 120))
def test_from_a_day_it_ends_on_the_same_day_of_the_month_or_its_last(day: date, months: int) -> None:
    limit = age_limit(replace(NAVY_REPLACE, months=months, leeway_months=0), History(fitted=day))
    after = limit.too_old_from
    assert by_sqlite(day.replace(day=1), months) + timedelta(days=1) == after.replace(day=1)
    assert after.day == day.day or (after + timedelta(days=1)).day == 1


@given(st.integers(1, 200), st.integers(1, 200))
def test_a_longer_limit_never_ends_sooner(months: int, more: int) -> None:
    history = History(fitted=date(2021, 8, 31))
    shorter = age_limit(replace(NAVY_REPLACE, months=months, leeway_months=0), history)
    longer = age_limit(replace(NAVY_REPLACE, months=months + more, leeway_months=0), history)
    assert shorter.last_day < longer.last_day


def test_five_years_may_be_six_months_less_or_more() -> None:
    # US Navy 14104 p. 9-37.
    limit = age_limit(NAVY_REPLACE, History(fitted=date(2022, 7, 1)))
    assert (limit.earliest, limit.latest) == (date(2026, 12, 31), date(2027, 12, 31))
    assert not limit.allows(limit.latest)


@pytest.mark.parametrize(
    ("made", "day", "own", "months"),
    [
        ("2Q22", date(2022, 5, 1), False, 0),
        ("2Q22", date(2022, 7, 31), False, 0),
        ("2Q22", date(2022, 8, 1), False, 1),
        ("2Q22", date(2022, 8, 1), True, 4),
        ("2Q22", date(2026, 6, 30), False, 47),
        ("2Q22", date(2026, 7, 1), False, 48),
    ],
)
def test_age_is_counted_as_the_limit_counts(made: str, day: date, own: bool, months: int) -> None:
    assert months_old(parse_made(made), day, own) == months


@given(st.dates(date(2022, 4, 1), date(2030, 1, 1)), st.booleans())
def test_hose_may_be_fitted_just_as_long_as_it_is_younger_than_the_limit(day: date, own: bool) -> None:
    made = parse_made("2Q22")
    limit = age_limit(replace(NAVY_FIT, own_period_counts=own), History(made=made))
    assert limit.allows(day) is (months_old(made, day, own) < NAVY_FIT.months)


def test_a_limit_says_from_when_it_counts_and_what_else_matters() -> None:
    stored = age_limit(GERMAN[2], History(assembled=date(2024, 5, 15)))
    assert "with storage included" in stored.assumptions[0]
    assert any("from memory" in caution for caution in stored.cautions)
    fitted = age_limit(NAVY_REPLACE, History(fitted=date(2022, 7, 1)))
    assert "storage not included" in fitted.assumptions[0]
    assert len(fitted.cautions) == 1
    made = age_limit(NAVY_FIT, History(made=parse_made("2Q22")))
    assert "The quarter or month of manufacture itself does not count." in made.assumptions


def test_the_first_of_two_limits_governs() -> None:
    long, short = GERMAN[2], replace(GERMAN[2], months=12)
    for both in ([long, short], [short, long]):
        limit = earliest_limit(both, Deed.REPLACE, "assembly", History(assembled=date(2024, 1, 1)))
        assert limit.rule is short


def test_every_limit_says_where_it_is_from_and_whether_it_was_read() -> None:
    rules = [rule for policy in POLICIES.values() for rule in policy]
    assert len(rules) == 13
    assert all(rule.source for rule in rules)
    assert {rule.basis for rule in rules} == {"read", "memory"}
    assert kinds_of(SHORE) == ("critical hose", "other hose", "PTFE and metal hose")


def test_a_policy_without_a_limit_for_it_is_refused_with_those_it_has() -> None:
    with pytest.raises(OffTheTable) as refusal:
        earliest_limit(NAVY, Deed.STORE, "assembly", History())
    assert refusal.value.allowed == "fit: rubber hose; replace: rubber hose"
    with pytest.raises(OffTheTable):
        earliest_limit((), Deed.FIT, "rubber hose", History())


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: age_limit(NAVY_FIT, History()), EngineeringError, "day of manufacture of the hose"),
        (lambda: age_limit(GERMAN[2], History()), EngineeringError, "day of assembly"),
        (lambda: age_limit(NAVY_REPLACE, History()), EngineeringError, "day of fitting"),
        (lambda: replace(NAVY_FIT, months=0), OutOfRange, "age limit"),
        (lambda: replace(NAVY_FIT, months=601), OutOfRange, "age limit"),
        (lambda: replace(NAVY_FIT, leeway_months=48), OutOfRange, "leeway"),
        (lambda: replace(NAVY_FIT, leeway_months=-1), OutOfRange, "leeway"),
        (lambda: replace(NAVY_FIT, own_period_counts=None), EngineeringError, "own period"),
        (lambda: replace(NAVY_REPLACE, own_period_counts=True), EngineeringError, "own period"),
        (lambda: months_old(parse_made("2Q22"), date(2022, 3, 31), True), OutOfRange, "day"),
        (lambda: History(made=parse_made("2Q22"), assembled=date(2022, 3, 31)), OutOfRange, "day assembled"),
        (lambda: History(made=parse_made("2Q22"), fitted=date(2022, 3, 31)), OutOfRange, "day fitted"),
        (lambda: History(assembled=date(2022, 5, 2), fitted=date(2022, 5, 1)), OutOfRange, "day fitted"),
        (lambda: History(assembled=date(9999, 12, 31)), OutOfRange, "day assembled"),
        (lambda: History(fitted=date(1922, 5, 1)), OutOfRange, "day fitted"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed
