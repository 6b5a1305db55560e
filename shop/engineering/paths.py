"""The centreline of a hose in one plane, as straight lines and arcs that join without a kink.

Millimetres; x to the right and y up, angles in degrees counter-clockwise from x. For drawing to scale.
Geometry itself, which needs no source.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import require_finite

QUARTERS_DEG = (0.0, 90.0, 180.0, 270.0)
HALF_A_TURN_DEG = 180.0
_NOTHING_MM = 1e-6  # what is left of a length that is nought but for the last digits of a float


class Point(NamedTuple):
    x: float
    y: float

    def moved(self, length: float, heading_deg: float) -> "Point":
        """The place that is `length` (mm) away in a direction. Raises `NotANumber`."""
        require_finite(length, "length", "mm")
        require_finite(heading_deg, "direction", "°")
        heading = math.radians(heading_deg)
        return Point(self.x + length * math.cos(heading), self.y + length * math.sin(heading))


@dataclass(frozen=True, slots=True)
class Line:
    """A straight part; `flexible` is False for the metal of an end."""

    name: str
    start: Point
    end: Point
    flexible: bool

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)

    def corners(self) -> Iterator[Point]:
        """The points that can be the outermost of it."""
        yield from (self.start, self.end)


@dataclass(frozen=True, slots=True)
class Arc:
    """A bend of the centreline: from the angle `from_deg` about the centre on through `sweep_deg`
    (positive counter-clockwise, at most half a turn either way). Raises `NotANumber` or `OutOfRange`.
    """

    name: str
    centre: Point
    radius: float
    from_deg: float
    sweep_deg: float
    flexible: bool = True

    def __post_init__(self) -> None:
        require_finite(self.radius, f"radius of the {self.name}", "mm", 0)
        require_finite(self.from_deg, f"beginning of the {self.name}", "°")
        if abs(require_finite(self.sweep_deg, f"angle of the {self.name}", "°")) > HALF_A_TURN_DEG:
            raise OutOfRange(
                f"The {self.name} turns by {self.sweep_deg:g}°, more than half a turn.",
                argument=f"angle of the {self.name}",
                unit="°",
                allowed=f"-{HALF_A_TURN_DEG:g} to {HALF_A_TURN_DEG:g}°",
                got=self.sweep_deg,
            )

    @property
    def start(self) -> Point:
        return self.centre.moved(self.radius, self.from_deg)

    @property
    def end(self) -> Point:
        return self.centre.moved(self.radius, self.from_deg + self.sweep_deg)

    @property
    def length(self) -> float:
        return self.radius * math.radians(abs(self.sweep_deg))

    def corners(self) -> Iterator[Point]:
        """The points that can be the outermost of it: its ends, and where it runs along an axis."""
        yield from (self.start, self.end)
        low, high = sorted((self.from_deg, self.from_deg + self.sweep_deg))
        for quarter in QUARTERS_DEG:
            turns = math.ceil((low - quarter) / 360)
            if quarter + 360 * turns <= high:
                yield self.centre.moved(self.radius, quarter)


@dataclass(frozen=True, slots=True)
class Path:
    """The whole centreline from the datum of end A to that of end B."""

    segments: tuple[Line | Arc, ...]

    @property
    def start(self) -> Point:
        return self.segments[0].start

    @property
    def end(self) -> Point:
        return self.segments[-1].end

    @property
    def length(self) -> float:
        return sum(segment.length for segment in self.segments)

    @property
    def extent(self) -> tuple[Point, Point]:
        """The lower left and the upper right corner of the box that the centreline fills."""
        corners = [corner for segment in self.segments for corner in segment.corners()]
        xs, ys = [corner.x for corner in corners], [corner.y for corner in corners]
        return Point(min(xs), min(ys)), Point(max(xs), max(ys))


class Tracer:
    """Draws a path step by step, starting at the origin and heading along x."""

    def __init__(self) -> None:
        self._at = Point(0, 0)
        self._heading_deg = 0.0
        self._segments: list[Line | Arc] = []

    def ahead(self, name: str, length: float, *, flexible: bool = True) -> "Tracer":
        """Straight on; nothing for no length. Raises `NotANumber`, or `OutOfRange` for a negative one."""
        if abs(length) >= _NOTHING_MM or math.isnan(length):
            require_finite(length, f"length of the {name}", "mm", 0)
            end = self._at.moved(length, self._heading_deg)
            self._segments.append(Line(name, self._at, end, flexible))
            self._at = end
        return self

    def turn(self, name: str, radius: float, sweep_deg: float) -> "Tracer":
        """Round an arc, to the left if `sweep_deg` is positive. Raises as `Arc`."""
        side = 90 if sweep_deg > 0 else -90
        require_finite(radius, f"radius of the {name}", "mm", 0)
        centre = self._at.moved(radius, self._heading_deg + side)
        arc = Arc(name, centre, radius, self._heading_deg - side, sweep_deg)
        self._segments.append(arc)
        self._at, self._heading_deg = arc.end, self._heading_deg + sweep_deg
        return self

    def path(self) -> Path:
        return Path(tuple(self._segments))
