"""One way to write a fact down."""

import json
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

import pytest
import rfc8785
from django.db import models
from hypothesis import given
from hypothesis import strategies as st

from shop.core.fields import LengthField, PressureField
from shop.ledger.canonical import canonical, entry_hash, fact_of, has_form, instant, lasting, private_hash
from shop.ledger.misuse import NotRecordable
from tests.ledger.testapp.models import Loss, Wear

SAFE = 2**53 - 1  # RFC 8785 (I-JSON): beyond it a number is not the same everywhere

values = st.recursive(
    st.none() | st.booleans() | st.integers(-SAFE, SAFE) | st.text() | st.floats(-SAFE, SAFE),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)


@given(values)
def test_what_is_written_reads_back_as_the_same(value: Any) -> None:
    text = lasting(value)
    assert canonical(json.loads(text)) == text


@given(values)
def test_each_value_is_written_as_by_the_library_that_knows_the_rfc(value: Any) -> None:
    assert canonical(value) == rfc8785.dumps(value).decode()


@given(st.text(st.characters(max_codepoint=127)), st.integers(-SAFE, SAFE))
def test_plain_text_and_whole_numbers_too(text: str, number: int) -> None:
    value = {text: [number, text, True, None], "": {"b": 1, "a": (text,)}}
    assert canonical(value) == rfc8785.dumps(value).decode()


def test_it_refuses_what_could_be_written_but_not_checked() -> None:
    assert canonical(2.0**53) == "9007199254740992"
    with pytest.raises(NotRecordable):
        lasting(2.0**53)


def test_the_example_of_rfc_8785_section_3_2_2() -> None:
    """The sample object of RFC 8785, section 3.2.2, and its canonical form in section 3.2.3 (from memory)."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
        "literals": [None, True, False],
    }
    assert canonical(sample) == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53, {"a": Decimal(1)}, "\ud800", {1: 2}])
def test_it_refuses_what_json_can_not_hold_exactly(value: Any) -> None:
    with pytest.raises(NotRecordable):
        canonical(value)


def test_a_time_is_written_in_utc_to_the_microsecond() -> None:
    summer = timezone(timedelta(hours=2))
    assert instant(datetime(2026, 7, 1, 8, 0, 0, 5, tzinfo=summer)) == "2026-07-01T06:00:00.000005Z"


@pytest.mark.parametrize(
    ("field", "value", "fact"),
    [
        (LengthField(), Decimal("0.396875"), 396_875),  # 1/64 in
        (PressureField(), Decimal("275"), 27_500_000),
        (models.IntegerField(), 3, 3),
        (models.BooleanField(), True, True),
        (models.DecimalField(max_digits=6, decimal_places=3), Decimal("1.5"), "1.500"),
        (models.DateField(), date(2026, 11, 5), "2026-11-05"),
        (models.DateTimeField(), datetime(2026, 11, 5, 14, tzinfo=UTC), "2026-11-05T14:00:00.000000Z"),
        (models.CharField(), "90°", "90°"),
        (models.JSONField(), {"b": [1]}, {"b": [1]}),
        (models.BinaryField(), b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (Loss._meta.get_field("tool"), 12, 12),
        (Wear._meta.get_field("weight"), None, None),
    ],
)
def test_each_kind_of_column_has_one_form(field: "models.Field[Any, Any]", value: Any, fact: Any) -> None:
    assert fact_of(field, value) == fact


def test_binary_fractions_have_no_form() -> None:
    assert not has_form(models.FloatField())
    with pytest.raises(NotRecordable):
        fact_of(models.FloatField(), 0.1)


def test_the_hash_covers_the_place_in_the_chain() -> None:
    parts = {
        "number": 1,
        "happened_at": datetime(2026, 11, 5, tzinfo=UTC),
        "recorded_at": datetime(2026, 11, 5, tzinfo=UTC),
        "actor_number": 3,
        "verb": "drawer.turned",
        "subject": "drawer.tool:1",
        "version": 1,
        "facts": "{}",
    }
    hashes = {
        entry_hash(site="home", previous="0" * 64, parts=parts),
        entry_hash(site="van", previous="0" * 64, parts=parts),
        entry_hash(site="home", previous="1" * 64, parts=parts),
        *(entry_hash(site="home", previous="0" * 64, parts={**parts, name: 9}) for name in parts),
    }
    assert len(hashes) == 3 + len(parts)


def test_the_same_text_with_another_salt_has_another_hash() -> None:
    assert private_hash("a", "Ada") != private_hash("b", "Ada")
