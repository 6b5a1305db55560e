"""What finished lengths that are typed here say about the cut."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from shop.drawings.strip import StripDrawing, draw_strip
from shop.engineering.cut_correction import (
    CONFIDENCE,
    FEWEST_PIECES,
    CutCorrection,
    Finished,
    cut_correction,
)
from shop.engineering.line_fit import student_t
from shop.engineering.numbers import plain
from shop.web.fields import LengthField
from shop.web.templatetags.quantities import length
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.pairs import PairsField
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Verdict, Working, Worksheet
from shop.web.worksheets.words import digits, rounded_length

_SOURCE = (
    "Mean and Student's t: any textbook of statistics; that it may be cut shorter: common practice, no source"
)
_KEPT_ELSEWHERE = (
    "This page changes no cut. What the book's own inspections say, and a correction that orders follow, "
    "stand in Quality under what finished lengths say."
)


class CutCorrectionForm(WorksheetForm):
    GROUPS = {
        "Finished pieces, before any pressure": ("pieces", "tape"),
        "What it does to a cut": ("cut",),
    }
    ARGUMENTS = {
        "wanted overall length": ("pieces",),
        "measured overall length": ("pieces",),
        "finished pieces": ("pieces",),
        "uncertainty of the tape": ("tape",),
        "cut length": ("cut",),
        "corrected cut length": ("cut",),
    }

    pieces = PairsField(
        label="Wanted and measured overall length",
        help_text=f"A piece to a line, like 930 932.5; {FEWEST_PIECES} or more of one hose and series.",
    )
    tape = LengthField(
        label="Expanded uncertainty of the tape",
        required=False,
        help_text="From its calibration (k = 2); empty: not counted.",
    )
    cut = LengthField(label="A cut length", required=False, help_text="By the chart, to see it corrected.")


def work(answers: Mapping[str, Any]) -> Sheet:
    """The mean, its interval, and the cut if the mean is proven."""
    pieces = [Finished(wanted, measured) for wanted, measured in answers["pieces"]]
    tape: Decimal = answers["tape"] or Decimal(0)
    found = cut_correction(pieces, tape_mm=tape)
    return Sheet(
        says=found.reason,
        verdicts=(_verdict(found),),
        answers=tuple(_facts(found, answers["cut"])),
        drawing=draw_strip(strip_of(found.reason, tuple(p.measured_mm - p.wanted_mm for p in pieces), found)),
        workings=tuple(_workings(pieces, found, tape)),
        assumptions=found.assumptions,
        cautions=(_KEPT_ELSEWHERE, *found.cautions),
        basis=(Basis("Interval of a mean: Student's t", "memory"),),
    )


def strip_of(title: str, over_mm: tuple[Decimal, ...], found: CutCorrection | None) -> StripDrawing:
    """Each piece above the scale, and the mean with its interval if there is one."""
    return StripDrawing(
        title=title,
        label="longer than wanted, mm",
        values=over_mm,
        mean=None if found is None else found.mean_mm,
        low=None if found is None else found.low_mm,
        high=None if found is None else found.high_mm,
    )


def _verdict(found: CutCorrection) -> Verdict:
    if found.proven:
        return Verdict("note", "It may be corrected.", found.reason)
    return Verdict("held", "Not proven.", f"{found.reason} Cut by the chart as it is.")


def _facts(found: CutCorrection, cut: Decimal | None) -> Iterator[Fact]:
    yield Fact("Longer than wanted", signed(found.mean_mm), f"mean of {found.pieces} pieces")
    yield Fact("With 95 %", f"{signed(found.low_mm)} to {signed(found.high_mm)}", "where the true mean lies")
    yield Fact("Spread", rounded_length(found.spread_mm), "standard deviation of one piece")
    if cut is not None and found.proven:
        yield Fact("Cut instead", rounded_length(found.corrected_mm(cut)), f"of {length(cut)}")


def signed(mm: Decimal) -> str:
    """A difference of lengths: `+3.2 mm`, `−0.4 mm`."""
    return f"{'−' if mm < 0 else '+'}{rounded_length(abs(mm))}"


def cut_words(mean_mm: Decimal) -> str:
    """What is done about the mean: `cut 3.2 mm shorter`."""
    return f"cut {rounded_length(abs(mean_mm))} {'longer' if mean_mm < 0 else 'shorter'}"


def _workings(pieces: list[Finished], found: CutCorrection, tape: Decimal) -> Iterator[Working]:
    n = found.pieces
    added = " + ".join(f"({plain(p.measured_mm)} − {plain(p.wanted_mm)})" for p in pieces)
    yield Working(
        "Mean", "sum of measured − wanted / n", f"({added}) / {n}", f"{digits(found.mean_mm, 4)} mm", _SOURCE
    )
    t = digits(student_t(CONFIDENCE, n - 1), 4)
    formula, numbers = "± t s / √n", f"± {t} × {digits(found.spread_mm, 4)} / √{n}"
    if tape:
        formula, numbers = (
            "± √((t s / √n)² + U²)",
            f"± √(({t} × {digits(found.spread_mm, 4)} / √{n})² + {plain(tape)}²)",
        )
    yield Working(
        "Where the true mean lies, with 95 %",
        f"mean {formula}, t of {n - 1} degrees of freedom",
        f"{digits(found.mean_mm, 4)} {numbers}",
        f"{digits(found.low_mm, 4)} to {digits(found.high_mm, 4)} mm",
        "Student's t: any textbook of statistics; the tape's own error: JCGM 100 5.1, from memory",
    )
    yield Working(
        "Corrected cut",
        "cut by the chart − mean, if the interval leaves out nought",
        "",
        "proven" if found.proven else "not proven",
        "common practice, no source",
    )


WORKSHEET = Worksheet(
    slug="cut_correction",
    title="Cut correction",
    about="From wanted and measured lengths to how much shorter to cut, and whether that may be chance.",
    form=CutCorrectionForm,
    work=work,
    example={
        "pieces": "930 933; 930 934; 1200 1202; 1200 1203; 640 643; 930 932",
        "tape": "1 mm",
        "cut": "877 mm",
    },
)
