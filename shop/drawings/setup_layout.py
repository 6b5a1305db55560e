"""Where the parts of a set-up stand on the sheet: one scale along and across the axis.

What is not known gets the size of a symbol: a typical thickness, the outside of the largest part that
is known, an opening that lets the hose through.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from math import radians, tan
from statistics import median

from shop.drawings.setup_things import Dies, Labelled, PartDrawing, SetUpDrawing
from shop.drawings.svg import Point
from shop.engineering.stop_geometry import Tapers

WIDTH, MARGIN = 560.0, 18.0
SPACE, HOSE_SPACE = 340.0, 92.0  # for all parts together; for the hose where it leaves
MOST_SCALE = 6.0  # drawing units per mm, so that two thin rings do not fill the sheet
MOST_RADIUS = 165.0
SYMBOL, INNER, OUTER = 30.0, 26.0, 88.0  # width and radii of a part of which nothing is known
SYMBOL_TAPER_DEG = 8.0
THROUGH = 1.15  # of a symbol's opening to what goes through it
BALLOON, ROOM = 13.0, 30.0  # radius of a part's balloon; what one takes along the axis, and above it
VALUE_ROW = 48.0  # for a dial's value over the balloons


@dataclass(frozen=True, slots=True)
class Place:
    """A part on the sheet: its outline over the axis from left to right, radii in drawing units."""

    part: PartDrawing
    outline: tuple[Point, ...]  # along the axis, and the radius there
    inner: float
    knows_outside: bool
    knows_bore: bool
    slides: bool  # its outside is a cone that dies slide in
    level: int = 0  # of its balloon, so that those of thin neighbours don't cover each other

    @property
    def left(self) -> float:
        return self.outline[0][0]

    @property
    def right(self) -> float:
        return self.outline[-1][0]

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2

    @property
    def knows_thickness(self) -> bool:
        return self.part.thickness_mm is not None

    @property
    def is_whole(self) -> bool:
        """Whether nothing of it is a symbol."""
        return self.knows_thickness and self.knows_outside and self.knows_bore


@dataclass(frozen=True, slots=True)
class Layout:
    """The parts in place, the axis' height, and drawing units per mm."""

    places: tuple[Place, ...]
    axis: float
    outer: float
    scale: float

    @property
    def left(self) -> float:
        return self.places[0].left if self.places else WIDTH / 2

    @property
    def right(self) -> float:
        return self.places[-1].right if self.places else WIDTH / 2

    @property
    def dies(self) -> Place | None:
        """The part that the workshop named as the die set."""
        return next((place for place in self.places if place.part.tool is Labelled.DIES), None)


def lay_out(drawing: SetUpDrawing) -> Layout:
    """Every part in its place, in the middle of the sheet or a little to the right of it."""
    parts = drawing.in_order
    scale, widths = _along(drawing)
    edges = [min((WIDTH - sum(widths)) / 2, WIDTH - HOSE_SPACE - sum(widths))]
    for width in widths:
        edges.append(edges[-1] + width)
    across = _Across(drawing, scale)
    placed = [across.place(part, *span) for part, span in zip(parts, pairwise(edges), strict=True)]
    places = tuple(replace(place, level=level) for place, level in zip(placed, _levels(placed), strict=True))
    outer = max((radius for place in places for _, radius in place.outline), default=OUTER)
    top = ROOM * (1.5 + max((place.level for place in places), default=0))
    return Layout(places, top + outer + (0 if drawing.stop is None else VALUE_ROW), outer, scale)


def _levels(places: Sequence[Place]) -> Iterator[int]:
    """The lowest level for each balloon on which there is room beside the one before."""
    last: list[float] = []
    for place in places:
        level = next((n for n, x in enumerate(last) if place.middle - x >= ROOM), len(last))
        last[level : level + 1] = [place.middle]
        yield level


def _along(drawing: SetUpDrawing) -> tuple[float, list[float]]:
    """Drawing units per mm, and the width of each part."""
    known = [float(part.thickness_mm) for part in drawing.parts if part.thickness_mm is not None]
    largest = [float(part.outside_mm) for part in drawing.parts if part.outside_mm is not None]
    limits = [MOST_SCALE]
    if drawing.end is not None:
        largest.append(float(max(drawing.end.crimp_mm, drawing.end.hose_od_mm)))
    if largest:
        limits.append(2 * MOST_RADIUS / max(largest))
    if drawing.end is not None:
        typical = float(drawing.end.drawn_ferrule_mm) / 2
    elif known:
        typical = median(known)
    else:
        return min(limits), [SYMBOL] * len(drawing.parts)
    lengths = [_length(part, typical) for part in drawing.in_order]
    scale = min([*limits, *(SPACE / total for total in [sum(lengths)] if total)])
    return scale, [length * scale for length in lengths]


def _length(part: PartDrawing, typical: float) -> float:
    """Thickness, or that of a symbol; the symbol of the dies is longer than the ferrule in them."""
    if part.thickness_mm is not None:
        return float(part.thickness_mm)
    return 3 * typical if part.tool is Labelled.DIES else typical


class _Across:
    """Radii of the parts at that scale."""

    def __init__(self, drawing: SetUpDrawing, scale: float) -> None:
        self._dies, self._scale = drawing.dies, scale
        end = drawing.end
        self._opening = drawing.dies.closed_mm if end is None else end.crimp_mm
        through = None if end is None else max(end.crimp_mm, end.hose_od_mm)
        self._symbol_bore = INNER if through is None else self._radius(through) * THROUGH
        outsides = [self._radius(part.outside_mm) for part in drawing.parts if part.outside_mm is not None]
        self._symbol_outside = max(outsides, default=max(OUTER, 2 * self._symbol_bore))

    def _radius(self, diameter_mm: Decimal) -> float:
        return float(diameter_mm) / 2 * self._scale

    def place(self, part: PartDrawing, left: float, right: float) -> Place:
        is_dies = part.tool is Labelled.DIES
        bore = self._opening if is_dies else part.bore_mm
        inner = self._symbol_bore if bore is None else self._radius(bore)
        outside = self._symbol_outside if part.outside_mm is None else self._radius(part.outside_mm)
        knows = part.outside_mm is not None
        outline: tuple[Point, ...] = ((left, outside), (right, outside))
        slides = False
        if is_dies:
            outline, knows_taper = _cones(self._dies, outline, inner)
            slides = self._dies.tapers is not None
            knows = knows and knows_taper
        return Place(part, outline, inner, knows, bore is not None, slides)


def _cones(dies: Dies, straight: tuple[Point, ...], inner: float) -> tuple[tuple[Point, ...], bool]:
    """The dies' outline with its cones, and whether it is to scale.

    A taper that would leave nothing of the dies can't be right: it is drawn as a symbol.
    """
    if dies.tapers is None:
        return straight, dies.has_cone is False
    (left, outside), (right, _) = straight
    run = right - left if dies.tapers is Tapers.ONE else (right - left) / 2
    fall, knows = 0.0, False
    if dies.taper_deg is not None:
        fall = run * tan(radians(float(dies.taper_deg)))
        knows = outside - fall > inner
    if not knows:
        fall = min(run * tan(radians(SYMBOL_TAPER_DEG)), (outside - inner) / 2)
    if dies.tapers is Tapers.ONE:
        return ((left, outside), (right, outside - fall)), knows
    return ((left, outside - fall), ((left + right) / 2, outside), (right, outside - fall)), knows
