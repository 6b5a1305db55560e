from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, NotUnderstood, OutOfRange
from shop.engineering.pressures import (
    Pressure,
    PressureUnit,
    exceeds,
    lowest,
    parse_pressure,
    show_bar,
    show_psi,
    show_rating,
)
from shop.engineering.rating import AssemblyRating, PartRole, RatedPart, proof_pressure, rate_assembly

BAR, PSI, MPA, KPA = PressureUnit.BAR, PressureUnit.PSI, PressureUnit.MPA, PressureUnit.KPA


def bar(value: str) -> Pressure:
    return Pressure(Decimal(value), BAR)


def psi(value: str) -> Pressure:
    return Pressure(Decimal(value), PSI)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("350", "350", BAR),
        ("350 bar", "350", BAR),
        ("350BAR", "350", BAR),
        ("5000 psi", "5000", PSI),
        ("34,5 MPa", "34.5", MPA),
        ("20,684 MPa", "20.684", MPA),
        ("34500 kPa", "34500", KPA),
        ("34.5 N/mm²", "34.5", MPA),
        ("0,8 bar", "0.8", BAR),
        ("0.125 bar", "0.125", BAR),
    ],
)
def test_it_reads_a_pressure_as_people_write_it(text: str, value: str, unit: PressureUnit) -> None:
    assert parse_pressure(text) == Pressure(Decimal(value), unit)


def test_a_number_alone_is_in_the_unit_of_the_workshop() -> None:
    assert parse_pressure("5000", PSI) == psi("5000")


@pytest.mark.parametrize(
    "text", ["5,000 psi", "5.000 psi", "1,200.5", "", "psi", "350 kg", "1e3 bar", "NaN", "3 50 bar"]
)
def test_it_refuses_a_pressure_that_has_no_reading_or_two(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_pressure(text)


@pytest.mark.parametrize("text", ["0", "0.0 psi", "-5 bar", "−5 bar", "10001 bar", "35000 MPa"])
def test_it_refuses_a_pressure_that_no_hose_has(text: str) -> None:
    with pytest.raises(OutOfRange):
        parse_pressure(text)


def test_a_pressure_is_never_negative_and_always_a_number() -> None:
    with pytest.raises(OutOfRange):
        bar("-1")
    with pytest.raises(NotANumber):
        bar("NaN")


def test_a_psi_is_an_exact_pound_force_on_an_exact_square_inch() -> None:
    # 0.45359237 kg x 9.80665 m/s2 on (25.4 mm)2: international pound and inch, from memory.
    exact = Fraction("0.45359237") * Fraction("9.80665") / (Fraction("0.0254") ** 2)
    assert psi("1").exact_pascals == exact
    assert str(psi("1").pascals).startswith("6894.757293168361")


def test_converting_keeps_to_the_facts() -> None:
    # 1 MPa is 145.0377 psi and 10 bar: standard factors, from memory.
    one = Pressure(Decimal(1), MPA)
    assert round(one.in_unit(PSI), 4) == Decimal("145.0377")
    assert one.bar == 10
    assert one.in_unit(KPA) == 1000
    assert one.in_unit(MPA) is one.value
    assert one.pascals == 1_000_000


def test_what_the_database_keeps_is_whole_pascals_and_not_more_than_was_printed() -> None:
    kept = psi("5000").bar_to_keep
    assert kept == Decimal("344.73786")
    assert kept <= psi("5000").bar


def test_2500_psi_is_taken_on_a_row_printed_2500_psi_and_2501_is_not() -> None:
    assert not exceeds(psi("2500"), psi("2500"))
    assert exceeds(psi("2501"), psi("2500"))


def test_across_units_it_is_compared_exactly() -> None:
    # 41.5 MPa is 6019 psi and something: arithmetic.
    assert not exceeds(psi("6019"), Pressure(Decimal("41.5"), MPA))
    assert exceeds(psi("6020"), Pressure(Decimal("41.5"), MPA))
    assert not exceeds(bar("415"), Pressure(Decimal("41.5"), MPA))


@pytest.mark.parametrize(
    ("pressure", "in_bar", "in_psi", "rating"),
    [
        (bar("275"), "275 bar", "3988 psi", "275 bar (3988 psi)"),
        (psi("4000"), "275 bar", "4000 psi", "4000 psi (275 bar)"),
        (Pressure(Decimal("34.5"), MPA), "345 bar", "5003 psi", "34.5 MPa (345 bar, 5003 psi)"),
        (psi("300"), "20.6 bar", "300 psi", "300 psi (20.6 bar)"),
        (bar("62.55"), "62.55 bar", "907 psi", "62.55 bar (907 psi)"),
    ],
)
def test_the_printed_unit_comes_first_and_nothing_is_rounded_up(
    pressure: Pressure, in_bar: str, in_psi: str, rating: str
) -> None:
    assert (show_bar(pressure), show_psi(pressure), show_rating(pressure)) == (in_bar, in_psi, rating)


@given(st.decimals(0, 9999, places=2), st.decimals(0, 9999, places=2), st.sampled_from(PressureUnit))
def test_in_one_unit_the_printed_numbers_are_compared(
    demand: Decimal, rating: Decimal, unit: PressureUnit
) -> None:
    assert exceeds(Pressure(demand, unit), Pressure(rating, unit)) is (demand > rating)


PRESSURES = st.builds(
    Pressure,
    st.decimals(min_value=1, max_value=1000, places=2),
    st.sampled_from(PressureUnit),
)


@given(PRESSURES)
def test_what_is_shown_never_exceeds_what_was_printed(pressure: Pressure) -> None:
    for shown in (show_bar(pressure), show_psi(pressure)):
        number, unit = shown.split()
        assert not exceeds(Pressure(Decimal(number), PressureUnit(unit)), pressure)


@given(st.lists(PRESSURES, min_size=1))
def test_nothing_is_below_the_lowest(pressures: list[Pressure]) -> None:
    least = lowest(pressures)
    assert least in pressures
    assert not any(least.exact_pascals > pressure.exact_pascals for pressure in pressures)


def test_there_is_no_lowest_of_nothing() -> None:
    with pytest.raises(EngineeringError):
        lowest([])


def parts(
    hose: Pressure | None, end_a: Pressure | None, end_b: Pressure | None, *, confirmed: bool = True
) -> list[RatedPart]:
    """A hose, and ends whose fitting and connection are rated alike."""
    return [
        RatedPart(PartRole.HOSE, "hose", hose, confirmed, temperature_min_c=-40, temperature_max_c=100),
        RatedPart(PartRole.FITTING_A, "insert A", end_a, confirmed),
        RatedPart(PartRole.CONNECTION_A, "thread A", end_a, confirmed),
        RatedPart(PartRole.FITTING_B, "insert B", end_b, confirmed),
        RatedPart(PartRole.CONNECTION_B, "thread B", end_b, confirmed),
    ]


def rate(*ratings: Pressure | None, temperature_c: int | None = 20) -> AssemblyRating:
    return rate_assembly(parts(*ratings), temperature_c)


def test_the_lowest_component_governs() -> None:
    # Rule: SAE J517-2003 scope. Figures from memory: 2SN DN 12, face seal -8 and code 61 -12; then
    # R15 -20 and code 61 -20.
    hose_governs = rate(bar("275"), bar("414"), bar("345"))
    assert hose_governs.pressure == bar("275")
    assert hose_governs.governing is not None
    assert hose_governs.governing.role is PartRole.HOSE
    assert hose_governs.complete
    assert hose_governs.reasons == ("The hose (hose) governs: 275 bar (3988 psi).",)

    fitting_governs = rate(psi("6000"), psi("4000"), psi("6000"))
    assert fitting_governs.pressure == psi("4000")
    assert fitting_governs.governing is not None
    assert fitting_governs.governing.role is PartRole.FITTING_A


def test_a_part_without_a_rating_is_not_unlimited() -> None:
    rating = rate(bar("275"), None, bar("345"))
    assert rating.pressure == bar("275")
    assert [part.role for part in rating.unrated] == [PartRole.FITTING_A, PartRole.CONNECTION_A]
    assert not rating.complete
    assert "The fitting at end A (insert A) has no rating. Enter one from its document." in rating.reasons


def test_nothing_rated_gives_no_pressure() -> None:
    rating = rate(None, None, None)
    assert rating.pressure is None
    assert rating.governing is None
    assert not rating.complete


def test_a_rating_that_nobody_confirmed_does_not_complete_it() -> None:
    rating = rate_assembly(parts(bar("275"), bar("414"), bar("345"), confirmed=False), 20)
    assert rating.pressure == bar("275")
    assert len(rating.unconfirmed) == 5
    assert not rating.complete


def test_a_part_that_is_missing_does_not_complete_it() -> None:
    rating = rate_assembly(parts(bar("275"), bar("414"), bar("345"))[:-1], 20)
    assert rating.missing == (PartRole.CONNECTION_B,)
    assert not rating.complete


@pytest.mark.parametrize(
    ("temperature_c", "hot", "cold"), [(100, 0, 0), (101, 1, 0), (-40, 0, 0), (-41, 0, 1)]
)
def test_out_of_its_temperature_a_part_is_not_for_use(temperature_c: int, hot: int, cold: int) -> None:
    rating = rate(bar("275"), bar("414"), bar("345"), temperature_c=temperature_c)
    assert (len(rating.too_hot), len(rating.too_cold)) == (hot, cold)
    assert rating.complete is (hot + cold == 0)
    assert rating.pressure == bar("275")
    if hot:
        assert "up to 100 °C and the job is at 101 °C" in rating.reasons[-1]
    if cold:
        assert "down to -40 °C and the job is at -41 °C" in rating.reasons[-1]


def test_without_a_temperature_it_says_that_none_was_checked() -> None:
    assert (
        "No temperature was given" in rate(bar("275"), bar("414"), bar("345"), temperature_c=None).reasons[-1]
    )


RATED_PARTS = st.builds(
    RatedPart,
    role=st.sampled_from(PartRole),
    name=st.just("part"),
    rating=st.none() | PRESSURES,
    confirmed=st.booleans(),
)


@given(st.lists(RATED_PARTS), RATED_PARTS)
def test_adding_a_part_never_raises_the_rating(before: list[RatedPart], added: RatedPart) -> None:
    first = rate_assembly(before, 20)
    second = rate_assembly([*before, added], 20)
    if first.pressure is not None:
        assert second.pressure is not None
        assert not exceeds(second.pressure, first.pressure)
        assert second.pressure.exact_pascals <= first.pressure.exact_pascals
    assert len(second.unrated) >= len(first.unrated)


def test_proof_is_twice_the_working_pressure_in_its_unit() -> None:
    # ISO 6605:2017 5.2; FAA AC 43.13-1B Table 9-3, size -8: 2000 psi working, 4000 proof.
    assert proof_pressure(psi("2000")) == psi("4000")
    assert proof_pressure(bar("275"), Decimal("1.5")) == bar("412.5")


@pytest.mark.parametrize("factor", ["0.99", "0", "-2"])
def test_a_proof_below_the_working_pressure_is_refused(factor: str) -> None:
    with pytest.raises(OutOfRange):
        proof_pressure(bar("275"), Decimal(factor))
