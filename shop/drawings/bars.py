"""Pressures as level bars on one scale from nought: what is asked, and what stands against it."""

from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.axis import Axis, level_axis

WIDTH, LEFT, RIGHT, TOP = 560.0, 18.0, 40.0, 14.0
ROW, BAR, WORDS = 56.0, 16.0, 24.0
BEYOND = Decimal("1.04")


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: `parts` stand end to end and make its length, in the unit of the scale.

    `words` stand above it and say its figure. A bar that only warns is hatched.
    """

    name: str
    words: str
    parts: tuple[Decimal, ...]
    is_hatched: bool = False

    @property
    def length(self) -> Decimal:
        return sum(self.parts, Decimal(0))


@dataclass(frozen=True, slots=True)
class BarsDrawing:
    """Bars under each other. `limit` is a stroke across each of them."""

    title: str
    label: str
    bars: tuple[Bar, ...]
    limit: Decimal | None = None


def draw_bars(d: BarsDrawing) -> str:
    """The bars as SVG, to one scale."""
    longest = max([*(bar.length for bar in d.bars), *([d.limit] if d.limit is not None else [])])
    axis = Axis(Decimal(0), longest * BEYOND, LEFT, WIDTH - RIGHT)
    bottom = TOP + ROW * len(d.bars)
    body = [_bar(bar, TOP + ROW * row, axis) for row, bar in enumerate(d.bars)]
    if d.limit is not None:
        body += [_limit(axis.place(d.limit), TOP + ROW * row) for row in range(len(d.bars))]
    body.append(level_axis(axis, bottom, d.label))
    return svg.document(WIDTH, bottom + 58, d.title, body, class_="fb-bars")


def _limit(x: float, top: float) -> str:
    """Across one bar only: through the words it would be in the way."""
    return svg.line((x, top + WORDS - 4), (x, top + WORDS + BAR + 4), class_="fb-limit", width=2 * svg.THICK)


def _bar(bar: Bar, top: float, axis: Axis) -> str:
    """The words, and below them each part of the bar."""
    strokes = [
        svg.text(
            (LEFT, top + WORDS - 9), bar.words, class_=f"fb-{bar.name}-words", size=svg.SMALL, anchor="start"
        )
    ]
    begins = Decimal(0)
    for part in bar.parts:
        left, right = axis.place(begins), axis.place(begins + part)
        strokes.append(svg.rectangle((left, top + WORDS), right - left, BAR, class_=f"fb-{bar.name}"))
        begins += part
    if bar.is_hatched:
        width = axis.place(bar.length) - LEFT
        strokes.append(svg.hatching(LEFT, top + WORDS, width, BAR, class_=f"fb-{bar.name}-hatching"))
    return "".join(strokes)
