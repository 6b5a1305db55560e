"""Each value as a dot above a scale, their mean with its interval, and the nought that was meant."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.drawings.axis import Axis, axis_over, level_axis

WIDTH, MARGIN, TOP = 560.0, 40.0, 40.0
DOT, STACK = 4.5, 11.0  # radius, and how far apart dots stand on each other
MEAN_ROOM = 34.0


@dataclass(frozen=True, slots=True)
class StripDrawing:
    """Values about nought, all in the unit of the label. Without a mean there is no interval."""

    title: str
    label: str
    values: tuple[Decimal, ...]
    mean: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    nought: str = "wanted"


def draw_strip(d: StripDrawing) -> str:
    """The values as SVG; those that fall together stand on each other."""
    interval = [value for value in (d.low, d.high) if value is not None]
    axis = axis_over([Decimal(0), *d.values, *interval], MARGIN, WIDTH - MARGIN)
    columns = [round(axis.place(value) / (2 * DOT)) for value in d.values]
    bottom = TOP + STACK * max(Counter(columns).values(), default=0) + MEAN_ROOM
    stacked: Counter[int] = Counter()
    dots = []
    for value, column in zip(d.values, columns, strict=True):
        y = bottom - MEAN_ROOM - DOT - STACK * stacked[column]
        stacked[column] += 1
        dots.append(svg.circle((axis.place(value), y), DOT, class_="fb-piece"))
    body = [_nought(d, axis, bottom), *dots, _mean(d, axis, bottom), level_axis(axis, bottom, d.label)]
    return svg.document(WIDTH, bottom + 58, d.title, body, class_="fb-strip")


def _nought(d: StripDrawing, axis: Axis, bottom: float) -> str:
    x = axis.place(Decimal(0))
    return svg.line((x, TOP - 12), (x, bottom), class_="fb-nought", dash=svg.CHAIN) + svg.text(
        (x, TOP - 18), d.nought, class_="fb-nought-label", size=svg.SMALL
    )


def _mean(d: StripDrawing, axis: Axis, bottom: float) -> str:
    """The mean as a tick, its interval as a bar with caps, below the dots."""
    if d.mean is None or d.low is None or d.high is None:
        return ""
    y = bottom - MEAN_ROOM / 2
    low, mean, high = (axis.place(value) for value in (d.low, d.mean, d.high))
    caps = "".join(svg.line((x, y - 5), (x, y + 5), class_="fb-cap") for x in (low, high))
    return (
        svg.line((low, y), (high, y), class_="fb-interval", width=svg.MEDIUM)
        + caps
        + svg.line((mean, y - 8), (mean, y + 8), class_="fb-mean", width=3)
    )
