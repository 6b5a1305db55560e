from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.engineering.editions import (
    THE_HOSE_MAKER_FIRST,
    EditionRating,
    RatingRow,
    is_constant_pressure,
    rate_by_edition,
    read_ratings,
)
from shop.engineering.errors import EngineeringError, OffTheTable, OutOfRange
from shop.engineering.pressures import exceeds
from tests.engineering.outside import outside

ROOT = Path(__file__).resolve().parent.parent.parent
ROWS = read_ratings(ROOT / "fixtures/standards/hose_ratings.csv")
TYPES = sorted({row.standard for row in ROWS})


def rated(standard: str, dash: int, year: int | None) -> EditionRating:
    return rate_by_edition(ROWS, standard, dash, year)


@outside(
    rate_by_edition,
    source="scope of SAE J517-2003: type S from 2006 and from 2008",
    independent="the year is named by the scope, the rows carry it as text",
)
@pytest.mark.parametrize(
    ("standard", "year", "type_s", "source"),
    [
        ("SAE 100R2AT", 2005, False, "J517-2003 scope: type S pressures from 2006"),
        ("SAE 100R2AT", 2006, True, "J517-2003 scope: type S pressures from 2006"),
        ("SAE 100R16", 2007, False, "J517-2003 scope: type S pressures from 2008"),
        ("SAE 100R16", 2008, True, "J517-2003 scope: type S pressures from 2008"),
    ],
)
@pytest.mark.parametrize("dash", [4, 8, 16, 20])
def test_the_table_changed_with_the_year(
    standard: str, year: int, type_s: bool, source: str, dash: int
) -> None:
    # Independent: the scope text names the year; the rows carry it as their edition.
    found = rated(standard, dash, year)
    assert found.row.edition.startswith("type S") is type_s
    assert len(found.others) == 1
    assert exceeds(found.rating, found.others[0].rating) is type_s


def test_hose_of_unknown_year_has_the_lowest_of_its_editions() -> None:
    found = rated("SAE 100R2AT", 8, None)
    assert str(found.rating) == "3500 psi"
    assert "The year it was made is not known, so the lowest of the editions governs." in found.reasons
    assert "SAE 100R2AT (type S, from 2006) prints 4000 psi (275 bar)." in found.reasons
    assert THE_HOSE_MAKER_FIRST in found.cautions
    assert any("from memory" in caution for caution in found.cautions)
    assert found.assumptions


@given(st.sampled_from(ROWS), st.integers(1980, 2079))
def test_knowing_the_year_never_lowers_the_rating(row: RatingRow, year: int) -> None:
    assume(row.covers(year))
    unknown = rated(row.standard, row.dash, None)
    assert not exceeds(unknown.rating, rated(row.standard, row.dash, year).rating)


RATIONALE = outside(
    rate_by_edition,
    source="rationale of SAE J517-2020: spiral hose for 120 °C, before it was 121 °C",
    independent="named by the rationale, while the rows carry one temperature",
)


@pytest.mark.parametrize(
    ("standard", "dash", "year", "upper_c"),
    [
        pytest.param("SAE 100R12", 8, 2019, 121, marks=RATIONALE),
        pytest.param("SAE 100R12", 8, 2020, 120, marks=RATIONALE),
        ("SAE 100R13", 12, None, 120),
        pytest.param("SAE 100R15", 24, 2010, 121, marks=RATIONALE),
        ("SAE 100R2AT", 8, 2010, 100),
        ("EN 856 4SP", 8, None, 100),
        ("SAE 100R7", 8, 2022, 93),
    ],
)
def test_spiral_hose_is_for_120_degrees_from_2020(
    standard: str, dash: int, year: int | None, upper_c: int
) -> None:
    # The change: J517-2020 rationale, read. Temperatures of the other types: from memory, as the table says.
    assert rated(standard, dash, year).temperature_max_c == upper_c


@pytest.mark.parametrize("standard", TYPES)
def test_a_constant_pressure_type_has_one_rating_in_all_sizes(standard: str) -> None:
    # J517, from memory: 100R13, 15, 17, 18 and 19 have one rating; independent of the rows' numbers.
    constant = {"SAE 100R13", "SAE 100R15", "SAE 100R17", "SAE 100R18", "SAE 100R19"}
    assert is_constant_pressure(ROWS, standard) is (standard in constant)


@outside(
    rate_by_edition,
    source="scope of SAE J517-2003: 100R9 dropped from 2005",
    independent="named by the scope, not by a rating",
)
def test_hose_made_after_its_type_was_dropped_is_refused() -> None:
    # J517-2003 scope: 100R9 dropped from 2005.
    assert rated("SAE 100R9", 8, 2004).row.standard == "SAE 100R9"
    with pytest.raises(OffTheTable, match="not in the standard in 2005") as refusal:
        rated("SAE 100R9", 8, 2005)
    assert refusal.value.argument == "year made"


@outside(
    rate_by_edition,
    source="scope of SAE J517-2003: use R1AT and R2AT",
    independent="named by the scope, not by a rating",
)
@pytest.mark.parametrize(
    ("standard", "instead"),
    [
        ("SAE 100R2B", "SAE 100R2AT"),
        ("SAE 100R1A", "SAE 100R1AT"),
        ("SAE 100R2A", "SAE 100R2AT"),
        ("SAE 100R2BT", "SAE 100R2AT"),
    ],
)
def test_a_type_that_was_dropped_names_what_took_its_place(standard: str, instead: str) -> None:
    # J517-2003 scope: use R1AT and R2AT.
    with pytest.raises(OffTheTable, match=f"Use {instead}") as refusal:
        rated(standard, 8, None)
    assert refusal.value.allowed == instead


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: rated("SAE 100R2AT", 7, 2010), OffTheTable, "size"),
        (lambda: rated("SAE 100R2AT", -8, 2010), OffTheTable, "size"),
        (lambda: rated("SAE 100R99", 8, 2010), OffTheTable, "hose type"),
        (lambda: rated("SAE 100R10", 8, 2010), OffTheTable, "hose type"),
        (lambda: rated("SAE 100R2AT", 8, 1979), OutOfRange, "year made"),
        (lambda: rated("SAE 100R2AT", 8, 20), OutOfRange, "year made"),
        (lambda: rate_by_edition((), "SAE 100R2AT", 8, None), OffTheTable, "hose type"),
        (lambda: is_constant_pressure(ROWS, "SAE 100R99"), OffTheTable, "hose type"),
        (lambda: is_constant_pressure(ROWS[:1], ROWS[0].standard), OffTheTable, "hose type"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed
