"""Naming a split flange by its head. The table's heads are from memory, so what is tried is the naming."""

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, OffTheTable, OutOfRange
from shop.engineering.flange_identification import Flange, identify_flange, read_flanges
from shop.engineering.pressures import Pressure, PressureUnit

FLANGES = read_flanges(Path(__file__).parents[2] / "fixtures/standards/connections.csv")
CODE_61, CODE_62 = (
    "split flange code 61 (SAE J518-1 / ISO 6162-1)",
    "split flange code 62 (SAE J518-2 / ISO 6162-2)",
)
HEADS = [flange.head_mm for flange in FLANGES]


def named(head: str) -> list[tuple[str, str]]:
    found = identify_flange(Decimal(head), FLANGES)
    return [(candidate.flange.system, candidate.flange.size) for candidate in found.candidates]


@pytest.mark.parametrize(
    ("head", "system", "size", "inches"),
    [
        # The standards are drawn in inches: SAE J518, from memory. 1.50 in are 38.1 mm exactly.
        ("38.1", CODE_61, "-12", "1.50"),
        ("50.8", CODE_61, "-20", "2.00"),
        ("101.6", CODE_61, "-48", "4.00"),
        ("31.75", CODE_62, "-8", "1.25"),
        ("63.5", CODE_62, "-24", "2.50"),
    ],
)
def test_a_head_of_so_many_inches_is_that_flange(head: str, system: str, size: str, inches: str) -> None:
    assert Decimal(inches) * Decimal("25.4") == Decimal(head)
    assert named(head)[0] == (system, size)


def test_between_two_heads_both_are_candidates_and_the_nearer_comes_first() -> None:
    # -8: code 61 has 30.2 mm, code 62 31.8 mm; a worn head may be either, so the lower pressure counts.
    found = identify_flange(Decimal("31.1"), FLANGES)
    assert [c.flange.system for c in found.candidates] == [CODE_62, CODE_61]
    assert [c.off_mm for c in found.candidates] == [Decimal("0.7"), Decimal("0.9")]
    assert any("only the lower pressure" in caution for caution in found.cautions)


def test_the_same_size_of_the_other_code_is_named_as_a_trap_with_both_pressures() -> None:
    found = identify_flange(Decimal("38.1"), FLANGES)
    [trap] = [trap for trap in found.traps if CODE_62 in trap and "-12" in trap]
    assert "only 3.2 mm wider" in trap
    assert "is for 6000 psi" in trap
    assert "is for 5000 psi" in trap
    assert "don't hold the other" in trap


@pytest.mark.parametrize("size", ["-8", "-12", "-16", "-20", "-24", "-32"])
def test_whatever_has_both_codes_warns_either_way(size: str) -> None:
    pair = [flange for flange in FLANGES if flange.size == size]
    assert len(pair) == 2
    for one, other in (pair, pair[::-1]):
        assert any(other.words in trap for trap in identify_flange(one.head_mm, FLANGES).traps)


def test_the_higher_code_may_not_be_counted_on_until_it_is_known() -> None:
    # 41.3 mm is code 62 -12 for 6000 psi; code 61 of that size and -16 of code 61 are for 5000.
    assert identify_flange(Decimal("41.3"), FLANGES).until_known == Pressure(Decimal(5000), PressureUnit.PSI)
    alone = identify_flange(Decimal("101.6"), FLANGES)
    assert alone.until_known == alone.candidates[0].flange.rating


def test_a_size_of_one_code_alone_has_no_trap_when_nothing_is_near() -> None:
    assert identify_flange(Decimal("101.6"), FLANGES).traps == ()


@given(st.decimals("20", "160", places=1))
def test_candidates_are_all_within_reach_and_in_order(head: Decimal) -> None:
    within = sorted(abs(known - head) for known in HEADS if abs(known - head) <= 2)
    if not within:
        with pytest.raises(OffTheTable):
            identify_flange(head, FLANGES)
        return
    assert [candidate.off_mm for candidate in identify_flange(head, FLANGES).candidates] == within


def test_every_answer_has_its_assumptions_and_defers_to_the_makers() -> None:
    found = identify_flange(Decimal(44), FLANGES)
    assert found.assumptions
    assert "makers" in found.cautions[0]
    assert any("from memory. Compare" in caution for caution in found.cautions)


def test_a_row_that_was_read_is_not_called_from_memory() -> None:
    read = Flange("own", "-1", Decimal(44), Pressure(Decimal(10), PressureUnit.BAR), "drawing 7", "read", "")
    assert not any(
        "Compare them with" in caution for caution in identify_flange(Decimal(44), [read]).cautions
    )


@pytest.mark.parametrize(
    ("call", "refusal"),
    [
        (lambda: identify_flange(Decimal(10), FLANGES), OffTheTable),
        (lambda: identify_flange(Decimal(0), FLANGES), OutOfRange),
        (lambda: identify_flange(Decimal("NaN"), FLANGES), NotANumber),
        (lambda: identify_flange(Decimal(44), []), OffTheTable),
    ],
)
def test_nonsense_is_refused_by_name(call: Callable[[], object], refusal: type[EngineeringError]) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == "diameter of the head"
