"""A genealogy: things in columns, with lines from what went in on the left to what became of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from shop.drawings import svg
from shop.drawings.svg import Point

BOX, BETWEEN, GAP, EDGE = 188.0, 42.0, 14.0, 8.0
HEADING, PADDING, BEHIND = 34.0, 9.0, 5.0
TITLE_COLUMNS, NOTE_COLUMNS = 19, 24  # characters that fit into a box, in bold too
TITLE, NOTE = 16.0, 14.0


@dataclass(frozen=True, slots=True)
class Box:
    """One thing, or several that are drawn as one: these have a second outline behind them.

    `key` is what lines name it by; a box with an `href` leads there.
    """

    key: str
    title: str
    note: str = ""
    href: str = ""
    is_subject: bool = False
    is_group: bool = False

    @property
    def titles(self) -> list[str]:
        return svg.wrapped(self.title, TITLE_COLUMNS)

    @property
    def notes(self) -> list[str]:
        return svg.wrapped(self.note, NOTE_COLUMNS) if self.note else []

    @property
    def height(self) -> float:
        lines = len(self.titles) * TITLE + len(self.notes) * NOTE
        return lines * svg.LEADING + 2 * PADDING


@dataclass(frozen=True, slots=True)
class BoxColumn:
    """Boxes under each other, and what they are."""

    heading: str
    boxes: tuple[Box, ...]

    @property
    def height(self) -> float:
        return sum(box.height for box in self.boxes) + GAP * (len(self.boxes) - 1)


@dataclass(frozen=True, slots=True)
class GenealogyDrawing:
    """Columns from left to right, and lines between keys of their boxes; a line may leap over a column."""

    title: str
    columns: tuple[BoxColumn, ...]
    lines: tuple[tuple[str, str], ...]


def draw_genealogy(d: GenealogyDrawing) -> str:
    """The columns as SVG, each centred on the tallest."""
    tallest = max((column.height for column in d.columns), default=0.0)
    body, corners = [], {}
    for number, column in enumerate(d.columns):
        left = EDGE + number * (BOX + BETWEEN)
        body.append(
            svg.text((left, HEADING - 14), column.heading, class_="fb-heading", size=NOTE, anchor="start")
        )
        top = HEADING + (tallest - column.height) / 2
        for box in column.boxes:
            corners[box.key] = (left, top, box.height)
            body.append(_box(box, (left, top)))
            top += box.height + GAP
    width = 2 * EDGE + len(d.columns) * (BOX + BETWEEN) - BETWEEN
    strokes = [_stroke(corners, start, end) for start, end in d.lines]
    return svg.document(
        width, HEADING + tallest + EDGE, d.title, [*strokes, *body], class_="fb-genealogy", role="group"
    )


def _box(box: Box, corner: Point) -> str:
    left, top = corner
    outline = svg.rectangle(
        corner, BOX, box.height, class_="fb-box", stroke=svg.THICK if box.is_subject else svg.THIN
    )
    behind = ""
    if box.is_group:
        right, bottom = left + BOX, top + box.height
        behind = svg.path(
            svg.polyline(
                [
                    (left + BEHIND, bottom),
                    (left + BEHIND, bottom + BEHIND),
                    (right + BEHIND, bottom + BEHIND),
                    (right + BEHIND, top + BEHIND),
                    (right, top + BEHIND),
                ]
            ),
            class_="fb-behind",
            width=svg.THIN,
        )
    first = top + PADDING + TITLE
    below = first + (len(box.titles) - 1) * TITLE * svg.LEADING + NOTE * svg.LEADING
    drawn = [
        behind,
        outline,
        svg.paragraph(
            (left + PADDING, first), box.titles, class_="fb-title", size=TITLE, bold=box.is_subject
        ),
        svg.paragraph((left + PADDING, below), box.notes, class_="fb-note", size=NOTE),
    ]
    return svg.element("a", "".join(drawn), href=box.href) if box.href else "".join(drawn)


def _stroke(corners: Mapping[str, tuple[float, float, float]], start: str, end: str) -> str:
    """From the right edge of one box to the left edge of the other. Raises `KeyError` for a key of none."""
    left, top, height = corners[start]
    x1, y1 = left + BOX, top + height / 2
    left, top, height = corners[end]
    x2, y2 = left, top + height / 2
    bend = BETWEEN / 2
    points = [svg.number(value) for value in (x1, y1, x1 + bend, y1, x2 - bend, y2, x2, y2)]
    return svg.path("M{} {}C{} {} {} {} {} {}".format(*points), class_="fb-line", width=svg.THIN)
