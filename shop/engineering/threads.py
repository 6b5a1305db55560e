"""Threads as the tables print them, and their basic sizes.

Sources, from memory: ISO 68-1 and ASME B1.1 for the 60° profile (height H = p √3/2, the female's minor
diameter 5/4 H and the pitch diameter 3/4 H below the major), ISO 228-1 for the 55° one (H = p / (2 tan
27.5°), 4/3 H and 2/3 H), ISO 965-1 for
how much smaller than basic a male and how much larger a female may be (grade 6), ASME B1.20.1 for taper
pipe: pitch diameter at the small end E0 = D − (0.05 D + 1.1 in) p with D the pipe's outside diameter
(ASME B36.10M), taper 1:16.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import radians, tan

from shop.engineering.errors import NotUnderstood, OffTheTable, OutOfRange
from shop.engineering.numbers import rounded, trim

MM_PER_INCH = Fraction("25.4")
FORMS = "9/16-18 UNF, M22x1.5, 1/2-14 NPT or G 1/2: 14 tpi, major dia 20.955 mm"
# Outside diameter of the pipe, in, by nominal size: ASME B36.10M, from memory.
PIPE_OD_IN = {
    Fraction(1, 8): Fraction("0.405"),
    Fraction(1, 4): Fraction("0.540"),
    Fraction(3, 8): Fraction("0.675"),
    Fraction(1, 2): Fraction("0.840"),
    Fraction(3, 4): Fraction("1.050"),
    Fraction(1): Fraction("1.315"),
    Fraction(5, 4): Fraction("1.660"),
    Fraction(3, 2): Fraction("1.900"),
    Fraction(2): Fraction("2.375"),
}
PIPE_TPI = {
    Fraction(1, 8): Fraction(27),
    Fraction(1, 4): Fraction(18),
    Fraction(3, 8): Fraction(18),
    Fraction(1, 2): Fraction(14),
    Fraction(3, 4): Fraction(14),
    **dict.fromkeys([Fraction(1), Fraction(5, 4), Fraction(3, 2), Fraction(2)], Fraction("11.5")),
}
_PIPE_CREST = Fraction("0.8")  # crest to root in pitches: so much on the diameter from pitch line to either
_LARGEST_MM = 200
_PLACES = 4


class ThreadForm(StrEnum):
    UNIFIED = "UN"
    METRIC = "M"
    WHITWORTH_PIPE = "G or R"
    TAPER_PIPE = "NPT"

    @property
    def flank_angle_deg(self) -> int:
        """Between the flanks."""
        return 55 if self is ThreadForm.WHITWORTH_PIPE else 60


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread: basic major diameter and pitch in mm, exactly, and `per_inch` where it is told so.

    `nominal` is the size that its name carries, in inches (a pipe's is no diameter). Raises `OutOfRange`
    for a diameter that is not above twice the pitch, or is over 200 mm, and for a size or a count that is not
    above zero.
    """

    form: ThreadForm
    nominal: Fraction
    major_mm: Fraction
    pitch_mm: Fraction
    per_inch: Fraction | None

    def __post_init__(self) -> None:
        for argument, unit, value in (
            ("nominal size", "in", self.nominal),
            ("threads per inch", "1/in", self.per_inch),
        ):
            if value is not None and value <= 0:
                raise OutOfRange(
                    f"The {argument} of a thread must be more than zero; {_shown(value)} is not.",
                    argument=argument,
                    unit=unit,
                    allowed=f"more than 0 {unit}",
                    got=value,
                )
        if not 0 < 2 * self.pitch_mm < self.major_mm <= _LARGEST_MM:
            raise OutOfRange(
                f"There is no thread of {_shown(self.major_mm)} mm with a pitch of "
                f"{_shown(self.pitch_mm)} mm. Check both numbers.",
                argument="thread",
                unit="mm",
                allowed=f"a diameter above two pitches, up to {_LARGEST_MM} mm",
                got=f"{_shown(self.major_mm)} x {_shown(self.pitch_mm)}",
            )

    @property
    def minor_mm(self) -> Decimal:
        """Basic minor diameter of the female, mm, to four decimals; of taper pipe that at the small end."""
        return rounded(self._minor, _PLACES)

    @property
    def pitch_diameter_mm(self) -> Decimal:
        """Basic pitch diameter, mm, to four decimals; of taper pipe that at the small end, E0."""
        if self.form is ThreadForm.TAPER_PIPE:
            return rounded(self._small_end(), _PLACES)
        share = Fraction(2, 3) if self.form is ThreadForm.WHITWORTH_PIPE else Fraction(3, 4)
        return rounded(self.major_mm - share * self._height, _PLACES)

    @property
    def male_od_mm(self) -> tuple[Decimal, Decimal]:
        """About the smallest and the largest outside diameter of a male: grade 6, or both ends of a taper."""
        if self.form is ThreadForm.TAPER_PIPE:
            return self._window(self._small_end() + _PIPE_CREST * self.pitch_mm, self.major_mm)
        pitch = float(self.pitch_mm)
        tolerance = (180 * pitch ** (2 / 3) - 3.15 / pitch**0.5) / 1000
        return self._window(self.major_mm - Fraction(tolerance), self.major_mm)

    @property
    def female_id_mm(self) -> tuple[Decimal, Decimal]:
        """About the smallest and the largest inside diameter of a female: grade 6, or along a taper."""
        minor = self._minor
        if self.form is ThreadForm.TAPER_PIPE:
            return self._window(minor, self.major_mm - 2 * _PIPE_CREST * self.pitch_mm)
        pitch = float(self.pitch_mm)
        coarse = 230 * pitch**0.7
        tolerance = (coarse if pitch >= 1 else 433 * pitch - 190 * pitch**1.22) / 1000
        return self._window(minor, minor + Fraction(tolerance))

    @property
    def words(self) -> str:
        """The thread as a person names it: 9/16-18 UN, M22x1.5, G or R 1/2-14, 1/2-14 NPT."""
        if self.form is ThreadForm.METRIC:
            return f"M{_shown(self.major_mm)}x{_shown(self.pitch_mm)}"
        size = f"{_mixed(self.nominal)}-{_shown(self.per_inch or 0)}"
        if self.form is ThreadForm.WHITWORTH_PIPE:
            return f"{self.form} {size}"
        return f"{size} {self.form}"

    @property
    def _height(self) -> Fraction:
        """Of the sharp triangle, H."""
        return self.pitch_mm / (2 * Fraction(tan(radians(self.form.flank_angle_deg / 2))))

    @property
    def _minor(self) -> Fraction:
        if self.form is ThreadForm.TAPER_PIPE:
            return self._small_end() - _PIPE_CREST * self.pitch_mm
        share = Fraction(4, 3) if self.form is ThreadForm.WHITWORTH_PIPE else Fraction(5, 4)
        return self.major_mm - share * self._height

    def _small_end(self) -> Fraction:
        return self.major_mm - (Fraction("0.05") * self.major_mm + Fraction("1.1") * MM_PER_INCH) * (
            self.pitch_mm / MM_PER_INCH
        )

    @staticmethod
    def _window(smallest: Fraction, largest: Fraction) -> tuple[Decimal, Decimal]:
        return rounded(smallest, _PLACES), rounded(largest, _PLACES)


_INCHES = r"((?:[0-9]+[ -])?[0-9]+/[0-9]+|[0-9]+)"
_METRIC = re.compile(r"M\s*([0-9]+(?:[.,][0-9]+)?)\s*[X×]\s*([0-9]+(?:[.,][0-9]+)?)")
_PER_INCH = re.compile(rf"{_INCHES}\s*-\s*([0-9]+(?:\.[0-9]+)?)\s*([A-Z][A-Z0-9/ .-]*)?")
_BRITISH = re.compile(
    rf"(?:G|R)\s*{_INCHES}(?:\s*/\s*R\s*{_INCHES})?\s*:?\s*([0-9]+) TPI, MAJOR DIA ([0-9]+(?:\.[0-9]+)?) MM"
)
_UNIFIED_WORDS = re.compile(r"UN[CFSRJ]?(?:/UN[CFSRJ]?)?(?:-[0-9][AB]?)?")
_PIPE_WORDS = frozenset({"NPT", "NPTF"})


def parse_thread(text: str) -> Thread:
    """Read a thread as a table prints it or a person writes it.

    Without letters a size and threads per inch that pipe has (1/2-14) are taper pipe, all others unified.
    Raises `NotUnderstood` for what can't be read, also `G 1/2` alone whose diameter is not in its name, and
    `OffTheTable` for a taper pipe thread that doesn't exist.
    """
    tidy = re.sub(r"\s+", " ", text.strip().upper().replace("″", "").replace('"', ""))
    if metric := _METRIC.fullmatch(tidy):
        major, pitch = (Fraction(number.replace(",", ".")) for number in metric.groups())
        return Thread(ThreadForm.METRIC, major / MM_PER_INCH, major, pitch, None)
    if british := _BRITISH.fullmatch(tidy):
        per_inch = _count(british[3], text)
        size, major = _inches(british[1], text), Fraction(british[4])
        return Thread(ThreadForm.WHITWORTH_PIPE, size, major, MM_PER_INCH / per_inch, per_inch)
    match = _PER_INCH.fullmatch(tidy)
    if match is None:
        raise _not_understood(text)
    size, per_inch, word = _inches(match[1], text), _count(match[2], text), (match[3] or "").strip()
    if word in _PIPE_WORDS or (not word and PIPE_TPI.get(size) == per_inch):
        return _taper_pipe(size, per_inch, text)
    if word and not _UNIFIED_WORDS.fullmatch(word):
        raise _not_understood(text)
    return Thread(ThreadForm.UNIFIED, size, size * MM_PER_INCH, MM_PER_INCH / per_inch, per_inch)


def _taper_pipe(size: Fraction, per_inch: Fraction, text: str) -> Thread:
    if PIPE_TPI.get(size) != per_inch:
        known = ", ".join(f"{_mixed(inch)}-{_shown(count)}" for inch, count in PIPE_TPI.items())
        raise OffTheTable(
            f"There is no taper pipe thread “{text}”. Type one of {known}.",
            argument="thread",
            allowed=known,
            got=text,
        )
    pitch = MM_PER_INCH / per_inch
    return Thread(ThreadForm.TAPER_PIPE, size, PIPE_OD_IN[size] * MM_PER_INCH, pitch, per_inch)


def _inches(digits: str, text: str) -> Fraction:
    *whole, last = re.split("[ -]", digits)
    if re.search(r"/0+$", last):
        raise _not_understood(text)
    return Fraction(last) + sum(map(Fraction, whole), Fraction(0))


def _count(digits: str, text: str) -> Fraction:
    count = Fraction(digits)
    if count == 0:
        raise _not_understood(text)
    return count


def _mixed(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    return f"{whole} {part}" if whole and part else str(part or whole)


def _shown(value: Fraction | int) -> str:
    return f"{trim(rounded(Fraction(value), _PLACES)):f}"


def _not_understood(text: str) -> NotUnderstood:
    return NotUnderstood(
        f"“{text.strip()}” is not a thread that can be read. Type it like {FORMS}.",
        argument="thread",
        allowed=FORMS,
        got=text,
    )
