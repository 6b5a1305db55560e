"""An order line as its drawing needs it, before and after it is confirmed."""

from decimal import Decimal

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.drawings.assembly import AssemblyDrawing, EndDrawing
from shop.engineering.lengths import LengthUnit, show_length
from shop.orders.models import OrderLine, Resolution
from shop.orders.proposal import Proposal


def drawing_of_proposal(proposal: Proposal, unit: LengthUnit) -> AssemblyDrawing | None:
    """What the line comes to; None if the ferrules would meet. Lengths are labelled in `unit`."""
    a, b = (end.specification for end in proposal.ends)
    return _drawing(proposal.line, a, b, unit)


def drawing_of_line(line: OrderLine, unit: LengthUnit) -> AssemblyDrawing | None:
    """A line whose charts were not looked up: insertion depths are the fittings' own."""
    return _drawing(line, None, None, unit)


def drawing_of_resolution(resolution: Resolution, unit: LengthUnit) -> AssemblyDrawing:
    """What was confirmed, to the chart lines of its confirmation."""
    drawing = _drawing(resolution, resolution.specification_a, resolution.specification_b, unit)
    assert drawing is not None  # its cut length was worked out when it was confirmed
    return drawing


def _drawing(
    asked: OrderLine | Resolution,
    specification_a: CrimpSpecification | None,
    specification_b: CrimpSpecification | None,
    unit: LengthUnit,
) -> AssemblyDrawing | None:
    hose: Hose = asked.hose
    end_a, end_b = _end(asked.fitting_a, specification_a), _end(asked.fitting_b, specification_b)
    cut = asked.overall_length - end_a.cut_off_mm - end_b.cut_off_mm
    if cut <= end_a.insertion_mm + end_b.insertion_mm:
        return None
    return AssemblyDrawing(
        hose_od_mm=hose.outside_diameter,
        bore_mm=hose.bore,
        overall_mm=asked.overall_length,
        cut_mm=cut,
        end_a=end_a,
        end_b=end_b,
        orientation_deg=None if asked.angle_deg is None else Decimal(asked.angle_deg),
        overall_label=show_length(asked.overall_length, unit),
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
