"""What finished assemblies say about the cut: how much longer they come out than their ends allow for."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import Exists, F, OuterRef, QuerySet, Subquery

from shop.assemblies.models import Decision, DecisionKind, Inspection
from shop.assemblies.refusals import (
    CorrectionNotProven,
    CorrectionStandsAlready,
    NoCorrectionInForce,
    TooFewFinished,
)
from shop.catalogue.models import CutCorrection, FittingSeries, Hose
from shop.catalogue.verbs import CUT_CORRECTED
from shop.engineering import cut_correction as engineering
from shop.engineering.cut_correction import Finished, cut_correction
from shop.engineering.errors import OutOfRange
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.tooling.models import Calibration

MOST_PIECES = (
    30  # the newest of one hose and series: older ones tell of other habits; common practice, no source
)
MOST_LOOKED_AT = 2000  # finished assemblies that the overview of all hoses is made of


@dataclass(frozen=True)
class FinishedPiece:
    """The first measurement of a finished assembly, whose wanted length is cut and cut-offs together, mm."""

    serial: int
    code: str
    hose_id: int
    series_id: int
    wanted_mm: Decimal
    measured_mm: Decimal
    tape_mm: Decimal

    @property
    def over_mm(self) -> Decimal:
        return self.measured_mm - self.wanted_mm

    @property
    def finished(self) -> Finished | None:
        """As the calculation takes it; None for a slip, which is no finding about the cut."""
        try:
            return Finished(self.wanted_mm, self.measured_mm)
        except OutOfRange:
            return None


@dataclass(frozen=True)
class LengthFinding:
    """What the newest pieces of a hose with a series at both ends come to, the newest piece first.

    `found` is None while they are too few, and `why_not` says so; `slips` were left out.
    """

    hose: Hose
    series: FittingSeries
    pieces: tuple[FinishedPiece, ...]
    slips: tuple[FinishedPiece, ...]
    found: engineering.CutCorrection | None
    why_not: str
    in_force: CutCorrection | None

    @property
    def is_in_force(self) -> bool:
        """Whether the cut is corrected by these very figures."""
        return (
            self.found is not None
            and self.in_force is not None
            and (self.in_force.pieces, self.in_force.mean) == (self.found.pieces, self.found.mean_mm)
            and (self.in_force.low, self.in_force.high) == (self.found.low_mm, self.found.high_mm)
        )


def lengths_of(hose: Hose, series: FittingSeries) -> LengthFinding:
    """What the newest pieces of that hose with that series at both ends say."""
    of_both = _first_inspections().filter(
        assembly__run__resolution__hose=hose, assembly__run__resolution__fitting_a__series=series
    )
    correction = CutCorrection.objects.in_force(hose, series.pk)
    return _finding(hose, series, _pieces(of_both[:MOST_PIECES]), correction)


def lengths_of_all() -> list[LengthFinding]:
    """The same for every hose and series among the newest finished assemblies, in a few queries.

    Its work doesn't grow with the book: a hose that was last made long ago is not among them.
    """
    by_pair: dict[tuple[int, int], list[FinishedPiece]] = defaultdict(list)
    for piece in _pieces(_first_inspections()[:MOST_LOOKED_AT]):
        by_pair[piece.hose_id, piece.series_id].append(piece)
    hoses = Hose.objects.in_bulk({hose for hose, _ in by_pair})
    series = FittingSeries.objects.in_bulk({series for _, series in by_pair})
    corrections = {
        (correction.hose_id, correction.series_id): correction
        for correction in CutCorrection.objects.filter(hose__in=hoses, series__in=series).order_by("entry")
    }
    return [
        _finding(hoses[pair[0]], series[pair[1]], pieces[:MOST_PIECES], _applying(corrections.get(pair)))
        for pair, pieces in by_pair.items()
    ]


@transaction.atomic
def adopt_cut_correction(*, actor: User, hose: Hose, series: FittingSeries) -> CutCorrection:
    """From now on cut this hose with this series at both ends by what its finished lengths say.

    Orders confirmed before stay as they were confirmed. Raises `TooFewFinished`, `CorrectionNotProven`,
    `CorrectionStandsAlready`.
    """
    require(actor, Permission.DECIDE)
    hose.refresh_from_db(from_queryset=Hose.objects.select_for_update(no_key=True))
    finding = lengths_of(hose, series)
    found = finding.found
    if found is None:
        raise TooFewFinished(why=finding.why_not)
    if not found.proven:
        raise CorrectionNotProven(why=found.reason)
    if finding.is_in_force:
        raise CorrectionStandsAlready(hose=hose, series=series)
    return write_record(
        actor=actor,
        verb=CUT_CORRECTED,
        record=CutCorrection(
            hose=hose,
            series=series,
            pieces=found.pieces,
            mean=found.mean_mm,
            spread=found.spread_mm,
            low=found.low_mm,
            high=found.high_mm,
            applies=True,
        ),
        subject=hose,
    )


@transaction.atomic
def end_cut_correction(*, actor: User, hose: Hose, series: FittingSeries) -> CutCorrection:
    """From now on cut by the chart as it is again. Raises `NoCorrectionInForce`."""
    require(actor, Permission.DECIDE)
    hose.refresh_from_db(from_queryset=Hose.objects.select_for_update(no_key=True))
    ending = CutCorrection.objects.in_force(hose, series.pk)
    if ending is None:
        raise NoCorrectionInForce(hose=hose, series=series)
    figures = {name: getattr(ending, name) for name in ("pieces", "mean", "spread", "low", "high")}
    return write_record(
        actor=actor,
        verb=CUT_CORRECTED,
        record=CutCorrection(hose=hose, series=series, applies=False, **figures),
        subject=hose,
    )


def _first_inspections() -> QuerySet[Inspection]:
    """First measurements of assemblies with one series at both ends, the newest first.

    A first one is before any pressure. What was cut off and refitted before it says nothing about the cut.
    The tape's uncertainty is that of its calibration at the time.
    """
    refitted = Decision.objects.filter(
        assembly=OuterRef("assembly"), kind=DecisionKind.REFIT, entry__lt=OuterRef("entry")
    )
    known_then = Calibration.objects.filter(gauge=OuterRef("gauge"), entry__lt=OuterRef("entry"))
    uncertainty = known_then.order_by("-done_on", "-entry").values("expanded_uncertainty")[:1]
    return (
        Inspection.objects.filter(
            ~Exists(refitted),
            number=1,
            assembly__run__resolution__fitting_a__series=F("assembly__run__resolution__fitting_b__series"),
        )
        .annotate(tape=Subquery(uncertainty))
        .order_by("-entry")
    )


def _pieces(inspections: QuerySet[Inspection]) -> list[FinishedPiece]:
    """The pieces of these inspections.

    Wanted is what was cut with the cut-offs that the fittings have today: so a correction that the cut
    already had doesn't count itself, and a cut-off put right since is no finding any more.
    """
    resolution = "assembly__run__resolution"
    rows = inspections.values_list(
        "assembly__serial",
        "assembly__code",
        f"{resolution}__hose",
        f"{resolution}__fitting_a__series",
        "assembly__cut__length",
        f"{resolution}__fitting_a__cut_off",
        f"{resolution}__fitting_b__cut_off",
        "finished_length",
        "tape",
    )
    return [
        FinishedPiece(serial, code, hose, series, cut + cut_off_a + cut_off_b, finished, tape)
        for serial, code, hose, series, cut, cut_off_a, cut_off_b, finished, tape in rows
    ]


def _finding(
    hose: Hose, series: FittingSeries, pieces: Sequence[FinishedPiece], in_force: CutCorrection | None
) -> LengthFinding:
    counted = [piece for piece in pieces if piece.finished is not None]
    tape = max((piece.tape_mm for piece in counted), default=Decimal(0))
    found, why_not = None, ""
    try:
        found = cut_correction([f for piece in counted if (f := piece.finished) is not None], tape_mm=tape)
    except OutOfRange as too_few:
        why_not = str(too_few)
    return LengthFinding(
        hose=hose,
        series=series,
        pieces=tuple(counted),
        slips=tuple(piece for piece in pieces if piece.finished is None),
        found=found,
        why_not=why_not,
        in_force=in_force,
    )


def _applying(newest: CutCorrection | None) -> CutCorrection | None:
    return newest if newest is not None and newest.applies else None
