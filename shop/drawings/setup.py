"""What must be in a crimper together: its parts in order, in section, thicknesses to scale.

The parts, their roles, marks and attitudes are what the workshop typed. An arrow is drawn only where
the words say without doubt which way a part faces; the words are always shown as typed.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from statistics import median

from shop.drawings import svg
from shop.engineering.numbers import plain

WIDTH, MARGIN = 560.0, 18.0
AXIS, INNER, OUTER = 162.0, 26.0, 88.0
SPACE = 360.0  # for all parts together
MOST_SCALE = 6.0  # drawing units per mm, so that two thin rings do not fill the sheet
SYMBOL = 30.0  # width of a part if no thickness is known at all
COLUMNS, BOLD_COLUMNS = 54, 48

_FACING = re.compile(r"\b(?:towards?|to) the (?P<side>ram|hose)$", re.IGNORECASE)
_DENIED = re.compile(r"\b(?:not|never|away|from)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PartDrawing:
    """One part, in order from the ram to the hose. Thickness along the hose's axis in mm, if known."""

    position: int
    role: str
    mark: str
    attitude: str
    thickness_mm: Decimal | None


def facing(attitude: str) -> str | None:
    """`ram` or `hose` if the words end so ("small end towards the hose"), None if they don't say."""
    found = _FACING.search(attitude.strip().rstrip("."))
    if not found or _DENIED.search(attitude):
        return None
    return found["side"].lower()


def draw_setup(parts: Sequence[PartDrawing], take_out: tuple[str, ...] = ()) -> str:
    """The set-up as SVG: the ram on the left, the hose on the right, a numbered list of parts below.

    `take_out` names what must not be in the crimper.
    """
    ordered = sorted(parts, key=lambda part: part.position)
    widths = _widths(ordered)
    left = (WIDTH - sum(widths)) / 2
    edges = [left]
    for width in widths:
        edges.append(edges[-1] + width)
    body = [_surroundings(edges[0], edges[-1])]
    for part, (start, end) in zip(ordered, pairwise(edges), strict=True):
        body.append(_part(part, start, end))
    listed, bottom = _list(ordered, take_out)
    body.append(listed)
    return svg.document(WIDTH, bottom, title_of(ordered, take_out), body, class_="fb-setup")


def title_of(parts: Sequence[PartDrawing], take_out: tuple[str, ...]) -> str:
    """What the drawing shows, in words, for who can't see it."""
    listed = "; ".join(f"{part.position}: {_words(part)}" for part in parts) or "no parts"
    words = f"Set-up of the crimper from the ram to the hose: {listed}"
    return f"{words}; take out: {', '.join(take_out)}" if take_out else words


def _words(part: PartDrawing) -> str:
    thickness = "thickness not known" if part.thickness_mm is None else f"{plain(part.thickness_mm)} mm thick"
    return ", ".join(words for words in (part.role, part.mark, part.attitude, thickness) if words)


def _widths(parts: Sequence[PartDrawing]) -> list[float]:
    """Drawn thickness of each part: to one scale where known, a typical one where not."""
    known = [float(part.thickness_mm) for part in parts if part.thickness_mm is not None]
    if not known:
        return [SYMBOL] * len(parts)
    typical = median(known)
    thicknesses = [typical if part.thickness_mm is None else float(part.thickness_mm) for part in parts]
    scale = min(SPACE / sum(thicknesses), MOST_SCALE)
    return [thickness * scale for thickness in thicknesses]


def _surroundings(left: float, right: float) -> str:
    """The ram, the hose with its ferrule, and the axis through both."""
    ram_right, hose_left = left - 10, right + 10
    return (
        svg.line((MARGIN - 10, AXIS), (WIDTH - MARGIN + 10, AXIS), class_="fb-axis", dash=svg.CHAIN)
        + svg.path(
            svg.polyline(
                [(MARGIN, AXIS - 44), (ram_right, AXIS - 44), (ram_right, AXIS + 44), (MARGIN, AXIS + 44)]
            ),
            class_="fb-ram",
        )
        + svg.text(((MARGIN + ram_right) / 2, AXIS - 54), "ram", class_="fb-note", size=svg.SMALL)
        + svg.path(
            svg.polyline(
                [
                    (WIDTH - MARGIN, AXIS - 14),
                    (hose_left, AXIS - 14),
                    (hose_left, AXIS + 14),
                    (WIDTH - MARGIN, AXIS + 14),
                ]
            ),
            class_="fb-hose",
        )
        + svg.text(((hose_left + WIDTH - MARGIN) / 2, AXIS - 24), "hose", class_="fb-note", size=svg.SMALL)
    )


def _part(part: PartDrawing, start: float, end: float) -> str:
    """A ring in section, hatched if its thickness is known and dashed if not, with balloon and arrow."""
    middle, is_known = (start + end) / 2, part.thickness_mm is not None
    strokes = []
    for top in (AXIS - OUTER, AXIS + INNER):
        strokes.append(
            svg.rectangle(
                (start, top),
                end - start,
                OUTER - INNER,
                class_=f"fb-part fb-part-{part.position}",
                dash=None if is_known else svg.HIDDEN,
            )
        )
        if is_known:
            gap = 7 if part.position % 2 else 10  # neighbours in section are hatched differently
            strokes.append(svg.hatching(start, top, end - start, OUTER - INNER, class_="fb-section", gap=gap))
    balloon = (middle, AXIS - OUTER - 38 - (0 if part.position % 2 else 12))
    strokes += [
        svg.line((middle, balloon[1] + 13), (middle, AXIS - OUTER), class_="fb-leader"),
        svg.circle(balloon, 13, class_="fb-balloon"),
        svg.text(
            (balloon[0], balloon[1] + 6), str(part.position), class_="fb-balloon-number", size=svg.SMALL
        ),
        _arrow(part, middle),
    ]
    return "".join(strokes)


def _arrow(part: PartDrawing, middle: float) -> str:
    """Which way the part faces, under it."""
    side = facing(part.attitude)
    if side is None:
        return ""
    sign, direction = (-1, 180) if side == "ram" else (1, 0)
    y = AXIS + OUTER + 14
    return svg.line(
        (middle - sign * 14, y), (middle + sign * 14, y), class_=f"fb-faces-{side}", width=svg.MEDIUM
    ) + svg.arrow_head((middle + sign * 16, y), direction)


def _list(parts: Sequence[PartDrawing], take_out: tuple[str, ...]) -> tuple[str, float]:
    """The list of parts and of what must be out; and where it ends."""
    strokes, y = [], AXIS + OUTER + 50
    for part in parts:
        lines = svg.wrapped(_words(part), COLUMNS)
        strokes.append(svg.text((MARGIN + 14, y), str(part.position), class_="fb-list-number", bold=True))
        strokes.append(svg.paragraph((MARGIN + 42, y), lines, class_="fb-list", size=svg.SMALL + 1))
        y += len(lines) * (svg.SMALL + 1) * svg.LEADING + 8
    for words in take_out:
        lines = svg.wrapped(f"Take out: {words}", BOLD_COLUMNS)
        cross = f"M{svg.number(MARGIN + 8)} {svg.number(y - 12)}l12 12m0 -12l-12 12"
        strokes.append(svg.path(cross, class_="fb-take-out-sign", width=3))
        strokes.append(
            svg.paragraph((MARGIN + 42, y), lines, class_="fb-take-out", size=svg.SMALL + 1, bold=True)
        )
        y += len(lines) * (svg.SMALL + 1) * svg.LEADING + 8
    return "".join(strokes), y
