"""The last day by every policy on one page."""

import datetime

from shop.standards.figures import confirm_figures
from tests.web.worksheets.conftest import Ask
from tests.world import World


def test_the_navys_rule_for_hose_of_the_second_quarter_of_2022(page: Ask) -> None:
    # US Navy 14104 p. 9-37: four years, own quarter not counted; counting starts on 1 July 2022.
    answer = page("dates", made="2Q22")
    navy = answer.partition('<th scope="row">us-navy</th>')[2].partition("</tr>")[0]
    assert "2026-06-30" in navy
    assert "US Navy 14104 p. 9-37 (read there)" in navy


def test_the_workshops_own_policy_stands_first_and_judges_today(page: Ask) -> None:
    answer = page("dates", made="2Q12")
    assert answer.index("this workshop") < answer.index("us-navy")
    assert "2012-07-01 + 48 months − 1 day" in answer
    assert "Too old to be fitted, by the workshop&#x27;s policy 1." in answer


def test_a_rule_that_counts_from_a_day_nobody_gave_says_so(page: Ask) -> None:
    assert "day not known" in page("dates", made="2Q24")
    assert "day not known" not in page("dates", made="2Q24", assembled="2025-03-10", fitted="2025-06-01")


def test_days_out_of_order_are_refused_at_the_later_one(fragment: Ask) -> None:
    answer = fragment("dates", made="2Q24", assembled="2023-03-10")
    at_assembled = answer.partition('id="id_assembled_says"')[2].partition("</div>")[0]
    assert "before it was made on 2024-04-01" in at_assembled


def test_a_code_that_can_be_read_two_ways_is_refused_at_its_question(page: Ask) -> None:
    answer = page("dates", made="1206")
    assert "can be read as year and month or as month and year" in answer


def test_hose_of_the_future_was_not_made_yet(fragment: Ask) -> None:
    next_year = datetime.datetime.now(datetime.UTC).year + 1
    answer = fragment("dates", made=f"1Q{next_year}")
    assert "was not yet made" in answer.partition('id="id_made_says"')[2].partition("</div>")[0]


def test_a_row_that_was_confirmed_says_so(page: Ask, world: World) -> None:
    confirm_figures(
        actor=world.inspector,
        table="age_policies",
        row="de-safety, assembly: to store, from assembly",
        document="DGUV 113-020, 2019",
        typed={"limit": "24", "leeway": "0"},
    )
    assert "DGUV 113-020 and DIN 20066 (confirmed by 4 on " in page("dates", made="2Q24")
