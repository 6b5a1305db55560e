"""A pin of nine tenths of the narrowest bore goes through what is not narrowed too far."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import OutOfRange
from shop.engineering.gauge_pin import gauge_pin
from tests.engineering.outside import outside

INCH_MM = Decimal("25.4")
BORES = st.integers(min_value=2_000_000, max_value=80_000_000).map(lambda nm: Decimal(nm) / 1_000_000)


@outside(
    gauge_pin,
    source="TM 1-1500-204-23-2 Table 4-15: -8, least bore at the bulge 0.365 in; FAA AC 43.13-1B Table 9-3: "
    "-8 has a bore of 13/32 in",
    independent="two documents that were read, neither of which states a share",
)
def test_the_pin_of_a_tube_sized_hose_is_its_least_bore_in_print() -> None:
    pin = gauge_pin(Decimal(13) / 32 * INCH_MM)
    assert round(pin.least_mm / INCH_MM, 3) in {Decimal("0.365"), Decimal("0.366")}


def test_the_narrowest_part_counts() -> None:
    pin = gauge_pin(Decimal("12.7"), Decimal("9.5"), Decimal("9.2"))
    assert (pin.narrowest, pin.least_mm) == ("end B", Decimal("8.28"))


@pytest.mark.parametrize(
    ("pin_mm", "shows"), [("11.43", True), ("12", True), ("12.7", True), ("11.429999", False), ("8", False)]
)
def test_a_thinner_pin_shows_nothing(pin_mm: str, shows: bool) -> None:
    assert gauge_pin(Decimal("12.7")).shows(Decimal(pin_mm)) is shows


def test_a_pin_wider_than_the_bore_went_through_nothing() -> None:
    with pytest.raises(OutOfRange, match=r"whose bore is 12\.7 mm"):
        gauge_pin(Decimal("12.7")).shows(Decimal(13))


@given(bore=BORES, narrowed=st.integers(min_value=0, max_value=100).map(lambda tenths: Decimal(tenths) / 10))
def test_what_is_narrowed_by_a_tenth_or_less_lets_it_through(bore: Decimal, narrowed: Decimal) -> None:
    left = bore * (1 - narrowed / 100)
    assert gauge_pin(bore).least_mm <= left
