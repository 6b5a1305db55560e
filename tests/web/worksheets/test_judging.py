"""Readings against their limits on the page."""

import pytest

from tests.web.worksheets.conftest import Ask

# Limits 20.10 to 20.30, U 0.03 with k 2: accepted 20.13 to 20.27; probabilities of the normal distribution.
LINE = {"lower": "20.10", "target": "20.20", "upper": "20.30", "judged": "mean"}
GAUGE = {"expanded": "0.03 mm", "factor": "2", "resolution": "0.01 mm"}


@pytest.mark.parametrize(
    ("reading", "probability"),
    [("20.27", "97.72 %"), ("20.28", "90.87 %"), ("20.30", "50.00 %")],  # rounded down: never too sure
)
def test_the_probability_of_conformity_near_a_limit(page: Ask, reading: str, probability: str) -> None:
    answer = page("judgement", **LINE, **GAUGE, readings=reading)
    assert f'<span class="number">{probability}</span>' in answer


def test_three_rules_judge_the_same_readings_three_ways(page: Ask) -> None:
    rows = page("judgement", **LINE, **GAUGE, readings="20.275 20.275").partition("<tbody>")[2]
    by_u = rows.partition("inside by U</th>")[2].partition("</tr>")[0]
    by_164 = rows.partition("inside by 1.64 u</th>")[2].partition("</tr>")[0]
    assert "Held, not proven" in by_u
    assert "20.13 mm to 20.27 mm" in by_u
    assert "Passes" in by_164


def test_it_is_drawn(page: Ask) -> None:
    answer = page("judgement", **LINE, **GAUGE, readings="20.2 20.21")
    assert 'class="fb-judgement"' in answer
    assert "mean 20.205 ± 0.03 mm" in answer


def test_a_reading_that_looks_like_inches_is_asked_about(page: Ask) -> None:
    assert "if it were inches" in page("judgement", **LINE, **GAUGE, readings="0.795")


def test_a_gauge_of_unknown_uncertainty_proves_nothing(page: Ask) -> None:
    assert "Held, not proven" in page("judgement", **LINE, readings="20.2 20.2")


def test_a_target_outside_its_limits_is_refused_at_the_target(fragment: Ask) -> None:
    answer = fragment("judgement", **(LINE | {"target": "20.9"}), **GAUGE, readings="20.2")
    assert "is not between the limits" in answer.partition('id="id_target_says"')[2].partition("</div>")[0]


def test_a_reading_that_cant_be_read_is_refused_at_the_readings(fragment: Ask) -> None:
    answer = fragment("judgement", **LINE, **GAUGE, readings="20.2 twenty")
    assert "not a length" in answer.partition('id="id_readings_says"')[2].partition("</div>")[0]
