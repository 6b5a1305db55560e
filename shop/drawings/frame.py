"""Where an end of an assembly stands on the drawing, and what the drawing knows of it.

What the data give is drawn to scale: hose, ferrule, insertion, cut-off, angle and drop. What no data
give (the nut, the fitting's tube) is drawn in a fixed proportion to the hose's outside diameter, as a
symbol.
"""

from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.svg import Point

# Proportions of symbols to the hose's outside diameter.
FERRULE_RADIUS = 0.58
NUT_RADIUS, NUT_LENGTH = 0.55, 0.5
TUBE_RADIUS = 0.3
BEND_RADIUS = 1.1
DROP = 1.9  # of a bent end whose drop nobody has entered
OVERHANG = 0.75  # room beyond the datum for what reaches past it


@dataclass(frozen=True, slots=True)
class EndDrawing:
    """An end as the drawing needs it: lengths in mm, angle in degrees (0 for straight, at most 180).

    `datum` is a value of `Datum`; `drop_mm` runs from the hose's axis to the centre of a bent end's
    face: None or nought if it is not known, and not looked at for a straight end. `form` and
    `connection` are words to show.
    """

    label: str
    form: str
    angle_deg: Decimal
    drop_mm: Decimal | None
    cut_off_mm: Decimal
    insertion_mm: Decimal
    datum: str
    connection: str
    ferrule_length_mm: Decimal

    @property
    def is_bent(self) -> bool:
        return self.angle_deg > 0

    def drawn_drop_mm(self, od_mm: float) -> float:
        """The drop, or that of a symbol for a hose of this outside diameter."""
        return float(self.drop_mm) if self.drop_mm else DROP * od_mm


@dataclass(frozen=True, slots=True)
class Frame:
    """Where an end stands: its datum on the hose's axis, and which way is out.

    `outwards` is -1 for the end on the left and 1 for the one on the right; `orientation_deg` turns a
    bent end counter-clockwise from six o'clock, seen from the left.
    """

    name: str
    datum: Point
    scale: float
    outwards: int
    od_mm: float
    orientation_deg: float = 0.0

    def at(self, out_mm: float, down_mm: float) -> Point:
        """Drawing units of a point `out_mm` beyond the datum and `down_mm` below the axis."""
        return (
            self.datum[0] + self.outwards * out_mm * self.scale,
            self.datum[1] + down_mm * self.scale,
        )

    def block(self, inner_mm: float, outer_mm: float, radius_mm: float, *, class_: str) -> str:
        """A body of revolution about the axis, between two stations beyond the datum."""
        inner, outer = self.at(inner_mm, -radius_mm), self.at(outer_mm, -radius_mm)
        return svg.rectangle(
            (min(inner[0], outer[0]), inner[1]),
            abs(outer[0] - inner[0]),
            2 * radius_mm * self.scale,
            class_=class_,
        )

    def level(self, inner_mm: float, outer_mm: float, radius_mm: float, *, class_: str) -> str:
        """Two thin lines along the axis, above and below it."""
        return "".join(
            svg.line(self.at(inner_mm, side * radius_mm), self.at(outer_mm, side * radius_mm), class_=class_)
            for side in (-1, 1)
        )


def mouth_mm(end: EndDrawing) -> float:
    """Station of the ferrule's mouth, where the hose comes into sight (mm beyond the datum: negative)."""
    return float(-end.cut_off_mm - end.insertion_mm)
