import re
from dataclasses import replace
from decimal import Decimal

import pytest

from shop.drawings.judgement import JudgementDrawing, draw_judgement
from tests.drawings.reading import Drawn

PASSING = JudgementDrawing(
    lower_mm=Decimal("24.08"),
    target_mm=Decimal("24.2"),
    upper_mm=Decimal("24.32"),
    acceptance_lower_mm=Decimal("24.11"),
    acceptance_upper_mm=Decimal("24.29"),
    readings_mm=(Decimal("24.18"), Decimal("24.2"), Decimal("24.19")),
    mean_mm=Decimal("24.19"),
    expanded_mm=Decimal("0.03"),
    outcome="pass",
    judged="mean",
)


def drawn(judgement: JudgementDrawing) -> Drawn:
    return Drawn(draw_judgement(judgement))


def mm_at(drawing: Drawn, x: float) -> float:
    """The diameter at a place on the scale, by its two limits."""
    lower, upper = drawing.number("fb-limit-lower", "x1"), drawing.number("fb-limit-upper", "x1")
    return 24.08 + (x - lower) / (upper - lower) * 0.24


def test_readings_mean_and_target_stand_where_their_values_are() -> None:
    drawing = drawn(PASSING)
    readings = [mm_at(drawing, float(tick.attrib["x1"])) for tick in drawing.all("fb-reading")]
    assert readings == pytest.approx([24.18, 24.20, 24.19], abs=1e-5)
    assert mm_at(drawing, drawing.number("fb-mean", "x1")) == pytest.approx(24.19, abs=1e-5)
    assert mm_at(drawing, drawing.number("fb-target", "x1")) == pytest.approx(24.2, abs=1e-5)


def test_the_bar_is_the_expanded_uncertainty_to_each_side_of_the_mean() -> None:
    drawing = drawn(PASSING)
    assert mm_at(drawing, drawing.number("fb-uncertainty", "x1")) == pytest.approx(24.16, abs=1e-5)
    assert mm_at(drawing, drawing.number("fb-uncertainty", "x2")) == pytest.approx(24.22, abs=1e-5)


def test_each_reading_has_a_bar_where_each_is_judged() -> None:
    drawing = drawn(replace(PASSING, judged="each"))
    assert len(drawing.all("fb-uncertainty")) == 3
    assert not drawing.all("fb-mean")


def test_figures_are_shown_with_the_same_decimals() -> None:
    drawing = drawn(PASSING)
    assert drawing.text("fb-limit-lower-label") == "24.08"
    assert drawing.text("fb-target-label") == "target 24.20"
    assert "readings 24.18, 24.20, 24.19 mm" in drawing.text("fb-readings")
    assert drawing.text("fb-mean-label") == "mean 24.19 ± 0.03 mm"


def test_a_mean_that_does_not_end_is_rounded_once_to_the_micrometre() -> None:
    mean = Decimal("72.91") / 3
    assert drawn(replace(PASSING, mean_mm=mean)).text("fb-mean-label") == "mean 24.303 ± 0.03 mm"


@pytest.mark.parametrize(
    ("outcome", "words"), [("pass", "Passes"), ("held", "Held, not proven"), ("fail", "Fails")]
)
def test_the_outcome_is_told_by_its_word(outcome: str, words: str) -> None:
    drawing = drawn(replace(PASSING, outcome=outcome))
    assert drawing.text("fb-outcome") == words
    assert drawing.title.startswith(f"{words}: mean 24.19")


def test_each_outcome_has_its_own_sign() -> None:
    signs = {drawn(replace(PASSING, outcome=o)).one("fb-sign").attrib["d"] for o in ("pass", "held", "fail")}
    assert len(signs) == 3


def test_the_zones_that_are_not_proven_are_hatched_inside_the_limits() -> None:
    drawing = drawn(PASSING)
    zones = []
    for band in drawing.all("fb-guard"):
        places = [float(x) for x in re.findall(r"[ML](\S+) ", band.attrib["d"])]
        zones.append((mm_at(drawing, min(places)), mm_at(drawing, max(places))))
    assert zones == [
        (pytest.approx(24.08, abs=1e-5), pytest.approx(24.11, abs=1e-5)),
        (pytest.approx(24.29, abs=1e-5), pytest.approx(24.32, abs=1e-5)),
    ]


def test_all_is_hatched_if_the_gauge_proves_nothing() -> None:
    coarse = replace(PASSING, acceptance_lower_mm=Decimal("24.28"), acceptance_upper_mm=Decimal("24.12"))
    assert len(drawn(coarse).all("fb-guard")) == 1


def test_nothing_is_hatched_without_a_guard() -> None:
    plain = replace(PASSING, acceptance_lower_mm=Decimal("24.08"), acceptance_upper_mm=Decimal("24.32"))
    assert not drawn(plain).all("fb-guard")


def test_an_unknown_uncertainty_has_no_bar_and_is_said() -> None:
    drawing = drawn(replace(PASSING, expanded_mm=None, outcome="held"))
    assert not drawing.all("fb-uncertainty")
    assert "the uncertainty of the gauge is not known" in drawing.text("fb-readings")


def test_a_reading_off_the_scale_is_an_arrow_with_its_figure() -> None:
    slipped = (Decimal("2.41"), Decimal("24.31"), Decimal("24.3"))
    drawing = drawn(replace(PASSING, readings_mm=slipped, judged="each", outcome="fail"))
    assert drawing.text("fb-off-scale-label") == "2.41"
    assert len(drawing.all("fb-uncertainty")) == 2


def test_a_reading_on_a_limit_is_drawn_on_the_limit() -> None:
    drawing = drawn(replace(PASSING, readings_mm=(Decimal("24.32"),)))
    assert drawing.number("fb-reading", "x1") == drawing.number("fb-limit-upper", "x1")
