from decimal import Decimal

import pytest

from shop.engineering.crimp import implausible_reading
from shop.engineering.errors import OutOfRange
from tests.engineering.charts import limits


@pytest.mark.parametrize(
    ("reading", "question"),
    [
        ("0.953", "24.2062 mm if it were inches"),
        ("242", "decimal point"),
        ("2.42", "decimal point"),
        ("2419", "decimal point"),
        ("0.02419", "decimal point"),
        ("42.19", "far from the target of 24.2 mm"),
    ],
)
def test_it_asks_about_a_reading_that_looks_like_a_slip(reading: str, question: str) -> None:
    asked = implausible_reading(Decimal(reading), limits("24.08", "24.32"))
    assert asked is not None
    assert question in asked


@pytest.mark.parametrize("reading", ["24.19", "24.33", "19.36", "29.04"])
def test_it_does_not_ask_about_a_plausible_reading_even_of_a_bad_crimp(reading: str) -> None:
    assert implausible_reading(Decimal(reading), limits("24.08", "24.32")) is None


def test_with_a_wide_tolerance_ten_times_it_is_plausible() -> None:
    assert implausible_reading(Decimal(30), limits("19", "21")) is None


def test_a_reading_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange):
        implausible_reading(Decimal(0), limits())
