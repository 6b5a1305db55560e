"""Counts to a code and back on the page; values of the published table as it was read (code 6 to 24)."""

import pytest

from shop.standards.figures import confirm_figures
from tests.web.worksheets.conftest import Ask
from tests.world import World


def test_counts_become_a_code(page: Ask) -> None:
    answer = page("cleanliness", known="counts", at_4="1500", at_6="400", at_14="60")
    assert '<span class="number">18/16/13</span>' in answer
    assert "1300 &lt; 1500 ≤ 2500" in answer


@pytest.mark.parametrize(("count", "number"), [("1300", "17"), ("1301", "18")])
def test_a_count_on_a_bound_belongs_to_the_row_below(page: Ask, count: str, number: str) -> None:
    answer = page("cleanliness", known="counts", at_4=count, at_6="400", at_14="60")
    assert f'<span class="number">{number}/16/13</span>' in answer


def test_a_code_stands_for_both_its_bounds(page: Ask) -> None:
    answer = page("cleanliness", known="code", code="18/16/13", wanted="17/15/12")
    assert "more than 1300 up to 2500 per ml" in answer
    assert "Not as clean as 17/15/12." in answer


def test_counts_that_rise_are_refused_at_their_question(fragment: Ask) -> None:
    answer = fragment("cleanliness", known="counts", at_4="60", at_6="400", at_14="1")
    at_6 = answer.partition('id="id_at_6_says"')[2].partition("</div>")[0]
    assert "rise: those of the smaller sizes include the larger" in at_6


def test_a_count_above_the_scale_is_refused_at_its_own_question(fragment: Ask) -> None:
    answer = fragment("cleanliness", known="counts", at_6="999999999", at_14="60")
    assert "above the scale" in answer.partition('id="id_at_6_says"')[2].partition("</div>")[0]


@pytest.mark.parametrize("typed", ["1,300", "1.300"])
def test_thousands_and_decimals_are_not_guessed_at(page: Ask, typed: str) -> None:
    answer = page("cleanliness", known="counts", at_4=typed, at_6="400", at_14="60")
    assert "can be read as thousands or as decimals" in answer
    assert "It comes to" not in answer


def test_an_answer_that_belongs_to_the_other_choice_is_left_aside(page: Ask) -> None:
    answer = page("cleanliness", known="code", code="18/16/13", at_4="nonsense")
    assert '<span class="number">18/16/13</span>' in answer


def test_a_row_that_was_confirmed_says_so(page: Ask, world: World) -> None:
    confirm_figures(
        actor=world.inspector,
        table="cleanliness_codes",
        row="number 18",
        document="ISO 4406:2021, Table 1",
        typed={"over": "1300", "up to": "2500"},
    )
    assert (
        "confirmed by 4 on" in page("cleanliness", known="code", code="18/16/13").partition('id="basis"')[2]
    )
