"""A published row says for which years it holds, and how hot its hose may get by the year it was made."""

import pytest

from shop.standards.loading import load_standards
from shop.standards.models import HoseRating
from tests.factories import HoseRatingFactory
from tests.world import World


@pytest.mark.parametrize(
    ("edition", "first", "last"),
    [
        # The scope of SAE J517-2003, as the editions of the table say it.
        ("type S, from 2006", 2006, None),
        ("older table, to 2005", None, 2005),
        ("discontinued 2005", None, 2004),
        ("2015", None, None),
        ("", None, None),
    ],
)
def test_an_edition_names_the_years_of_its_hose(edition: str, first: int | None, last: int | None) -> None:
    row = HoseRating(edition=edition)
    assert (row.first_year, row.last_year) == (first, last)
    assert row.covers(first or 1980)
    assert not (first and row.covers(first - 1))
    assert not (last and row.covers(last + 1))


@pytest.mark.parametrize(("year", "highest"), [(2012, 121), (2019, 121), (2020, 120), (None, 120)])
def test_spiral_hose_to_sae_is_cooler_from_2020(world: World, year: int | None, highest: int) -> None:
    load_standards(actor=world.owner)
    spiral = HoseRating.objects.get(standard="SAE 100R13", dash=12)
    assert spiral.upper_temperature_c(year) == highest  # rationale of SAE J517-2020
    row = spiral.as_row()
    assert row is not None
    assert row.upper_temperature_c(year) == highest


def test_a_row_without_its_figures_is_compared_with_none(world: World) -> None:
    assert HoseRatingFactory.build(printed_value="", printed_unit="").as_row() is None
    no_temperature = HoseRatingFactory.build(temperature_max_c=None)
    assert (no_temperature.as_row(), no_temperature.upper_temperature_c(2012)) == (None, None)
