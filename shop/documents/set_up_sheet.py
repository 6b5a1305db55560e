"""The set-up sheet: what goes into the crimper for one end, in which order, what to look at. One A4 page.

It repeats what the chart and the arrangement say on the day it is made, and is kept by nobody: what
counts is what the bench asks for when the crimper is set up.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from shop.assemblies.as_confirmed import require_chart_in_force, resolved_today
from shop.assemblies.models import Assembly, End
from shop.assemblies.set_up_drawing import set_up_drawing
from shop.catalogue.models import CrimpSpecification, Fitting, Skive
from shop.documents.pdf import render_pdf
from shop.documents.refusals import NothingToSetUp
from shop.drawings.setup import Labelled, PartDrawing, SetUpDrawing, draw_setup
from shop.engineering.lengths import LengthUnit, show_length
from shop.policy.models import Workshop
from shop.policy.services import get_workshop, today
from shop.tooling.finding import arrangement_for, find_tooling
from shop.tooling.models import Arrangement, Crimper
from shop.tooling.scales import Start, start_on_scale

TEMPLATE = "documents/set_up_sheet.html"
MOST_AT_EASE = 4  # parts of a sheet in type of ordinary size

# Common practice, no source; the insertion mark and reading across the flats are from memory.
LOOK_FOR = (
    "The dies are one whole set with one mark, clean, without chips; greased where they slide, dry where "
    "they touch the ferrule.",
    "The stack stands centred: each part flat on the next, no gap, nothing askew.",
    "The ferrule is wholly inside the dies, and the mark on the hose is still at its mouth.",
    "The press has gone to its stop before you open it.",
)
UNSAFE = (
    "A hand between the dies: a press crushes before anybody can stop it. Guards on, one person at the "
    "switch.",
    "Dies of two sets or a stack that stands askew: a part can break and fly.",
    "A ferrule that sticks out of the dies, a hose that is not home, or a ferrule for another hose: the end "
    "can blow off under pressure, and from outside nobody sees it.",
)
WITH_A_PART = (
    "Another stop because a crimp looks wrong. The chart prescribes the stop and the diameter governs: if "
    "they don't agree, stop and ask."
)
WITH_A_VALUE = (
    "A value that is trusted. It is where you start; only what the caliper reads says that a crimp is right."
)
WHO_GOVERNS = (
    "This sheet is an aid to trained people. The instructions of the makers of crimper, dies, hose and "
    "fittings, local codes and licensed practice govern."
)


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part in the list of the sheet, in words."""

    number: int
    role: str
    mark: str
    faces: str
    measures: str
    how_known: str


@dataclass(frozen=True, slots=True)
class SetUpSheet:
    """Everything that a set-up sheet says, ready to be set on paper or on a page."""

    workshop: Workshop
    assembly: Assembly
    end: End
    arrangement: Arrangement
    specification: CrimpSpecification
    fitting: Fitting
    drawing: SetUpDrawing
    unit: LengthUnit
    day: datetime.date
    crimpers: tuple[Crimper, ...]  # all that have an arrangement for it

    @property
    def svg(self) -> str:
        return draw_setup(self.drawing)

    @property
    def is_long(self) -> bool:
        """Whether there is so much to say that one page only holds it in small type."""
        return len(self.drawing.parts) + 2 * len(self.warnings) > MOST_AT_EASE

    @property
    def start(self) -> Start | None:
        """Where the setter of a dial or a numeric crimper starts."""
        return start_on_scale(self.specification, self.arrangement.crimper)

    @property
    def stop_words(self) -> str:
        """What the crimper is told."""
        return self.start.words if self.start else f"stop part {self.specification.stop_words}"

    @property
    def parts(self) -> list[PartLine]:
        return [self._line(part) for part in self.drawing.in_order]

    def _line(self, part: PartDrawing) -> PartLine:
        measures = (
            (part.thickness_mm, "thick"),
            (part.outside_mm, "outside"),
            (part.bore_mm, "open"),
        )
        shown = [f"{self.show(mm)} {word}" for mm, word in measures if mm is not None]
        return PartLine(
            part.position,
            part.role,
            part.mark,
            part.attitude,
            ", ".join(shown),
            "scan its label" if part.tool is not Labelled.NEITHER else "look and tick",
        )

    @property
    def steps(self) -> list[str]:
        return list(_steps(self))

    @property
    def look_for(self) -> tuple[str, ...]:
        return LOOK_FOR

    @property
    def unsafe(self) -> tuple[str, ...]:
        return (*UNSAFE, WITH_A_VALUE if self.start else WITH_A_PART, WHO_GOVERNS)

    @property
    def warnings(self) -> list[str]:
        """What does not fit together by what was typed, and what is not known."""
        return list(_warnings(self))

    @property
    def measuring(self) -> list[tuple[str, str]]:
        """Where and how the crimp is measured, as the chart says it."""
        return list(_measuring(self.specification))

    @property
    def dies_mm(self) -> Decimal | None:
        """How long the dies are, if it was typed."""
        dies = (part for part in self.drawing.parts if part.tool is Labelled.DIES)
        return next((part.thickness_mm for part in dies), None)

    @property
    def die_beside_mm(self) -> Decimal | None:
        """How much die there is at each end of a ferrule in their middle; below nought if it sticks out."""
        end, dies = self.drawing.end, self.dies_mm
        if end is None or end.ferrule_mm is None or dies is None:
            return None
        return (dies - end.ferrule_mm) / 2

    def show(self, mm: Decimal) -> str:
        """A length in the workshop's unit."""
        return show_length(mm, self.unit)


def set_up_sheet(*, assembly: Assembly, end: End, crimper: Crimper | None = None) -> SetUpSheet:
    """What has to be set up for that end today, on that crimper or on the first that serves.

    Raises `ChartMovedOn` if the chart no longer prescribes what was confirmed, `NothingToSetUp` if no
    usable crimper has an arrangement for it.
    """
    require_chart_in_force(assembly, resolved_today(assembly), end)
    specification, workshop = assembly.specification(end), get_workshop()
    arrangement = arrangement_for(specification, crimper)
    if arrangement is None:
        raise NothingToSetUp(
            crimper=crimper or "a crimper", die_type=specification.die_type, stop=specification.stop_words
        )
    unit = LengthUnit(workshop.length_unit)
    return SetUpSheet(
        workshop=workshop,
        assembly=assembly,
        end=end,
        arrangement=arrangement,
        specification=specification,
        fitting=assembly.fitting(end),
        drawing=set_up_drawing(assembly, end, arrangement, unit),
        unit=unit,
        day=today(),
        crimpers=tuple(one.crimper for one in find_tooling(specification).arrangements),
    )


def render_set_up_sheet(sheet: SetUpSheet) -> bytes:
    """The sheet as PDF. Raises `PdfNotInstalled`."""
    return render_pdf(TEMPLATE, {"sheet": sheet})


def _steps(sheet: SetUpSheet) -> Iterator[str]:
    """What is done, in this order."""
    line, end = sheet.specification, sheet.drawing.end
    assert end is not None, "a sheet is for an end"
    yield f"Open {sheet.arrangement.crimper} fully. Make sure that nobody else can start it."
    if sheet.arrangement.taken_out:
        yield f"Take out: {'; '.join(sheet.arrangement.taken_out)}."
    yield "Wipe every part and what it lies on. Grease what the dies slide on, as their maker says."
    yield "Put the parts in from the ram to the hose, as drawn and listed, each facing as it says."
    if sheet.start is None:
        yield f"Scan the crimper, the dies, the {sheet.stop_words} and the caliper; tick the other parts."
    else:
        yield f"Set the {sheet.start.words}."
        yield "Scan the crimper, the dies and the caliper; tick the other parts."
    if line.skive != Skive.NONE and line.skive_length is not None:
        yield f"Skive {line.get_skive_display()} over {sheet.show(line.skive_length)}, no more."
    yield (
        f"Mark the hose {sheet.show(end.insertion_mm)} from its end and push it home: the mark is at the "
        "ferrule's mouth."
    )
    beside = sheet.die_beside_mm
    if beside is not None and beside >= 0:
        yield f"Lay the ferrule in the middle of the dies: {sheet.show(beside)} of die beside it at each end."
    else:
        yield "Lay the ferrule in the middle of the dies, wholly inside them."
    yield "Hands out. Crimp until the press is at its stop, open, take the hose out."
    yield "Measure this first crimp, and type what you read, before you make the next."
    if sheet.start is not None:
        yield (
            "If it is off, correct the value for the next end, set up once more and write down what you use: "
            "a crimp outside its limits stays outside."
        )


def _measuring(line: CrimpSpecification) -> Iterator[tuple[str, str]]:
    yield "Crimp diameter", _diameter(line.target)
    yield "Limits", f"{_diameter(line.lower)} to {_diameter(line.upper)}"
    yield "Where", line.measured_at
    yield "How", f"{line.readings} readings, turned a little between them, never on a ridge"
    yield "Judged", line.get_judged_display()
    if line.ovality is not None:
        yield "Out of round, at most", _diameter(line.ovality)
    if line.taper is not None:
        yield "Taper along the crimp, at most", f"{_diameter(line.taper)}, so read nearer the other end too"
    again = "once, if it is too large" if line.crimp_again_allowed else "no: the chart doesn't allow it"
    yield "Crimp again", again


def _warnings(sheet: SetUpSheet) -> Iterator[str]:
    parts = {part.tool for part in sheet.drawing.parts}
    if Labelled.DIES not in parts:
        yield (
            "The arrangement doesn't say which part is the die set, so the end is not drawn in the dies. "
            "Have it typed."
        )
    beside, end = sheet.die_beside_mm, sheet.drawing.end
    if beside is not None and beside < 0 and end is not None and end.ferrule_mm is not None:
        dies = end.ferrule_mm + 2 * beside
        yield (
            f"The ferrule is {sheet.show(end.ferrule_mm)} long and the dies are {sheet.show(dies)}: it can't "
            "be wholly inside them. Don't crimp before somebody has looked at the chart and the makers' "
            "instructions."
        )


def _diameter(mm: Decimal) -> str:
    """With two decimals at least, as charts print it."""
    return f"{mm:.{max(2, -int(mm.as_tuple().exponent))}f} mm"
