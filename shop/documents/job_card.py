"""The job card: a run on one A4 sheet, for a day without tablet, power or connection.

What to do stands on it, with room to write what was used, read and seen. It is an aid and no record: what
counts is what is written down from it, and every check is made then as of the day of the work.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.assemblies.inspection import finished_length_limits
from shop.assemblies.models import Assembly, End, Run
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.points import At, Job, asked_of
from shop.assemblies.refusals import NoLengthTolerance
from shop.catalogue.models import Skive
from shop.documents.pdf import render_pdf
from shop.documents.refusals import NothingOnACard
from shop.documents.set_up_sheet import SetUpSheet, set_up_sheet
from shop.drawings.qr import draw_qr
from shop.engineering.lengths import LengthUnit, show_length
from shop.engineering.tolerance import LengthLimits
from shop.orders.models import Resolution
from shop.orders.tolerance import cut_limits
from shop.policy.models import Policy, Workshop
from shop.policy.services import get_workshop, policy_on, today

TEMPLATE = "documents/job_card.html"
MOST_ON_A_CARD = 25
QR_MM = Decimal(16)

# Common practice, no source.
CAUTIONS = (
    "Hands out of the press. Guards on, one person at the switch.",
    "Only the parts that stand here. If one is not there, or the diameter is off: stop and ask. A ferrule "
    "for another hose can blow off under pressure, and from outside nobody sees it.",
    "A crimp outside its limits is never accepted. Mark the piece, put it aside, and make no more on that "
    "set-up.",
    "Nothing from this card goes under pressure or to the customer before it is written down, judged, "
    "inspected, tagged and released.",
    "This card is an aid to trained people. The instructions of the makers of hose, fittings, crimper and "
    "gauges, local codes and licensed practice govern.",
)


@dataclass(frozen=True, slots=True)
class PieceLine:
    """A piece's row: its number, its code, and at which ends it is measured whatever else happens."""

    serial: int
    printed_code: str
    is_measured: bool


@dataclass(frozen=True, slots=True)
class JobCard:
    """Everything that a job card says."""

    workshop: Workshop
    run: Run
    resolution: Resolution
    policy: Policy
    day: datetime.date
    unit: LengthUnit
    pieces: tuple[Assembly, ...]
    sheets: tuple[SetUpSheet, ...]

    @property
    def count(self) -> int:
        return len(self.pieces)

    @property
    def qr(self) -> str:
        """The code of the first piece: scanned, it leads back to the run."""
        return draw_qr(self.pieces[0].code, QR_MM)

    @property
    def lines(self) -> list[PieceLine]:
        """The pieces, first, every n-th and last marked as measured (the policy of the day)."""
        every, last = self.policy.measured_every or 1, len(self.pieces)
        return [
            PieceLine(piece.serial, piece.printed_code, number in (1, last) or number % every == 0)
            for number, piece in enumerate(self.pieces, start=1)
        ]

    @property
    def cut_to(self) -> str:
        limits = cut_limits(self.resolution.cut_length, self.resolution.hose.dash, self.policy)
        return self._with_limits(self.resolution.cut_length, limits)

    @property
    def finished(self) -> str:
        try:
            limits = finished_length_limits(self.resolution, self.policy)
        except NoLengthTolerance:
            limits = None
        return self._with_limits(self.resolution.overall_length, limits)

    def _with_limits(self, length: Decimal, limits: LengthLimits | None) -> str:
        if limits is None:
            return f"{self.show(length)}, tolerance not known: ask"
        return f"{self.show(length)} ({self.show(limits.lower_mm)} to {self.show(limits.upper_mm)})"

    @property
    def ends(self) -> list[tuple[SetUpSheet, Sequence[str], str, range]]:
        """Each end with what is ticked at it, how the hose is prepared, and its readings by number."""
        return [
            (sheet, self._points(At.CRIMP, sheet.end), self._prepared(sheet), self._readings(sheet))
            for sheet in self.sheets
        ]

    def _prepared(self, sheet: SetUpSheet) -> str:
        line, fitting = sheet.specification, sheet.fitting
        depth = f"insertion mark at {self.show(line.insertion_depth or fitting.insertion_depth)}"
        if line.skive == Skive.NONE or line.skive_length is None:
            return f"{depth}, no skiving"
        return f"{depth}, skive {line.get_skive_display()} over {self.show(line.skive_length)}"

    @staticmethod
    def _readings(sheet: SetUpSheet) -> range:
        sections = 1 if sheet.specification.taper is None else 2
        return range(1, sections * sheet.specification.readings + 1)

    @property
    def inspection_points(self) -> list[str]:
        return self._points(At.INSPECT)

    @property
    def cut_points(self) -> list[str]:
        return self._points(At.CUT)

    def _points(self, at: At, end: End | None = None) -> list[str]:
        """What is ticked there, by the policy of the day."""
        job = Job(self.pieces[0], self.policy, end)
        return [point.words_for(job) for point in asked_of(at, job)]

    @property
    def cautions(self) -> tuple[str, ...]:
        return CAUTIONS

    def show(self, mm: Decimal) -> str:
        """A length in the workshop's unit."""
        return show_length(mm, self.unit)


def job_card(*, run: Run) -> JobCard:
    """The card of the pieces of the run that are still made, the first 25 of them.

    Raises `NothingOnACard` if none is, `ChartMovedOn` and `NothingToSetUp` as the set-up sheet does.
    """
    waiting = run.assemblies.filter(state__in=ON_THE_ROAD, trouble="").order_by("serial")
    pieces = tuple(waiting[:MOST_ON_A_CARD])
    if not pieces:
        raise NothingOnACard(run=run)
    workshop, day = get_workshop(), today()
    return JobCard(
        workshop=workshop,
        run=run,
        resolution=pieces[0].resolution,
        policy=policy_on(day),
        day=day,
        unit=LengthUnit(workshop.length_unit),
        pieces=pieces,
        sheets=tuple(set_up_sheet(assembly=pieces[0], end=end) for end in End),
    )


def render_job_card(card: JobCard) -> bytes:
    """The card as PDF. Raises `PdfNotInstalled`."""
    return render_pdf(TEMPLATE, {"card": card})
