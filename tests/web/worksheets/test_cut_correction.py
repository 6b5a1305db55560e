"""What typed lengths say about the cut."""

from tests.web.worksheets.conftest import Ask

PIECES = "930 933.2; 930 933.6; 930 932.9\n930 933.4; 930 933.1; 930 933.3"


def test_the_mean_its_interval_and_the_cut_instead(page: Ask) -> None:
    # 3.2, 3.6, 2.9, 3.4, 3.1 and 3.3 make 19.5, a sixth of it is 3.25; 877 − 3.25 = 873.75, read to tenths.
    answer = page("cut-correction", pieces=PIECES, cut="877")
    assert "6 pieces came out 3.25 mm longer than wanted, more than chance explains." in answer
    facts = answer.partition('class="facts"')[2].partition("</dl>")[0]
    assert "+3.2 mm" in facts
    assert "873.8 mm" in facts


def test_a_tape_that_may_be_off_by_as_much_proves_nothing(page: Ask) -> None:
    answer = page("cut-correction", pieces=PIECES, tape="4 mm", cut="877")
    assert "the tape&#x27;s own error" in answer
    assert "Cut instead" not in answer


def test_too_few_pieces_are_said_where_they_are_typed(fragment: Ask) -> None:
    answer = fragment("cut-correction", pieces="930 933; 930 934")
    says = answer.partition('id="id_pieces_says"')[2].partition("</div>")[0]
    assert "2 pieces say too little" in says


def test_a_slipped_digit_is_asked_about(fragment: Ask) -> None:
    answer = fragment("cut-correction", pieces=f"{PIECES}; 930 9330")
    assert "more than a tenth away" in answer.partition('id="id_pieces_says"')[2].partition("</div>")[0]


def test_a_line_that_is_no_pair_is_named(fragment: Ask) -> None:
    answer = fragment("cut-correction", pieces=f"{PIECES}; 930")
    assert "is not two lengths" in answer.partition('id="id_pieces_says"')[2].partition("</div>")[0]


def test_it_leads_to_the_pieces_of_the_book(page: Ask) -> None:
    assert "This page changes no cut" in page("cut-correction", pieces=PIECES)
