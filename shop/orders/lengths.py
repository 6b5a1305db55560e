"""The lengths of a line: as the customer measured it, between the datums, as it is cut."""

from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import CutCorrection, Fitting, Hose
from shop.engineering.cut_length import between_datums_mm, cut_length_mm
from shop.engineering.errors import OutOfRange
from shop.engineering.lengths import parse_length, trim
from shop.orders.models import Measured, OrderLine
from shop.policy.models import Policy


@dataclass(frozen=True, slots=True)
class MeasuredLength:
    """The overall length as the customer measured it, in mm.

    `beyond_mm` is the metal beyond the datums of both ends that it has in it: none if it was measured
    between them, None if a fitting's figure is not known.
    """

    typed_mm: Decimal
    beyond_mm: Decimal | None

    @property
    def between_datums_mm(self) -> Decimal | None:
        """The length that everything is reckoned with; None if it is not known or nothing is left of it."""
        if self.beyond_mm is None:
            return None
        try:
            return between_datums_mm(self.typed_mm, self.beyond_mm, Decimal(0))
        except OutOfRange:
            return None


def measured_length(line: OrderLine) -> MeasuredLength:
    """The line's overall length as its customer measured it.

    What was measured from tip to tip is read anew from its text, which has its unit in it, since a
    fitting's figure may have been corrected after the line was written.
    """
    if line.measured != Measured.TIPS:
        return MeasuredLength(line.overall_length, Decimal(0))
    beyond = [fitting.beyond_datum for fitting in (line.fitting_a, line.fitting_b)]
    known = [figure for figure in beyond if figure is not None]
    return MeasuredLength(
        parse_length(line.overall_typed).mm,
        sum(known, Decimal(0)) if len(known) == len(beyond) else None,
    )


def least_free_hose(hose: Hose, policy: Policy) -> Decimal:
    """The least hose between the ferrules, mm: the hose's own figure, or else the policy's in diameters."""
    own: Decimal | None = hose.least_between_ferrules
    return trim(hose.outside_diameter * policy.ferrule_gap_diameters) if own is None else own


def cut_correction_for(hose: Hose, fitting_a: Fitting, fitting_b: Fitting) -> CutCorrection | None:
    """The workshop's own correction of the cut: the newest for that hose with that series at both ends."""
    if fitting_a.series_id != fitting_b.series_id:
        return None
    return CutCorrection.objects.in_force(hose, fitting_a.series_id)


def cut_length(line: OrderLine, overall_mm: Decimal, correction: CutCorrection | None) -> Decimal | None:
    """What is cut from the piece, mm, exactly; None if the ends leave no hose."""
    longer = Decimal(0) if correction is None else correction.mean
    try:
        return cut_length_mm(overall_mm, line.fitting_a.cut_off, line.fitting_b.cut_off, longer)
    except OutOfRange:
        return None
