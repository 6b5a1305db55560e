from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from shop.engineering.crimp import (
    DecisionRule,
    MeasurementUncertainty,
    gauge_fits,
    guard_mm,
)
from shop.engineering.errors import OutOfRange
from tests.engineering.charts import CALIPER, limits

PLAIN, GUARDED_U, GUARDED_164U = DecisionRule.PLAIN, DecisionRule.GUARDED_U, DecisionRule.GUARDED_164U


def test_a_guard_with_endless_digits_is_never_rounded_down() -> None:
    gauge = MeasurementUncertainty(
        expanded_mm=Decimal("0.01"), resolution_mm=Decimal("0.01"), coverage_factor=Decimal(3)
    )
    assert guard_mm(gauge, GUARDED_164U) == Decimal("0.005467")


def test_plain_acceptance_wants_a_quarter_of_half_the_tolerance() -> None:
    def fits(expanded: str, share: str = "0.25") -> bool:
        gauge = MeasurementUncertainty(expanded_mm=Decimal(expanded), resolution_mm=Decimal("0.01"))
        return gauge_fits(limits(), gauge, PLAIN, Decimal(share)).fits

    assert fits("0.025")
    assert not fits("0.026")
    assert fits("0.05", share="0.5")


@pytest.mark.parametrize(
    ("rule", "expanded", "fits"),
    [
        (GUARDED_U, "0.1", True),
        (GUARDED_U, "0.101", False),
        (GUARDED_164U, "0.121", True),
        (GUARDED_164U, "0.122", False),
    ],
)
def test_a_guarded_rule_wants_something_left_to_accept(rule: DecisionRule, expanded: str, fits: bool) -> None:
    gauge = MeasurementUncertainty(expanded_mm=Decimal(expanded), resolution_mm=Decimal("0.01"))
    assert gauge_fits(limits(), gauge, rule).fits is fits


@pytest.mark.parametrize("rule", DecisionRule)
def test_a_gauge_coarser_than_a_tenth_of_the_tolerance_does_not_fit(rule: DecisionRule) -> None:
    def fits(resolution: str) -> bool:
        gauge = MeasurementUncertainty(expanded_mm=Decimal("0.01"), resolution_mm=Decimal(resolution))
        return gauge_fits(limits(), gauge, rule).fits

    assert fits("0.02")
    assert not fits("0.05")


@pytest.mark.parametrize("rule", DecisionRule)
def test_a_gauge_of_unknown_uncertainty_does_not_fit(rule: DecisionRule) -> None:
    fit = gauge_fits(limits(), None, rule)
    assert not fit.fits
    assert "not known" in fit.why


@pytest.mark.parametrize("share", ["0", "-0.25", "1.01"])
def test_a_share_is_a_part_of_half_the_tolerance(share: str) -> None:
    with pytest.raises(OutOfRange):
        gauge_fits(limits(), CALIPER, PLAIN, Decimal(share))


@pytest.mark.parametrize(
    "wrong",
    [
        {"lower_mm": Decimal("20.3")},
        {"target_mm": Decimal("20.4")},
        {"target_mm": Decimal("20.0")},
        {"lower_mm": Decimal(0)},
        {"ovality_mm": Decimal("-0.1")},
        {"taper_mm": Decimal("-0.1")},
        {"readings": 0},
    ],
)
def test_limits_that_make_no_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(OutOfRange):
        replace(limits(), **wrong)


@pytest.mark.parametrize("name", ["expanded_mm", "resolution_mm", "coverage_factor"])
def test_an_uncertainty_is_above_zero(name: str) -> None:
    with pytest.raises(OutOfRange):
        replace(CALIPER, **{name: Decimal(0)})
