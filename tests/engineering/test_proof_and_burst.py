from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, OffTheTable, OutOfRange
from shop.engineering.pressures import Pressure, PressureUnit, exceeds
from shop.engineering.proof_burst import (
    NOT_A_LICENCE,
    TEST_SAFELY,
    PrintedPressures,
    printed_row,
    proof_and_burst,
    read_printed_pressures,
)
from tests.engineering.outside import outside

# FAA AC 43.13-1B Table 9-3 and US Army TM 1-1500-204-23-2 Table 4-15, both read. Independent: printed by
# the specification, no factor. This kind of hose is not made here; its tables show what is printed.
TABLE = read_printed_pressures(Path(__file__).parent / "data/aviation_proof_burst.csv")
SINGLE_BRAID = "MIL-H-8794"


def psi(value: str) -> Pressure:
    return Pressure(Decimal(value), PressureUnit.PSI)


def bar(value: str) -> Pressure:
    return Pressure(Decimal(value), PressureUnit.BAR)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row.specification} -{row.dash}")
def test_what_is_printed_stands(row: PrintedPressures) -> None:
    found = proof_and_burst(row.working, printed_row(TABLE, row.specification, row.dash))
    assert (found.proof, found.burst, found.printed) == (row.proof, row.burst, True)
    assert {NOT_A_LICENCE, TEST_SAFELY} <= set(found.cautions)


@outside(
    proof_and_burst,
    source="FAA AC 43.13-1B Table 9-3, the six sizes that are not 2 and 4 times",
    independent="printed by the specification, no factor",
)
def test_the_factors_would_have_been_wrong_for_these_sizes() -> None:
    # The note beside Table 9-3: these sizes are not proof 2 and burst 4 times the working pressure.
    by_factor = {row.dash: proof_and_burst(row.working) for row in TABLE if row.specification == SINGLE_BRAID}
    wrong = {
        row.dash
        for row in TABLE
        if row.specification == SINGLE_BRAID
        and (by_factor[row.dash].proof, by_factor[row.dash].burst) != (row.proof, row.burst)
    }
    assert wrong == {5, 6, 12, 20, 40, 48}


@pytest.mark.parametrize(
    ("working", "proof", "burst", "source", "why_independent"),
    [
        (bar("275"), bar("550"), bar("1100"), "ISO 6605:2017 5.2; 4 times from memory", "doubled by hand"),
        (psi("4000"), psi("8000"), psi("16000"), "ISO 6605:2017 5.2; 4 times from memory", "doubled by hand"),
        (psi("62"), psi("124"), psi("248"), "ISO 6605:2017 5.2; 4 times from memory", "doubled by hand"),
        (psi("800"), psi("1600"), psi("3200"), "FAA AC 43.13-1B Table 9-3, -16", "printed by FAA"),
        (psi("2000"), psi("4000"), psi("8000"), "FAA AC 43.13-1B Table 9-3, -8", "printed by FAA"),
    ],
)
def test_where_nothing_is_printed_it_is_two_and_four_times(
    working: Pressure, proof: Pressure, burst: Pressure, source: str, why_independent: str
) -> None:
    found = proof_and_burst(working)
    assert (found.proof, found.burst, found.printed) == (proof, burst, False)
    assert "No proof pressure is printed" in found.reasons[0]
    assert found.assumptions


def test_an_assembly_that_works_below_its_hose_is_not_proved_like_the_hose() -> None:
    # -6: 2000 psi, proof 4500.
    found = proof_and_burst(psi("1500"), printed_row(TABLE, SINGLE_BRAID, 6))
    assert (found.proof, found.printed) == (psi("3000"), False)
    assert found.burst == psi("9000")


def test_proof_is_never_above_what_is_printed_for_the_hose() -> None:
    # -40: 200 psi, proof 300; twice 180 would be 360.
    found = proof_and_burst(psi("180"), printed_row(TABLE, SINGLE_BRAID, 40))
    assert found.proof == psi("300")
    assert "By factor proof is 360 psi" in found.reasons[0]


@given(st.integers(1, 3000), st.sampled_from(TABLE))
def test_an_assembly_is_never_proved_beyond_its_hose(working: int, row: PrintedPressures) -> None:
    if working <= row.working.value:
        found = proof_and_burst(psi(str(working)), row)
        assert not exceeds(found.proof, row.proof)
        assert exceeds(found.burst, found.proof)


def test_a_burst_that_looks_like_a_misprint_is_said() -> None:
    # TM 1-1500-204-23-2 Table 4-15 -16 prints 19 000 beside a proof pressure of 5000.
    found = proof_and_burst(psi("3000"), printed_row(TABLE, "MS28759/MS28762", 16))
    assert any("not twice the proof" in caution for caution in found.cautions)
    assert any("misprint" in caution for caution in found.cautions)
    assert len(proof_and_burst(psi("3000"), printed_row(TABLE, "MS28759/MS28762", 4)).cautions) == 2


def test_factors_are_the_workshops_where_the_law_wants_others() -> None:
    # 46 CFR 38.15-5, read: cargo hose bursts at five times at least.
    found = proof_and_burst(bar("10"), proof_factor=Decimal("1.5"), burst_factor=Decimal(5))
    assert (found.proof, found.burst) == (bar("15"), bar("50"))
    assert Fraction(found.burst.value) / Fraction(found.proof.value) > 1


ROW = TABLE[0]


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: printed_row(TABLE, SINGLE_BRAID, 7), OffTheTable, "size"),
        (lambda: printed_row(TABLE, "MIL-H-0", 8), OffTheTable, "size"),
        (lambda: proof_and_burst(psi("3001"), ROW), OutOfRange, "working pressure"),
        (lambda: proof_and_burst(bar("100"), proof_factor=Decimal("0.9")), OutOfRange, "proof factor"),
        (lambda: proof_and_burst(bar("100"), proof_factor=Decimal("NaN")), NotANumber, "proof factor"),
        (lambda: proof_and_burst(bar("100"), burst_factor=Decimal(2)), OutOfRange, "burst factor"),
        (lambda: proof_and_burst(bar("100"), burst_factor=Decimal("Infinity")), NotANumber, "burst factor"),
        (lambda: proof_and_burst(bar("0")), OutOfRange, "working pressure"),
        (lambda: replace(ROW, proof=psi("3000")), OutOfRange, "printed pressures"),
        (lambda: replace(ROW, burst=psi("5000")), OutOfRange, "printed pressures"),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed or refused.value.got
