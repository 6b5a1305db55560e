"""The end of the hose in the closed dies: ferrule, hose up to where it stops, and the measures of both."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.setup_layout import MARGIN, WIDTH, Layout, Place
from shop.drawings.setup_parts import BESIDE, hatches, stop_thickness
from shop.drawings.setup_things import EndInDies, SetUpDrawing
from shop.engineering.lengths import show_length

ROW = 30.0
GRIPPED = 0.8  # radius of the squeezed hose to the crimp's, since no chart gives the ferrule's wall: a symbol
SIGN_WIDTH = 9.4  # of a character in a label, on the safe side
TUBE = 0.3  # radius of a fitting's tube to the hose's outside diameter: a symbol


class Stations:
    """Where ferrule and hose begin and end on the sheet; the ferrule lies in the middle of the dies."""

    def __init__(self, end: EndInDies, dies: Place, scale: float) -> None:
        half = float(end.drawn_ferrule_mm) / 2 * scale
        self.ferrule = (dies.middle - half, dies.middle + half)
        self.mouth = self.ferrule[1]
        self.hose_end = self.mouth - float(end.insertion_mm) * scale


def draw_end_in_dies(end: EndInDies, dies: Place, layout: Layout) -> str:
    """Hose from the right into the ferrule, the ferrule at its crimp diameter, the fitting's tube."""
    at = Stations(end, dies, layout.scale)
    od, axis = float(end.hose_od_mm) * layout.scale, layout.axis
    crimp = float(end.crimp_mm) / 2 * layout.scale
    inside = squeezed(end, layout)
    is_known = end.ferrule_mm is not None
    strokes = []
    for side in (-1, 1):
        corners = [(x, axis + side * r) for r in (crimp, inside) for x in at.ferrule]
        strokes.append(
            svg.rectangle(
                (at.ferrule[0], min(axis + side * crimp, axis + side * inside)),
                at.ferrule[1] - at.ferrule[0],
                crimp - inside,
                class_="fb-ferrule",
                dash=None if is_known else svg.HIDDEN,
            )
        )
        if is_known:
            outline = [corners[0], corners[1], corners[3], corners[2]]
            strokes.append(svg.path("".join(hatches(outline, 4)), class_="fb-ferrule-section", width=0.8))
        strokes += _side(end, at, layout, side)
    strokes.append(
        svg.line(
            (at.hose_end, axis - inside), (at.hose_end, axis + inside), class_="fb-hose-end", width=svg.THICK
        )
    )
    label = ((layout.right + WIDTH - MARGIN) / 2, axis - od / 2 - 8)
    strokes.append(svg.text(label, "hose", class_="fb-note", size=svg.SMALL))
    return "".join(strokes)


def squeezed(end: EndInDies, layout: Layout) -> float:
    """Radius of the hose in the crimped ferrule, in drawing units."""
    return min(float(end.hose_od_mm), GRIPPED * float(end.crimp_mm)) / 2 * layout.scale


def _side(end: EndInDies, at: Stations, layout: Layout, side: int) -> list[str]:
    """Hose, bore and tube on one side of the axis."""
    edge, axis = WIDTH - MARGIN, layout.axis
    od, bore = (float(d) * layout.scale for d in (end.hose_od_mm, end.hose_bore_mm))
    gripped, outside = axis + side * squeezed(end, layout), axis + side * od / 2
    inside = axis + side * bore / 2
    tube = axis + side * TUBE * od
    return [
        svg.path(
            svg.polyline([(at.hose_end, gripped), (at.mouth, gripped), (at.mouth, outside), (edge, outside)]),
            class_="fb-hose",
            width=svg.THICK,
        ),
        svg.line((at.hose_end, inside), (edge, inside), class_="fb-bore", dash=svg.HIDDEN),
        svg.line((at.ferrule[0] - od / 2, tube), (at.ferrule[0], tube), class_="fb-tube", dash=svg.HIDDEN),
    ]


@dataclass(frozen=True, slots=True)
class Measure:
    """A level dimension: from where to where, and what it says, left of `beside` if there is room."""

    name: str
    span: tuple[float, float]
    label: str
    beside: float


def draw_dimensions(drawing: SetUpDrawing, layout: Layout) -> tuple[str, float]:
    """Stop, insertion, ferrule and dies below each other; and where they end."""
    foot = layout.axis + layout.outer + 2 * BESIDE
    y, strokes = foot - ROW / 2, []
    for measure in _measures(drawing, layout):
        y += ROW
        strokes.append(_dimension(measure, foot, y))
    return "".join(strokes), y + ROW / 2 + 4


def _dimension(measure: Measure, foot: float, y: float) -> str:
    """Extension lines from below the parts, arrows (from outside where there is no room), the words."""
    start, end = measure.span
    is_narrow = end - start < 2 * svg.ARROW_LENGTH + 4
    out = 2 * svg.ARROW_LENGTH if is_narrow else 0
    turns = (0, 180) if is_narrow else (180, 0)
    strokes = [svg.line((x, foot), (x, y + 5), class_="fb-extension") for x in measure.span]
    strokes.append(svg.line((start, y), (end, y), class_=f"fb-{measure.name}"))
    if is_narrow:
        strokes += [
            svg.line((start - out, y), (start, y), class_="fb-extension"),
            svg.line((end, y), (end + out, y), class_="fb-extension"),
        ]
    strokes += [svg.arrow_head((x, y), turn) for x, turn in zip(measure.span, turns, strict=True)]
    right = max(measure.beside, MARGIN / 2 + len(measure.label) * SIGN_WIDTH)
    strokes.append(
        svg.text(
            (right, y + 6),
            measure.label,
            class_=f"fb-{measure.name}-label",
            size=svg.SMALL + 1,
            anchor="end",
        )
    )
    return "".join(strokes)


def _measures(drawing: SetUpDrawing, layout: Layout) -> Iterator[Measure]:
    """What is known of stop, insertion, ferrule and dies."""
    stop, dies, end = stop_thickness(layout), layout.dies, drawing.end

    def shown(what: str, mm: Decimal) -> str:
        return f"{what} {show_length(mm, drawing.unit)}"

    if stop is not None and stop.part.thickness_mm is not None:
        label = shown("stop", stop.part.thickness_mm)
        yield Measure("stop-thickness", (stop.left, stop.right), label, stop.left - ROW)
    if dies is None:
        return
    beside = dies.left - 12
    if end is not None:
        at = Stations(end, dies, layout.scale)
        beside = min(beside, at.ferrule[0] - 12)
        label = shown("hose in", end.insertion_mm)
        yield Measure("insertion", (at.hose_end, at.mouth), label, beside)
        if end.ferrule_mm is not None:
            label = shown("ferrule", end.ferrule_mm)
            yield Measure("ferrule-length", at.ferrule, label, beside)
    if dies.part.thickness_mm is not None:
        label = shown("dies", dies.part.thickness_mm)
        yield Measure("dies-length", (dies.left, dies.right), label, beside)
