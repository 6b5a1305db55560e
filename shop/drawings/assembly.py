"""An assembly in side view, drawn to the proportions of that very assembly."""

from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.bends import outward_mm
from shop.drawings.clock import draw_clock
from shop.drawings.ends import draw_end
from shop.drawings.frame import FERRULE_RADIUS, NUT_RADIUS, OVERHANG, EndDrawing, Frame, mouth_mm
from shop.engineering.numbers import plain

__all__ = ["AssemblyDrawing", "EndDrawing", "draw_assembly"]

WIDTH, MARGIN = 560.0, 18.0
MOST_OD, MOST_HEIGHT = 92.0, 270.0  # drawing units, so that a short thick assembly stays on the sheet
LONGEST = 14.0  # diameters of hose that are drawn to length; a longer hose gets a break
TOP, ROW, NOTE = 46.0, 30.0, 24.0
CLOCK_RADIUS = 46.0
COLUMNS, COLUMNS_BESIDE_CLOCK = 22, 17  # characters in a line of an end's label


@dataclass(frozen=True, slots=True)
class AssemblyDrawing:
    """An assembly as the drawing needs it: lengths in mm, orientation in degrees, or None.

    The labels are lengths as a person reads them, with their unit; ends are A on the left, B on the right.
    """

    hose_od_mm: Decimal
    bore_mm: Decimal
    overall_mm: Decimal
    cut_mm: Decimal
    end_a: EndDrawing
    end_b: EndDrawing
    orientation_deg: Decimal | None
    overall_label: str
    cut_label: str

    @property
    def is_broken(self) -> bool:
        """Whether the hose is too long to draw to length."""
        return self.drawn_overall_mm < self.overall_mm

    @property
    def drawn_overall_mm(self) -> Decimal:
        """Overall length as drawn: the true one, or one shortened in the middle of the hose."""
        ends = sum(end.cut_off_mm + end.insertion_mm for end in (self.end_a, self.end_b))
        return min(self.overall_mm, max(self.hose_od_mm * Decimal(LONGEST), ends + 3 * self.hose_od_mm))


@dataclass(frozen=True, slots=True)
class _Layout:
    """Both ends in place on the sheet, and how far the parts reach above and below the axis."""

    a: Frame
    b: Frame
    above: float
    below: float

    @property
    def axis(self) -> float:
        return self.a.datum[1]

    @property
    def overall_y(self) -> float:
        return self.axis + self.below + 38


def draw_assembly(d: AssemblyDrawing) -> str:
    """The drawing as SVG: hose, ferrules, ends, overall and cut length, orientation as a clock face.

    Diameters, ferrules and ends are to one scale. A hose longer than `LONGEST` diameters is broken in
    the middle, and the drawing says that it is not to length.
    """
    layout = _lay_out(d)
    clock_top = layout.overall_y + ROW
    body = [
        _hose(d, layout),
        draw_end(d.end_a, layout.a),
        draw_end(d.end_b, layout.b),
        _axis(layout),
        _dimensions(d, layout),
    ]
    labels, height = _labels(d, clock_top + 14)
    body.append(labels)
    if d.orientation_deg is not None:
        centre = (WIDTH / 2, clock_top + 34 + CLOCK_RADIUS)
        body.append(draw_clock(centre, CLOCK_RADIUS, d.orientation_deg, "A", "B"))
        caption = "seen from A, counter-clockwise"
        body.append(
            svg.text((centre[0], centre[1] + CLOCK_RADIUS + 44), caption, class_="fb-note", size=svg.SMALL)
        )
        height = max(height, centre[1] + CLOCK_RADIUS + 56)
    return svg.document(WIDTH, height, title_of(d), body, class_="fb-assembly")


def title_of(d: AssemblyDrawing) -> str:
    """What the drawing shows, in words, for who can't see it."""
    words = [f"Hose assembly, {d.overall_label} overall, hose cut to {d.cut_label}"]
    for letter, end in (("A", d.end_a), ("B", d.end_b)):
        unknown = ", drop not known" if end.is_bent and not end.drop_mm else ""
        words.append(f"end {letter}: {end.label}, {end.form}, {end.connection}{unknown}")
    if d.orientation_deg is not None:
        words.append(f"end B {plain(d.orientation_deg)}° counter-clockwise from end A, seen from A")
    if d.is_broken:
        words.append("not to length")
    return "; ".join(words)


def _lay_out(d: AssemblyDrawing) -> _Layout:
    od, overall = float(d.hose_od_mm), float(d.drawn_overall_mm)
    orientation = float(d.orientation_deg or 0)
    reaches = [_reach(d.end_a, od, 0.0), _reach(d.end_b, od, orientation)]
    above, below = max(up for up, _ in reaches), max(down for _, down in reaches)
    beyond = max([OVERHANG * od] + [outward_mm(end, od) for end in (d.end_a, d.end_b) if end.is_bent])
    scale = min((WIDTH - 2 * MARGIN) / (overall + 2 * beyond), MOST_OD / od, MOST_HEIGHT / (above + below))
    axis = TOP + 24 + above * scale
    # 'not to length' stands between the hose and the overall length.
    note = od * FERRULE_RADIUS * scale + NOTE if d.is_broken else 0.0
    left = (WIDTH - overall * scale) / 2
    return _Layout(
        Frame("a", (left, axis), scale, -1, od),
        Frame("b", (left + overall * scale, axis), scale, 1, od, orientation),
        above * scale,
        max(below * scale, note),
    )


def _reach(end: EndDrawing, od: float, orientation_deg: float) -> tuple[float, float]:
    """How far an end reaches above and below the axis, in mm."""
    thick = max(FERRULE_RADIUS, NUT_RADIUS) * od
    if not end.is_bent:
        return thick, thick
    down = end.drawn_drop_mm(od) * svg.cosine(orientation_deg)
    return max(thick, NUT_RADIUS * od - down), max(thick, NUT_RADIUS * od + down)


def _hose(d: AssemblyDrawing, layout: _Layout) -> str:
    """Outside and bore between the ferrules' mouths, in two halves if the hose is broken."""
    left, right = layout.a.at(mouth_mm(d.end_a), 0)[0], layout.b.at(mouth_mm(d.end_b), 0)[0]
    scale = layout.a.scale
    half_gap = 9.0 if d.is_broken else 0.0
    middle = (left + right) / 2
    runs = [(left, middle - half_gap), (middle + half_gap, right)] if d.is_broken else [(left, right)]
    strokes = []
    for class_, diameter, width, dash in (
        ("fb-hose", d.hose_od_mm, svg.THICK, None),
        ("fb-bore", d.bore_mm, svg.THIN, svg.HIDDEN),
    ):
        for side in (-1, 1):
            y = layout.axis + side * float(diameter) / 2 * scale
            strokes += [svg.line((x1, y), (x2, y), class_=class_, width=width, dash=dash) for x1, x2 in runs]
    if d.is_broken:
        radius = float(d.hose_od_mm) / 2 * scale
        strokes += [_break(x, layout.axis, radius) for x in (middle - half_gap, middle + half_gap)]
    return "".join(strokes)


def _break(x: float, axis: float, radius: float) -> str:
    """The wavy edge that says: here a length was left out."""
    n, sway = svg.number, 7
    return svg.path(
        f"M{n(x)} {n(axis - radius)}Q{n(x + sway)} {n(axis - radius / 2)} {n(x)} {n(axis)}"
        f"T{n(x)} {n(axis + radius)}",
        class_="fb-break",
        width=svg.THIN,
    )


def _axis(layout: _Layout) -> str:
    reach = OVERHANG * layout.a.od_mm
    return svg.line(layout.a.at(reach, 0), layout.b.at(reach, 0), class_="fb-axis", dash=svg.CHAIN)


def _dimensions(d: AssemblyDrawing, layout: _Layout) -> str:
    """Cut length above, between the hose's ends; overall length below, between the datums."""
    a, b, radius = layout.a, layout.b, float(d.hose_od_mm) * FERRULE_RADIUS
    cut = svg.dimension(
        a.at(float(-d.end_a.cut_off_mm), -radius),
        b.at(float(-d.end_b.cut_off_mm), -radius),
        TOP,
        f"cut {d.cut_label}",
        name="cut",
    )
    overall = svg.dimension(
        _datum_point(d.end_a, a), _datum_point(d.end_b, b), layout.overall_y, d.overall_label, name="overall"
    )
    if not d.is_broken:
        return cut + overall
    below = (WIDTH / 2, layout.axis + (radius * a.scale) + 20)
    return cut + overall + svg.text(below, "not to length", class_="fb-note", size=svg.SMALL)


def _datum_point(end: EndDrawing, frame: Frame) -> svg.Point:
    """Where the extension line of the overall length begins."""
    if end.is_bent:
        return frame.at(0, max(0.0, end.drawn_drop_mm(frame.od_mm) * svg.cosine(frame.orientation_deg)))
    return frame.at(0, NUT_RADIUS * frame.od_mm)


def _labels(d: AssemblyDrawing, top: float) -> tuple[str, float]:
    """Letter, name, connection and form of each end under its side of the drawing; and where they end."""
    strokes, most = [], 0
    columns = COLUMNS if d.orientation_deg is None else COLUMNS_BESIDE_CLOCK
    for letter, end, edge, anchor, inward in (
        ("A", d.end_a, MARGIN, "start", 1),
        ("B", d.end_b, WIDTH - MARGIN, "end", -1),
    ):
        badge = (edge + inward * 14, top - 6)
        lines = [
            words
            for content in (end.label, end.connection, end.form)
            for words in svg.wrapped(content, columns)
        ]
        most = max(most, len(lines))
        strokes.append(svg.circle(badge, 14, class_="fb-badge"))
        strokes.append(svg.text((badge[0], top), letter, class_="fb-badge-letter", size=svg.SMALL, bold=True))
        strokes.append(
            svg.paragraph((edge + inward * 36, top), lines, class_=f"fb-end-{letter.lower()}", anchor=anchor)
        )
    return "".join(strokes), top + most * svg.SMALL * svg.LEADING
