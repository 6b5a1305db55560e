"""Which connection a measured thread may be: candidates in order, and the traps beside them.

A thread is measured at the outside of a male or the inside of a female, counted with a pitch gauge, and
told from others of the same thread by the form of its seat. Sources: sizes and seats are those of the
connection table, each row with its own and its basis; how near a candidate has to be: common practice, no
source.
"""

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from pathlib import Path

from shop.engineering.errors import EngineeringError, OffTheTable, OutOfRange
from shop.engineering.numbers import plain, require_positive, rounded, trim
from shop.engineering.threads import MM_PER_INCH, Thread, ThreadForm, parse_thread

GAUGE_THREADS = 10  # over which a pitch gauge is laid: a wrong pitch shows as ten times its difference
REACH_MM = Fraction(2)  # further off nothing is a candidate: common practice, no source
ALIKE_MM = Fraction("0.8")  # two threads nearer to each other than this start together by hand
_NO_THREAD = "flange"

DEFER = (
    "A thread that goes on by hand proves nothing. Compare both halves with the documents of their makers "
    "before they are put under pressure."
)


class Gender(StrEnum):
    MALE = "male"
    FEMALE = "female"


class SeatForm(StrEnum):
    FLARE_37 = "37° flare"
    FACE_SEAL = "flat face with an O-ring"
    CONE_24 = "24° cone"
    BOSS = "O-ring under the hexagon"
    CONE_60 = "60° cone"
    TAPER = "no seat: the taper thread seals"


# What each system of the connection table seals with, by how its name begins.
_SEATS = {
    "37° flare": (SeatForm.FLARE_37,),
    "O-ring boss": (SeatForm.BOSS,),
    "O-ring port": (SeatForm.BOSS,),
    "O-ring face seal": (SeatForm.FACE_SEAL,),
    "24° cone": (SeatForm.CONE_24,),
    "BSP": (SeatForm.CONE_60, SeatForm.BOSS, SeatForm.TAPER),
    "NPTF": (SeatForm.TAPER,),
}


@dataclass(frozen=True, slots=True)
class Connection:
    """A threaded row of the connection table."""

    system: str
    size: str
    thread: Thread
    seats: tuple[SeatForm, ...]
    source: str
    basis: str
    note: str

    @property
    def words(self) -> str:
        return f"{self.system} {self.size}"


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured: diameter in mm, and pitch in mm or None if it was not counted.

    Raises `NotANumber` or `OutOfRange`.
    """

    gender: Gender
    diameter_mm: Decimal
    pitch_mm: Fraction | None = None
    seat: SeatForm | None = None

    def __post_init__(self) -> None:
        require_positive(self.diameter_mm, "measured diameter", "mm")
        if self.pitch_mm is not None and self.pitch_mm <= 0:
            raise OutOfRange(
                "A pitch is more than zero. Enter millimetres from crest to crest, or threads per inch.",
                argument="pitch",
                unit="mm",
                allowed="more than 0 mm",
                got=self.pitch_mm,
            )


@dataclass(frozen=True, slots=True)
class Candidate:
    """A connection and how far what was measured is from it (mm, to 0.01): how far the diameter lies
    outside what such a thread may measure, and ten times the difference in pitch, added.
    """

    connection: Connection
    diameter_off_mm: Decimal
    pitch_off_mm: Decimal
    seat_fits: bool

    @property
    def distance_mm(self) -> Decimal:
        return self.diameter_off_mm + self.pitch_off_mm


@dataclass(frozen=True, slots=True)
class Identification:
    """Candidates, those whose seat fits first and then by distance; `traps` names what is confused."""

    candidates: tuple[Candidate, ...]
    traps: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def pitch_of(per_inch: Decimal) -> Fraction:
    """Pitch in mm, exactly, of so many threads per inch. Raises `NotANumber` or `OutOfRange`."""
    return MM_PER_INCH / Fraction(require_positive(per_inch, "threads per inch", "1/in"))


def identify(measured: Measured, connections: Iterable[Connection]) -> Identification:
    """Which connections of the table what was measured may be.

    Raises `OffTheTable` if none is within 2 mm.
    """
    every = tuple(connections)
    found = [_candidate(measured, connection) for connection in every]
    near = sorted(
        (candidate for candidate in found if candidate.distance_mm <= REACH_MM),
        key=lambda candidate: (not candidate.seat_fits, candidate.distance_mm),
    )
    if not near:
        raise OffTheTable(
            f"No connection in the table has a {measured.gender} thread near "
            f"{plain(measured.diameter_mm)} mm with this pitch. Measure again, on the crests, and count the "
            "pitch with a gauge.",
            argument="measured diameter",
            unit="mm",
            allowed=f"within {plain(Decimal(int(REACH_MM)))} mm of a connection in the table",
            got=measured.diameter_mm,
        )
    cautions = [DEFER]
    if measured.pitch_mm is None:
        cautions.append("Without the pitch threads of other systems look alike. Count it with a gauge.")
    if measured.seat is None:
        cautions.append("Without the form of the seat one thread fits several connections. Look at the seat.")
    if near[0].connection.basis == "memory":
        cautions.append("The first candidate's thread is from memory. Compare it with its document.")
    return Identification(
        candidates=tuple(near),
        traps=_traps(near[0].connection, every),
        assumptions=(
            "A new thread measured across its crests; a worn male measures less and a worn female more.",
            "A British taper (R) is measured at its gauge plane; at its small end it measures less.",
        ),
        cautions=tuple(cautions),
    )


def read_connections(path: Path) -> tuple[Connection, ...]:
    """The threaded connections of the table in CSV; flanges have no thread and are left out.

    Raises `EngineeringError` for a system whose seat is not known here.
    """
    with path.open(newline="", encoding="utf-8") as table:
        return tuple(_row(cells) for cells in csv.DictReader(table) if cells["thread"] != _NO_THREAD)


def _candidate(measured: Measured, connection: Connection) -> Candidate:
    thread = connection.thread
    smallest, largest = thread.male_od_mm if measured.gender is Gender.MALE else thread.female_id_mm
    off = max(smallest - measured.diameter_mm, measured.diameter_mm - largest, Decimal(0))
    pitch_off = Fraction(0)
    if measured.pitch_mm is not None:
        pitch_off = GAUGE_THREADS * abs(measured.pitch_mm - thread.pitch_mm)
    return Candidate(
        connection=connection,
        diameter_off_mm=trim(rounded(Fraction(off), 2)),
        pitch_off_mm=trim(rounded(pitch_off, 2)),
        seat_fits=measured.seat is None or measured.seat in connection.seats,
    )


def _traps(first: Connection, every: Sequence[Connection]) -> tuple[str, ...]:
    """What the first candidate is confused with: the same thread elsewhere, then threads that start on it."""
    same = [other for other in every if other.thread == first.thread and other != first]
    said = []
    if same:
        others = "; ".join(other.words for other in same)
        seats = " or ".join(dict.fromkeys(str(c.seats[0]) for c in [first, *same]))
        tell = f"Look at the seat: {seats}."
        if len({c.seats for c in [first, *same]}) == 1:
            tell = "The seat is the same too: measure the tube or the bore."
        said.append(f"{first.thread.words} is {first.words} and also {others}. {tell}")
    for thread in dict.fromkeys(other.thread for other in every if other.thread != first.thread):
        if _alike(first.thread, thread):
            said.append(_near_miss(first.thread, thread))
    return tuple(said)


def _alike(one: Thread, other: Thread) -> bool:
    apart = abs(one.major_mm - other.major_mm)
    return apart <= ALIKE_MM and GAUGE_THREADS * abs(one.pitch_mm - other.pitch_mm) <= REACH_MM


def _near_miss(one: Thread, other: Thread) -> str:
    apart = f"{trim(rounded(abs(one.major_mm - other.major_mm), 2)):f} mm"
    differs = []
    if one.pitch_mm == other.pitch_mm:
        differs.append("the pitch is the same")
    if one.form.flank_angle_deg != other.form.flank_angle_deg:
        differs.append(f"the flanks are at {one.form.flank_angle_deg}° and {other.form.flank_angle_deg}°")
    if ThreadForm.TAPER_PIPE in {one.form, other.form} and one.form is not other.form:
        differs.append("one is tapered")
    but = f" ({', '.join(differs)})" if differs else ""
    return f"{other.words} is only {apart} apart from {one.words}{but}. It may start by hand but won't hold."


def _row(cells: dict[str, str]) -> Connection:
    system = cells["system"]
    seats = next((seats for begins, seats in _SEATS.items() if system.startswith(begins)), None)
    if seats is None:
        raise EngineeringError(
            f"The connection table has a system whose seat is not known: {system}.",
            argument="connection system",
            allowed=", ".join(_SEATS),
            got=system,
        )
    return Connection(
        system=system,
        size=cells["size"],
        thread=parse_thread(cells["thread"]),
        seats=seats,
        source=cells["source"],
        basis=cells["basis"],
        note=cells["note"],
    )
