"""What a list writes into a cell reads back as the same value."""

from decimal import Decimal

import pytest
from django import forms
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.lengths import LengthUnit
from shop.engineering.numbers import plain
from shop.policy.models import Workshop
from shop.web import workshop
from shop.web.fields import LengthField
from shop.web.registers.cells import Cells
from shop.web.registers.forms import PrintedRating, RatingField, SizeField

NANOMETRES = st.integers(min_value=-(10**10), max_value=10**10)
FIGURES = st.decimals(min_value=Decimal("0.1"), max_value=Decimal(999), places=1)


@given(nanometres=NANOMETRES, unit=st.sampled_from([LengthUnit.MM, LengthUnit.IN]))
def test_a_length_comes_back_exactly_in_either_unit(nanometres: int, unit: LengthUnit) -> None:
    length_mm = Decimal(nanometres) / 1_000_000
    field = LengthField(signed=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workshop, "find_workshop", lambda: Workshop(length_unit=unit.value))
        written = Cells().write("error", field, length_mm)
        assert field.clean(Cells().read("error", field, written)) == length_mm


@given(figure=FIGURES, unit=st.sampled_from(["bar", "psi", "MPa"]))
def test_a_rating_comes_back_as_printed(figure: Decimal, unit: str) -> None:
    field = RatingField()
    printed = field.clean(f"{figure} {unit}")
    assert printed == PrintedRating(plain(figure), unit)
    assert field.clean(Cells().write("rating", field, printed)) == printed


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("41,5 MPa", PrintedRating("41.5", "MPa")),
        ("5000 PSI", PrintedRating("5000", "psi")),
        ("275.0bar", PrintedRating("275", "bar")),
        ("", PrintedRating()),
    ],
)
def test_a_rating_is_kept_in_the_unit_of_its_document(typed: str, printed: PrintedRating) -> None:
    assert RatingField(required=False).clean(typed) == printed


@pytest.mark.parametrize("typed", ["275", "5,000 psi", "0 bar", "275 atm", "41.12345 MPa"])
def test_a_rating_that_can_not_be_one_is_refused(typed: str) -> None:
    with pytest.raises(ValidationError):
        RatingField().clean(typed)


@pytest.mark.parametrize(("typed", "size"), [("8", 8), ("-8", 8), ("−12", 12)])
def test_a_size_is_read_with_or_without_its_dash(typed: str, size: int) -> None:
    assert SizeField().clean(typed) == size


@pytest.mark.parametrize(
    ("typed", "answer"), [("yes", True), ("Y", True), ("x", True), ("no", False), ("", False), ("0", False)]
)
def test_yes_and_no_are_read_as_people_write_them(typed: str, answer: bool) -> None:
    assert Cells().read("passed", forms.BooleanField(), typed) is answer


def test_neither_yes_nor_no_is_refused() -> None:
    with pytest.raises(ValidationError, match="neither yes nor no"):
        Cells().read("passed", forms.BooleanField(), "perhaps")


def test_a_choice_is_read_by_its_words_or_its_value_and_others_are_listed() -> None:
    field = forms.ChoiceField(choices=[("part", "a stop part"), ("dial", "a dial value")])
    assert Cells().read("stop", field, "A dial value") == "dial"
    assert Cells().read("stop", field, "part") == "part"
    with pytest.raises(ValidationError, match="none of: a stop part, a dial value"):
        Cells().read("stop", field, "lever")
