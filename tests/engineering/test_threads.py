from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from fluids.piping import nearest_pipe
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import EngineeringError, NotANumber, NotUnderstood, OffTheTable, OutOfRange
from shop.engineering.thread_identification import (
    Connection,
    Gender,
    Identification,
    Measured,
    SeatForm,
    identify,
    pitch_of,
    read_connections,
)
from shop.engineering.threads import PIPE_TPI, Thread, ThreadForm, parse_thread
from tests.engineering.outside import outside

ROOT = Path(__file__).resolve().parent.parent.parent
TABLE = read_connections(ROOT / "fixtures/standards/connections.csv")
MALE, FEMALE = Gender.MALE, Gender.FEMALE
BRITISH = "G 1/2 / R 1/2: 14 tpi, major dia 20.955 mm"
PRINTED = "printed in inches or mm by the standard's table; the code only has the profile's geometry"


def found(
    gender: Gender, diameter: str, pitch: Fraction | None = None, seat: SeatForm | None = None
) -> Identification:
    return identify(Measured(gender, Decimal(diameter), pitch, seat), TABLE)


def names(identification: Identification) -> list[tuple[str, str]]:
    return [
        (c.connection.system.split(" (")[0].split(",")[0], c.connection.size)
        for c in identification.candidates
    ]


@pytest.mark.parametrize(
    ("text", "form", "major", "pitch"),
    [
        ("9/16-18 UNF/UN", ThreadForm.UNIFIED, "14.2875", "25.4/18"),
        ("9/16-18 UNF/UN-2", ThreadForm.UNIFIED, "14.2875", "25.4/18"),
        ("9/16-18 UNF-2A", ThreadForm.UNIFIED, "14.2875", "25.4/18"),
        ("1 1/16-12 UN", ThreadForm.UNIFIED, "26.9875", "25.4/12"),
        ("1-1/16-12 un", ThreadForm.UNIFIED, "26.9875", "25.4/12"),
        ("1-14", ThreadForm.UNIFIED, "25.4", "25.4/14"),
        ("1/2-14 UNS", ThreadForm.UNIFIED, "12.7", "25.4/14"),
        ("M22x1.5", ThreadForm.METRIC, "22", "1.5"),
        ("m22 × 1,5", ThreadForm.METRIC, "22", "1.5"),
        (BRITISH, ThreadForm.WHITWORTH_PIPE, "20.955", "25.4/14"),
        ("G 1-1/4: 11 tpi, major dia 41.91 mm", ThreadForm.WHITWORTH_PIPE, "41.91", "25.4/11"),
        ("1/2-14", ThreadForm.TAPER_PIPE, "21.336", "25.4/14"),
        ("1-1/4-11.5 NPTF", ThreadForm.TAPER_PIPE, "42.164", "25.4/11.5"),
        ("1-11.5", ThreadForm.TAPER_PIPE, "33.401", "25.4/11.5"),
    ],
)
def test_it_reads_a_thread_as_tables_print_it(text: str, form: ThreadForm, major: str, pitch: str) -> None:
    numerator, _, denominator = pitch.partition("/")
    thread = parse_thread(text)
    assert thread.form is form
    assert thread.major_mm == Fraction(major)
    assert thread.pitch_mm == Fraction(numerator) / Fraction(denominator or 1)


@pytest.mark.parametrize(
    "text", ["", "G 1/2", "9/16", "M22", "9/16-18 BSW", "9/0-18", "9/16-0 UN", "flange", "x"]
)
def test_it_refuses_a_thread_that_says_too_little(text: str) -> None:
    with pytest.raises(NotUnderstood, match="Type it like"):
        parse_thread(text)


@pytest.mark.parametrize("text", ["1/2-11 NPT", "5/8-14 NPT"])
def test_a_pipe_thread_that_does_not_exist_is_refused_with_those_that_do(text: str) -> None:
    with pytest.raises(OffTheTable) as refusal:
        parse_thread(text)
    assert "1/2-14" in refusal.value.allowed
    assert "1 1/4-11.5" in refusal.value.allowed


@pytest.mark.parametrize("text", ["M1x1.5", "M1000x2", "M3x0", "1/16-12 UN"])
def test_a_thread_that_can_not_be_cut_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange) as refusal:
        parse_thread(text)
    assert refusal.value.argument == "thread"


@pytest.mark.parametrize(
    ("text", "minor_mm", "pitch_mm", "source", "why_independent"),
    [
        ("M12x1.5", "10.376", "11.026", "ISO 724, from memory", PRINTED),
        ("M16x1.5", "14.376", "15.026", "ISO 724, from memory", PRINTED),
        ("M22x1.5", "20.376", "21.026", "ISO 724, from memory", PRINTED),
        ("M30x2", "27.835", "28.701", "ISO 724, from memory", PRINTED),
        ("M42x2", "39.835", "40.701", "ISO 724, from memory", PRINTED),
        ("G 1/4: 19 tpi, major dia 13.157 mm", "11.445", "12.301", "ISO 228-1, from memory", PRINTED),
        (BRITISH, "18.631", "19.793", "ISO 228-1, from memory", PRINTED),
        ("G 3/4: 14 tpi, major dia 26.441 mm", "24.117", "25.279", "ISO 228-1, from memory", PRINTED),
        ("G 1: 11 tpi, major dia 33.249 mm", "30.291", "31.770", "ISO 228-1, from memory", PRINTED),
    ],
)
def test_basic_sizes_are_the_printed_ones(
    text: str, minor_mm: str, pitch_mm: str, source: str, why_independent: str
) -> None:
    thread = parse_thread(text)
    assert thread.minor_mm == pytest.approx(Decimal(minor_mm), abs=Decimal("0.001"))
    assert thread.pitch_diameter_mm == pytest.approx(Decimal(pitch_mm), abs=Decimal("0.001"))


@pytest.mark.parametrize(
    ("text", "male_od", "pitch_diameter", "female_id", "source", "why_independent"),
    [
        ("1/2-20 UNF", ("0.4906", "0.4987"), "0.4675", ("0.446", "0.457"), "ASME B1.1-2019 2A/2B", PRINTED),
        ("3/4-16 UNF", ("0.7391", "0.7485"), "0.7094", ("0.682", "0.696"), "ASME B1.1-2019 2A/2B", PRINTED),
        ("1-14 UNS", ("0.9881", "0.9984"), "0.9536", ("0.923", "0.938"), "ASME B1.1-2019 2A/2B", PRINTED),
        (
            "M20x2.5",
            ("0.77256", "0.78575"),
            "0.72346",
            ("0.68087", "0.69858"),
            "ASME B1.13-2005 6g/6H",
            PRINTED,
        ),
        (
            "M24x3",
            ("0.92823", "0.94299"),
            "0.86815",
            ("0.81701", "0.83669"),
            "ASME B1.13-2005 6g/6H",
            PRINTED,
        ),
    ],
)  # the values as a public library for threads tabulates them; grade 6 and class 2 differ a little
def test_new_threads_measure_within_what_the_standard_allows(
    text: str,
    male_od: tuple[str, str],
    pitch_diameter: str,
    female_id: tuple[str, str],
    source: str,
    why_independent: str,
) -> None:
    thread = parse_thread(text)
    inch = Decimal("25.4")
    assert thread.pitch_diameter_mm == pytest.approx(Decimal(pitch_diameter) * inch, abs=Decimal("0.002"))
    near = Decimal("0.055")  # the males' allowance, and the steps that the printed tolerances are rounded to
    assert [float(d) for d in thread.male_od_mm] == pytest.approx(
        [float(Decimal(d) * inch) for d in male_od], abs=float(near)
    )
    assert [float(d) for d in thread.female_id_mm] == pytest.approx(
        [float(Decimal(d) * inch) for d in female_id], abs=float(near)
    )


@pytest.mark.parametrize(
    ("text", "small_end_in", "source", "why_independent"),
    [
        (
            "1/8-27 NPT",
            "0.36351",
            "ASME B1.20.1 E0, from memory",
            "printed to five places, not by the formula",
        ),
        (
            "1/4-18 NPT",
            "0.47739",
            "ASME B1.20.1 E0, from memory",
            "printed to five places, not by the formula",
        ),
        (
            "1/2-14 NPT",
            "0.75843",
            "ASME B1.20.1 E0, from memory",
            "printed to five places, not by the formula",
        ),
        (
            "3/4-14 NPT",
            "0.96768",
            "ASME B1.20.1 E0, from memory",
            "printed to five places, not by the formula",
        ),
        (
            "1-11.5 NPT",
            "1.21363",
            "ASME B1.20.1 E0, from memory",
            "printed to five places, not by the formula",
        ),
    ],
)
def test_taper_pipe_begins_at_the_printed_diameter(
    text: str, small_end_in: str, source: str, why_independent: str
) -> None:
    inch = Decimal("25.4")
    found_in = parse_thread(text).pitch_diameter_mm / inch
    assert found_in == pytest.approx(Decimal(small_end_in), abs=Decimal("0.00001"))


@outside(
    Thread,
    source="outside diameters of ASME B36.10M as the fluids library carries them",
    independent="typed by other people, in metres",
)
@pytest.mark.parametrize("size", list(PIPE_TPI))
def test_taper_pipe_is_cut_on_the_pipe_of_the_piping_tables(size: Fraction) -> None:
    # Independent: the outside diameters of ASME B36.10M as the `fluids` library carries them, to 0.1 mm.
    thread = parse_thread(f"{size.numerator}/{size.denominator}-{float(PIPE_TPI[size]):g} NPT")
    _, _, outside_m, _ = nearest_pipe(NPS=float(size), schedule="40")
    assert float(thread.major_mm) == pytest.approx(1000 * outside_m, abs=0.07)


@outside(
    Thread,
    source="the profile of ISO 68-1 drawn by NumPy",
    independent="minima and medians of a drawn profile, no fractions of H",
)
@given(st.decimals("6", "60", places=1), st.sampled_from(["1", "1.5", "2"]))
def test_the_profile_drawn_as_triangles_has_the_same_minor_and_pitch_diameter(
    major: Decimal, pitch: str
) -> None:
    # Independent: ISO 68-1 cuts H/8 off the crest and H/4 off the root; the flanks are crossed numerically.
    thread = parse_thread(f"M{major}x{pitch}")
    p = float(pitch)
    axial = np.linspace(0, p, 200_001)
    sharp = np.abs((axial % p) / p - 0.5) * 2  # 0 at a sharp root, 1 at a sharp crest
    height = p / 2 * np.tan(np.radians(60))
    radius = float(major) / 2 - 7 / 8 * height + sharp * height  # the crest is cut H/8 below the sharp one
    solid = np.clip(radius, float(major) / 2 - 7 / 8 * height + height / 4, float(major) / 2)
    assert float(thread.minor_mm) == pytest.approx(2 * solid.min(), abs=2e-4)
    half_metal = np.median(radius)  # where ridge and groove are equally wide
    assert float(thread.pitch_diameter_mm) == pytest.approx(2 * half_metal, abs=2e-4)


def test_9_16_18_is_a_flare_and_a_face_seal_and_a_boss() -> None:
    identification = found(MALE, "14.2", pitch_of(Decimal(18)))
    assert {("37° flare", "-6"), ("O-ring face seal", "-4"), ("O-ring boss", "-6")} <= set(
        names(identification)[:3]
    )
    assert "O-ring face seal" in identification.traps[0]
    assert "Look at the seat" in identification.traps[0]
    assert any("form of the seat" in caution for caution in identification.cautions)


def test_the_seat_tells_a_face_seal_from_a_flare() -> None:
    pitch = pitch_of(Decimal(18))
    assert names(found(MALE, "14.2", pitch, SeatForm.FACE_SEAL))[0] == ("O-ring face seal", "-4")
    assert names(found(MALE, "14.2", pitch, SeatForm.FLARE_37))[0] == ("37° flare", "-6")


def test_1_3_16_12_is_a_14_flare_and_a_12_face_seal() -> None:
    identification = found(MALE, "30.0", pitch_of(Decimal(12)), SeatForm.FACE_SEAL)
    assert names(identification)[0] == ("O-ring face seal", "-12")
    assert "-14" in identification.traps[0]


@pytest.mark.parametrize(
    ("thread", "light", "heavy"),
    [
        ("14", "8L", "6S"),
        ("16", "10L", "8S"),
        ("18", "12L", "10S"),
        ("30", "22L", "20S"),
        ("36", "28L", "25S"),
    ],
)
def test_light_and_heavy_cones_share_metric_threads(thread: str, light: str, heavy: str) -> None:
    pitch = Fraction("1.5") if int(thread) < 30 else Fraction(2)
    identification = found(MALE, thread, pitch, SeatForm.CONE_24)
    assert {size for _, size in names(identification)[:2]} == {light, heavy}
    assert light in identification.traps[0]
    assert heavy in identification.traps[0]


def test_two_cones_with_one_thread_are_told_apart_by_the_tube() -> None:
    cones = tuple(connection for connection in TABLE if connection.seats == (SeatForm.CONE_24,))
    identification = identify(Measured(MALE, Decimal(30), Fraction(2), SeatForm.CONE_24), cones)
    assert "measure the tube" in identification.traps[0]


@pytest.mark.parametrize(("size", "diameter"), [("1/2", "20.9"), ("3/4", "26.4")])
def test_british_and_american_pipe_of_14_threads_are_a_trap(size: str, diameter: str) -> None:
    identification = found(MALE, diameter, pitch_of(Decimal(14)), SeatForm.CONE_60)
    assert identification.candidates[0].connection.thread.form is ThreadForm.WHITWORTH_PIPE
    (trap,) = (said for said in identification.traps if f"{size}-14 NPT is only" in said)
    assert "the pitch is the same" in trap
    assert "55° and 60°" in trap
    assert "won't hold" in trap


def test_a_female_is_known_by_its_inside() -> None:
    # ISO 724, from memory: M22x1.5 has a minor diameter of 20.376 mm.
    identification = found(FEMALE, "20.45", Fraction("1.5"), SeatForm.CONE_24)
    assert names(identification)[0] == ("24° cone", "15L")
    assert identification.candidates[0].distance_mm == 0


def test_without_a_pitch_it_says_that_threads_look_alike() -> None:
    assert any("Count it with a gauge" in caution for caution in found(MALE, "13.1").cautions)


@given(st.sampled_from(TABLE), st.sampled_from(Gender), st.floats(0, 1))
def test_a_thread_of_the_table_is_found_first_wherever_it_lies_in_its_tolerance(
    connection: Connection, gender: Gender, share: float
) -> None:
    smallest, largest = connection.thread.male_od_mm if gender is MALE else connection.thread.female_id_mm
    diameter = smallest + (largest - smallest) * Decimal(share)
    measured = Measured(gender, diameter, connection.thread.pitch_mm, connection.seats[0])
    identification = identify(measured, TABLE)
    best = [c for c in identification.candidates if c.seat_fits and c.distance_mm == 0]
    assert connection in [candidate.connection for candidate in best]
    assert identification.candidates[0] in best
    assert identification.assumptions


@given(st.sampled_from(TABLE), st.decimals("-2", "2", places=2))
def test_candidates_come_in_order_of_seat_and_distance(connection: Connection, off: Decimal) -> None:
    # Within 2 mm of a thread of the table there is always one, whatever its seat.
    diameter = connection.thread.male_od_mm[1] + off
    candidates = identify(Measured(MALE, diameter, None, SeatForm.CONE_24), TABLE).candidates
    order = [(not candidate.seat_fits, candidate.distance_mm) for candidate in candidates]
    assert order == sorted(order)
    assert all(candidate.distance_mm <= 2 for candidate in candidates)


def test_the_table_keeps_source_and_basis_beside_each_thread() -> None:
    assert len(TABLE) == 85
    assert all(connection.source for connection in TABLE)
    assert {connection.basis for connection in TABLE} == {"read", "memory"}


def test_a_system_of_unknown_seat_is_refused(tmp_path: Path) -> None:
    table = tmp_path / "connections.csv"
    table.write_text("system,size,thread,source,basis,note\nbayonet,-4,9/16-18 UN,invented,memory,\n")
    with pytest.raises(EngineeringError) as refusal:
        read_connections(table)
    assert refusal.value.argument == "connection system"


@pytest.mark.parametrize(
    ("call", "refusal", "argument"),
    [
        (lambda: found(MALE, "0"), OutOfRange, "measured diameter"),
        (lambda: found(MALE, "NaN"), NotANumber, "measured diameter"),
        (lambda: found(MALE, "-14"), OutOfRange, "measured diameter"),
        (lambda: found(MALE, "14", Fraction(0)), OutOfRange, "pitch"),
        (lambda: found(MALE, "14", Fraction(-1)), OutOfRange, "pitch"),
        (lambda: found(MALE, "150", Fraction("1.5")), OffTheTable, "measured diameter"),
        (lambda: identify(Measured(MALE, Decimal(14)), ()), OffTheTable, "measured diameter"),
        (lambda: pitch_of(Decimal(0)), OutOfRange, "threads per inch"),
        (lambda: pitch_of(Decimal("Infinity")), NotANumber, "threads per inch"),
        (
            lambda: Thread(ThreadForm.METRIC, Fraction(1), Fraction(-5), Fraction(1), None),
            OutOfRange,
            "thread",
        ),
    ],
)
def test_nonsense_is_refused_by_name(
    call: Callable[[], object], refusal: type[EngineeringError], argument: str
) -> None:
    with pytest.raises(refusal) as refused:
        call()
    assert refused.value.argument == argument
    assert refused.value.allowed or refused.value.got
