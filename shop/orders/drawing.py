"""An order line as its drawing needs it, before and after it is confirmed."""

from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import CrimpSpecification, Fitting
from shop.drawings.assembly import AssemblyDrawing, EndDrawing
from shop.engineering.lengths import LengthUnit, show_length
from shop.orders.lengths import cut_correction_for, cut_length, measured_length
from shop.orders.models import OrderLine, Resolution
from shop.orders.proposal import Proposal


@dataclass(frozen=True, slots=True)
class _Measures:
    """Overall length between the datums and cut length, mm, and the angle as the bench counts it."""

    overall_mm: Decimal | None
    cut_mm: Decimal | None
    angle_deg: int | None


def drawing_of_proposal(proposal: Proposal, unit: LengthUnit) -> AssemblyDrawing | None:
    """What the line comes to; None if the ferrules would meet. Lengths are labelled in `unit`."""
    a, b = (end.specification for end in proposal.ends)
    measures = _Measures(proposal.overall_length, proposal.cut_length, proposal.line.bench_angle_deg)
    return _drawing(proposal.line, measures, a, b, unit)


def drawing_of_line(line: OrderLine, unit: LengthUnit) -> AssemblyDrawing | None:
    """A line whose charts were not looked up: insertion depths are the fittings' own."""
    overall = measured_length(line).between_datums_mm
    correction = cut_correction_for(line.hose, line.fitting_a, line.fitting_b)
    cut = None if overall is None else cut_length(line, overall, correction)
    return _drawing(line, _Measures(overall, cut, line.bench_angle_deg), None, None, unit)


def drawing_of_confirmed_line(
    line: OrderLine, confirmed: Resolution, unit: LengthUnit
) -> AssemblyDrawing | None:
    """The same for a line with the lengths and the angle that it was confirmed with."""
    return _drawing(line, _measures_of(confirmed), None, None, unit)


def drawing_of_resolution(resolution: Resolution, unit: LengthUnit) -> AssemblyDrawing:
    """What was confirmed, to the chart lines of its confirmation."""
    specifications = resolution.specification_a, resolution.specification_b
    drawing = _drawing(resolution, _measures_of(resolution), *specifications, unit)
    assert drawing is not None  # its cut length was worked out when it was confirmed
    return drawing


def _measures_of(confirmed: Resolution) -> _Measures:
    return _Measures(confirmed.overall_length, confirmed.cut_length, confirmed.angle_deg)


def _drawing(
    asked: OrderLine | Resolution,
    measures: _Measures,
    specification_a: CrimpSpecification | None,
    specification_b: CrimpSpecification | None,
    unit: LengthUnit,
) -> AssemblyDrawing | None:
    end_a, end_b = _end(asked.fitting_a, specification_a), _end(asked.fitting_b, specification_b)
    overall, cut, angle = measures.overall_mm, measures.cut_mm, measures.angle_deg
    if overall is None or cut is None or cut <= end_a.insertion_mm + end_b.insertion_mm:
        return None
    return AssemblyDrawing(
        hose_od_mm=asked.hose.outside_diameter,
        bore_mm=asked.hose.bore,
        overall_mm=overall,
        cut_mm=cut,
        end_a=end_a,
        end_b=end_b,
        orientation_deg=None if angle is None else Decimal(angle),
        overall_label=show_length(overall, unit),
        cut_label=show_length(cut, unit),
    )


def _end(fitting: Fitting, specification: CrimpSpecification | None) -> EndDrawing:
    """One end. A ferrule that is part of its fitting, or not known yet, is drawn as long as the insertion."""
    insertion, ferrule = fitting.insertion_depth, None
    if specification is not None:
        ferrule = specification.ferrule
        insertion = specification.insertion_depth or insertion
    return EndDrawing(
        label=str(fitting),
        form=fitting.form_words,
        angle_deg=Decimal(fitting.angle_deg),
        drop_mm=fitting.drop or Decimal(0),
        cut_off_mm=fitting.cut_off,
        insertion_mm=insertion,
        datum=fitting.datum,
        connection=str(fitting.connection),
        ferrule_length_mm=insertion if ferrule is None else ferrule.length,
    )
