"""Which connection a thread or a flange may be: candidates in order, with what each is confused with."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.engineering.flange_identification import FlangeCandidate, FlangeIdentification, identify_flange
from shop.engineering.numbers import plain, rounded
from shop.engineering.pressures import show_rating
from shop.engineering.thread_identification import (
    GAUGE_THREADS,
    Candidate,
    Gender,
    Identification,
    Measured,
    SeatForm,
    identify,
    pitch_of,
)
from shop.web.fields import LengthField
from shop.web.worksheets.fields import NumberField, understood
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Table, Verdict, Working, Worksheet
from shop.web.worksheets.tables import connections, flanges

MOST_SHOWN = 8
FLANGE = "flange"
_PITCH_PLACES = 3


class ThreadForm(WorksheetForm):
    SWITCH = "gender"
    GROUPS = {
        "What was measured": ("gender", "diameter", "head"),
        "The pitch, by a gauge": ("per_inch", "pitch"),
        "How it seals": ("seat",),
    }
    ONLY = {
        **dict.fromkeys(("diameter", "per_inch", "pitch", "seat"), tuple(Gender)),
        "head": (FLANGE,),
    }
    NEEDED = {Gender.MALE: ("diameter",), Gender.FEMALE: ("diameter",), FLANGE: ("head",)}
    ARGUMENTS = {
        "measured diameter": ("diameter",),
        "pitch": ("pitch",),
        "threads per inch": ("per_inch",),
        "diameter of the head": ("head",),
    }

    gender = forms.ChoiceField(
        label="It is",
        choices=[
            (Gender.MALE.value, "a male thread: its outside"),
            (Gender.FEMALE.value, "a female thread: its inside"),
            (FLANGE, "a split flange: its head"),
        ],
    )
    diameter = LengthField(
        label="Diameter", required=False, help_text="Across the crests, of an end that is not worn."
    )
    head = LengthField(
        label="Diameter of the head", required=False, help_text="Across the collar that the halves clamp."
    )
    per_inch = NumberField(label="Threads per inch", required=False, help_text="Or the pitch.")
    pitch = NumberField(
        label="Pitch", unit="mm", required=False, help_text="From crest to crest; or threads per inch."
    )
    seat = forms.ChoiceField(
        label="Seat",
        required=False,
        choices=[("", "not looked at"), *((seat.value, seat.value) for seat in SeatForm)],
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("per_inch") is not None and cleaned.get("pitch") is not None:
            raise ValidationError(
                "Give the pitch or the threads per inch, whichever the gauge shows, not both."
            )
        return cleaned

    def clean_per_inch(self) -> Fraction | None:
        typed: Decimal | None = self.cleaned_data["per_inch"]
        return None if typed is None else understood(lambda: pitch_of(typed))

    def clean_pitch(self) -> Fraction | None:
        typed: Decimal | None = self.cleaned_data["pitch"]
        return None if typed is None else Fraction(typed)


def work(answers: Mapping[str, Any]) -> Sheet:
    """The candidates for what was measured, the likeliest first."""
    return _flange_sheet(answers["head"]) if answers["gender"] == FLANGE else _thread_sheet(answers)


def _thread_sheet(answers: Mapping[str, Any]) -> Sheet:
    measured = Measured(
        gender=Gender(answers["gender"]),
        diameter_mm=answers["diameter"],
        pitch_mm=answers["per_inch"] or answers["pitch"],
        seat=SeatForm(answers["seat"]) if answers["seat"] else None,
    )
    found = identify(measured, connections())
    first = found.candidates[0]
    return Sheet(
        says=f"Nearest: {first.connection.words}, {first.connection.thread.words}.",
        answers=(
            Fact("Nearest connection", first.connection.words),
            Fact("Its thread", first.connection.thread.words),
        ),
        verdicts=tuple(_verdicts(found)),
        tables=(
            Table(
                f"The nearest {min(len(found.candidates), MOST_SHOWN)} of {len(found.candidates)} candidates",
                ("Connection", "Thread", "Such a thread measures", "Off by", "Seat", "Basis"),
                tuple(_row(candidate, measured) for candidate in found.candidates[:MOST_SHOWN]),
                frozenset({3}),
            ),
        ),
        workings=tuple(_workings(first, measured)),
        assumptions=found.assumptions,
        cautions=found.cautions,
        basis=tuple(
            dict.fromkeys(
                Basis(candidate.connection.source, candidate.connection.basis)
                for candidate in found.candidates[:MOST_SHOWN]
            )
        ),
    )


def _flange_sheet(head_mm: Decimal) -> Sheet:
    found = identify_flange(head_mm, flanges())
    first = found.candidates[0].flange
    return Sheet(
        says=f"Nearest: {first.words}, {first.rating}.",
        answers=(
            Fact("Nearest flange", first.words),
            Fact("Its head", f"{plain(first.head_mm)} mm"),
            Fact("Printed for", show_rating(first.rating), first.source),
            Fact(
                "Until the code is known",
                show_rating(found.until_known),
                "the lowest of what it is taken for",
            ),
        ),
        verdicts=tuple(Verdict("care", "Easily confused:", trap) for trap in found.traps),
        tables=(
            Table(
                f"Within reach, of {len(flanges())} heads",
                ("Flange", "Head", "Off by", "Printed for", "Basis"),
                tuple(_flange_row(candidate) for candidate in found.candidates),
                frozenset({1, 2, 3}),
            ),
        ),
        workings=tuple(_flange_workings(head_mm, found)),
        assumptions=found.assumptions,
        cautions=found.cautions,
        basis=tuple(dict.fromkeys(Basis(c.flange.source, c.flange.basis) for c in found.candidates)),
    )


def _flange_row(candidate: FlangeCandidate) -> tuple[str, ...]:
    flange = candidate.flange
    return (
        flange.words,
        f"{plain(flange.head_mm)} mm",
        f"{plain(candidate.off_mm)} mm",
        str(flange.rating),
        _basis(flange.basis),
    )


def _flange_workings(head_mm: Decimal, found: FlangeIdentification) -> Iterator[Working]:
    for candidate in found.candidates:
        yield Working(
            f"How far {candidate.flange.words} is from it",
            "the difference of the heads",
            f"|{plain(head_mm)} − {plain(candidate.flange.head_mm)}|",
            f"{plain(candidate.off_mm)} mm",
            candidate.flange.source,
        )


def _basis(basis: str) -> str:
    return "from memory" if basis == "memory" else "read there"


def _verdicts(found: Identification) -> Iterator[Verdict]:
    if not found.candidates[0].seat_fits:
        yield Verdict("care", "No candidate has that seat.", "The nearest by its thread is shown.")
    for trap in found.traps:
        yield Verdict("care", "Easily confused:", trap)


def _row(candidate: Candidate, measured: Measured) -> tuple[str, ...]:
    connection = candidate.connection
    seat = ", ".join(connection.seats)
    return (
        connection.words,
        connection.thread.words,
        f"{_window(candidate, measured)}, pitch {_pitch(connection.thread.pitch_mm)}",
        f"{plain(candidate.distance_mm)} mm",
        seat if candidate.seat_fits else f"another: {seat}",
        _basis(connection.basis),
    )


def _workings(first: Candidate, measured: Measured) -> Iterator[Working]:
    thread = first.connection.thread
    yield Working(
        f"How far {first.connection.words} is from it in diameter",
        f"how far {plain(measured.diameter_mm)} mm is outside {_window(first, measured)}",
        "",
        f"{plain(first.diameter_off_mm)} mm",
        "Profiles and grade 6: ISO 68-1, ISO 965-1, ASME B1.1, ISO 228-1, from memory",
    )
    if measured.pitch_mm is not None:
        yield Working(
            "and in pitch, as a pitch gauge shows it",
            f"{GAUGE_THREADS} × the difference of the pitches",
            f"{GAUGE_THREADS} × |{_pitch(measured.pitch_mm)} − {_pitch(thread.pitch_mm)}|",
            f"{plain(first.pitch_off_mm)} mm",
            "The pitch gauge is laid over ten threads: common practice, no source",
        )


def _window(candidate: Candidate, measured: Measured) -> str:
    thread = candidate.connection.thread
    low, high = thread.male_od_mm if measured.gender is Gender.MALE else thread.female_id_mm
    return f"{low:.2f} to {high:.2f} mm"


def _pitch(pitch_mm: Fraction) -> str:
    return f"{plain(rounded(pitch_mm, _PITCH_PLACES))} mm"


WORKSHEET = Worksheet(
    slug="threads",
    title="Which thread or flange is it?",
    about="From diameter, pitch and seat, or a flange's head, to the connections that it may be, and what "
    "they are confused with.",
    form=ThreadForm,
    work=work,
    example={"gender": "male", "diameter": "14.2 mm", "per_inch": "18", "seat": "37° flare"},
)
