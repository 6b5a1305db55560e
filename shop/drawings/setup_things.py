"""What the drawing of a set-up knows: the parts as the workshop typed them, and the end that goes in."""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.engineering.lengths import LengthUnit, show_length
from shop.engineering.stop_geometry import Tapers

_FACING = re.compile(r"\b(?:towards?|to) the (?P<side>ram|hose)$", re.IGNORECASE)
_DENIED = re.compile(r"\b(?:not|never|away|from)\b", re.IGNORECASE)


class Light(StrEnum):
    """Whether a labelled thing was scanned, is scanned next, or neither."""

    OFF = ""
    ASKED = "asked"
    THERE = "there"


class Labelled(StrEnum):
    """Which labelled tool a part is."""

    NEITHER = ""
    DIES = "dies"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class PartDrawing:
    """One part, in order from the ram to the hose. Measures in mm, None if not known.

    Thickness is along the hose's axis; `outside_mm` is the largest diameter, `bore_mm` the opening.
    """

    position: int
    role: str
    mark: str
    attitude: str
    thickness_mm: Decimal | None
    outside_mm: Decimal | None = None
    bore_mm: Decimal | None = None
    tool: Labelled = Labelled.NEITHER
    light: Light = Light.OFF

    def words(self, unit: LengthUnit) -> str:
        """Everything that is known of it, for reading."""
        measures = [
            "thickness not known" if self.thickness_mm is None else _mm(self.thickness_mm, unit, "thick")
        ]
        if self.outside_mm is not None:
            measures.append(_mm(self.outside_mm, unit, "outside"))
        if self.bore_mm is not None:
            measures.append(_mm(self.bore_mm, unit, "open in the middle"))
        return ", ".join(words for words in (self.role, self.mark, self.attitude, *measures) if words)


def _mm(value: Decimal, unit: LengthUnit, what: str) -> str:
    return f"{show_length(value, unit)} {what}"


@dataclass(frozen=True, slots=True)
class Dies:
    """What the dies slide in, and how far they close (mm). None: not known.

    `has_cone` False is dies that are pushed straight in; `tapers` is then None. One cone narrows away
    from the ram, or pushing would open the dies. `taper_deg` is to the axis.
    """

    has_cone: bool | None = None
    tapers: Tapers | None = None
    taper_deg: Decimal | None = None
    closed_mm: Decimal | None = None


@dataclass(frozen=True, slots=True)
class EndInDies:
    """The end of the hose as it lies in the dies; lengths and diameters in mm.

    The ferrule's length is None if it is part of its fitting and so not known by itself.
    """

    hose_od_mm: Decimal
    hose_bore_mm: Decimal
    ferrule_mm: Decimal | None
    insertion_mm: Decimal
    crimp_mm: Decimal

    @property
    def drawn_ferrule_mm(self) -> Decimal:
        """Its length, or for a symbol of it the insertion depth, which it can't be shorter than."""
        return self.insertion_mm if self.ferrule_mm is None else self.ferrule_mm


@dataclass(frozen=True, slots=True)
class StopValue:
    """What a dial or a key pad is told: where the setter starts, and what that comes from."""

    is_dial: bool
    words: str


@dataclass(frozen=True, slots=True)
class SetUpDrawing:
    """A whole set-up. Without `end`, the hose alone shows where it leaves."""

    parts: tuple[PartDrawing, ...]
    take_out: tuple[str, ...] = ()
    dies: Dies = Dies()
    end: EndInDies | None = None
    stop: StopValue | None = None
    ram: Light = Light.OFF
    unit: LengthUnit = LengthUnit.MM

    @property
    def in_order(self) -> list[PartDrawing]:
        return sorted(self.parts, key=lambda part: part.position)


def facing(attitude: str) -> str | None:
    """`ram` or `hose` if the words end so ("small end towards the hose"), None if they don't say."""
    found = _FACING.search(attitude.strip().rstrip("."))
    if not found or _DENIED.search(attitude):
        return None
    return found["side"].lower()


def title_of(drawing: SetUpDrawing) -> str:
    """What the drawing shows, in words, for who can't see it."""
    listed = "; ".join(f"{part.position}: {_told(part, drawing.unit)}" for part in drawing.in_order)
    words = [f"Set-up of the crimper from the ram to the hose: {listed or 'no parts'}"]
    if drawing.stop is not None:
        words.append(drawing.stop.words)
    if drawing.take_out:
        words.append(f"take out: {', '.join(drawing.take_out)}")
    return "; ".join(words)


def _told(part: PartDrawing, unit: LengthUnit) -> str:
    light = {Light.OFF: "", Light.ASKED: ", to be scanned now", Light.THERE: ", scanned"}[part.light]
    return part.words(unit) + light
