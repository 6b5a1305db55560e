"""The few strokes that the drawings are made of. Coordinates are in drawing units, y pointing down."""

import math
import textwrap
from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

FONT = "system-ui, 'Noto Sans', 'DejaVu Sans', sans-serif"
TEXT, SMALL, LEADING = 19.0, 16.0, 1.3
THICK, MEDIUM, THIN = 2.5, 1.75, 1.0
CHAIN, HIDDEN = "16 4 3 4", "6 4"
ARROW_LENGTH, ARROW_HALF = 12.0, 3.2

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate with at most three decimals, without trailing zeros: `12.5`, `-0.333`, `0`."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def cosine(angle_deg: float) -> float:
    """The cosine of an angle in degrees: nought at a right angle, not the crumb that pi's rounding leaves."""
    return round(math.cos(math.radians(angle_deg)), 12)


def element(name: str, content: str | None = None, **attributes: str | float | None) -> str:
    """One element; `class_` is written `class`, other underscores become hyphens, None is left out.

    `content` is markup: text has to be escaped by the caller.
    """
    written = ""
    for key, value in attributes.items():
        if value is not None:
            shown = value if isinstance(value, str) else number(value)
            written += f" {key.rstrip('_').replace('_', '-')}={quoteattr(shown)}"
    return f"<{name}{written}/>" if content is None else f"<{name}{written}>{content}</{name}>"


def line(start: Point, end: Point, *, class_: str, width: float = THIN, dash: str | None = None) -> str:
    return element(
        "line",
        class_=class_,
        x1=start[0],
        y1=start[1],
        x2=end[0],
        y2=end[1],
        stroke_width=width,
        stroke_dasharray=dash,
    )


def path(d: str, *, class_: str, width: float = MEDIUM, dash: str | None = None, fill: str = "none") -> str:
    return element("path", class_=class_, d=d, stroke_width=width, stroke_dasharray=dash, fill=fill)


def circle(
    centre: Point, radius: float, *, class_: str, width: float = MEDIUM, dash: str | None = None
) -> str:
    return element(
        "circle",
        class_=class_,
        cx=centre[0],
        cy=centre[1],
        r=radius,
        stroke_width=width,
        stroke_dasharray=dash,
    )


def rectangle(
    corner: Point,
    width: float,
    height: float,
    *,
    class_: str,
    stroke: float = MEDIUM,
    dash: str | None = None,
) -> str:
    """A rectangle from its upper left corner; a width or height below nought is an error of the caller."""
    return element(
        "rect",
        class_=class_,
        x=corner[0],
        y=corner[1],
        width=width,
        height=height,
        stroke_width=stroke,
        stroke_dasharray=dash,
    )


def text(
    at: Point, content: str, *, class_: str, size: float = TEXT, anchor: str = "middle", bold: bool = False
) -> str:
    """A line of text; `anchor` is start, middle or end."""
    return element(
        "text",
        escape(content),
        class_=class_,
        x=at[0],
        y=at[1],
        font_size=size,
        text_anchor=anchor,
        font_weight="600" if bold else None,
        fill="currentColor",
        stroke="none",
    )


def paragraph(
    at: Point,
    lines: Sequence[str],
    *,
    class_: str,
    size: float = SMALL,
    anchor: str = "start",
    bold: bool = False,
) -> str:
    """Lines of text under each other, the first on the height of `at`."""
    return "".join(
        text((at[0], at[1] + i * size * LEADING), words, class_=class_, size=size, anchor=anchor, bold=bold)
        for i, words in enumerate(lines)
    )


def wrapped(content: str, columns: int) -> list[str]:
    """`content` in lines of at most `columns` characters; a longer word is broken, none is lost."""
    return textwrap.wrap(content, columns) or [""]


def polyline(points: Iterable[Point], *, close: bool = False) -> str:
    """The path data of straight strokes through `points`."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if close else "")


def arrow_head(tip: Point, direction_deg: float, *, class_: str = "fb-arrow") -> str:
    """A slim filled arrow head whose tip points to `direction_deg` (0 right, 90 down)."""
    turn = math.radians(direction_deg)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    corners = [
        (
            tip[0] - ARROW_LENGTH * along[0] + side * ARROW_HALF * across[0],
            tip[1] - ARROW_LENGTH * along[1] + side * ARROW_HALF * across[1],
        )
        for side in (1, -1)
    ]
    return element(
        "path", class_=class_, d=polyline([tip, *corners], close=True), fill="currentColor", stroke="none"
    )


def dimension(start: Point, end: Point, y: float, label: str, *, name: str, label_size: float = TEXT) -> str:
    """A level dimension at height `y` between the two points, with extension lines and arrows.

    `name` makes the classes: `fb-<name>` on the line, `fb-<name>-label` on the figure.
    """
    strokes = []
    for x, from_y in (start, end):
        away = math.copysign(5, y - from_y)
        strokes.append(line((x, from_y + away), (x, y + away), class_="fb-extension"))
    strokes.append(line((start[0], y), (end[0], y), class_=f"fb-{name}"))
    strokes.append(arrow_head((start[0], y), 180))
    strokes.append(arrow_head((end[0], y), 0))
    middle = ((start[0] + end[0]) / 2, y - 7)
    strokes.append(text(middle, label, class_=f"fb-{name}-label", size=label_size))
    return "".join(strokes)


def hatching(left: float, top: float, width: float, height: float, *, class_: str, gap: float = 7) -> str:
    """Strokes at 45 degrees that fill a rectangle, as a section or a zone is hatched."""
    strokes = []
    offset = gap / 2
    while offset < width + height:
        start = (left + min(offset, width), top + max(0.0, offset - width))
        end = (left + max(0.0, offset - height), top + min(offset, height))
        strokes.append(f"M{number(start[0])} {number(start[1])}L{number(end[0])} {number(end[1])}")
        offset += gap
    return path("".join(strokes), class_=class_, width=0.8)


def document(
    width: float, height: float, title: str, body: Iterable[str], *, class_: str, role: str = "img"
) -> str:
    """A whole drawing: its title is what a screen reader says and what floats over it.

    One that holds links is no picture but a group of them.
    """
    return element(
        "svg",
        element("title", escape(title)) + "".join(body),
        xmlns="http://www.w3.org/2000/svg",
        class_=class_,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role=role,
        aria_label=title,
        fill="none",
        stroke="currentColor",
        font_family=FONT,
        stroke_linejoin="round",
    )
