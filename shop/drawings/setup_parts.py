"""The strokes of a set-up's parts: rings in section, hatched where they are known, lit when scanned."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from shop.drawings import svg
from shop.drawings.setup_layout import BALLOON, ROOM, Layout, Place
from shop.drawings.setup_things import Labelled, Light, facing
from shop.drawings.svg import Point

LIT = 0.16  # how opaque a part is filled once it was scanned
SHORTEST, LONGEST = 8.0, 16.0  # half an arrow that says which way a part faces
BESIDE = 15.0  # from the parts to the arrows that say which way they face


def draw_part(place: Place, layout: Layout) -> str:
    """A ring in section above and below the axis, its balloon, and an arrow for the way it faces."""
    strokes = [_half(place, layout.axis, side) for side in (-1, 1)]
    strokes.append(_balloon(place, layout))
    strokes.append(_arrow(place, layout))
    light = place.part.light
    classes = f"fb-stack fb-stack-{place.part.position}" + (f" fb-{light}" if light else "")
    return svg.element("g", "".join(strokes), class_=classes)


def _half(place: Place, axis: float, side: int) -> str:
    """Everything of the part on one side of the axis."""
    outline = [(x, axis + side * radius) for x, radius in place.outline]
    corners = [*outline, (place.right, axis + side * place.inner), (place.left, axis + side * place.inner)]
    strokes = []
    if place.part.light is Light.THERE:
        strokes.append(_filled(corners))
    if place.is_whole or place.knows_thickness:
        gap = 7 if place.part.position % 2 else 10  # neighbours in section are hatched differently
        strokes.append(svg.path("".join(hatches(corners, gap)), class_="fb-section", width=0.8))
    width = svg.MEDIUM if place.part.light is Light.OFF else svg.THICK
    for x, (_, radius) in ((place.left, place.outline[0]), (place.right, place.outline[-1])):
        strokes.append(
            svg.line(
                (x, axis + side * place.inner),
                (x, axis + side * radius),
                class_="fb-face",
                width=width,
                dash=_dash(place.knows_thickness),
            )
        )
    strokes.append(
        svg.path(
            svg.polyline(outline),
            class_="fb-slide" if place.slides else "fb-outside",
            width=svg.THICK * 1.4 if place.slides else width,
            dash=_dash(place.knows_outside),
        )
    )
    inner = [(x, axis + side * place.inner) for x in (place.left, place.right)]
    strokes.append(
        svg.line(inner[0], inner[1], class_="fb-opening", width=width, dash=_dash(place.knows_bore))
    )
    return "".join(strokes)


def _dash(is_known: bool) -> str | None:
    return None if is_known else svg.HIDDEN


def _filled(corners: Sequence[Point]) -> str:
    return svg.element(
        "path",
        class_="fb-lit",
        d=svg.polyline(corners, close=True),
        fill="currentColor",
        fill_opacity=LIT,
        stroke="none",
    )


def hatches(corners: Sequence[Point], gap: float) -> Iterator[str]:
    """Path data of strokes at 45 degrees that fill a convex outline, `gap` apart along the axis."""
    sums = [x + y for x, y in corners]
    at = min(sums) + gap / 2
    while at < max(sums):
        crossings = sorted(_crossings(corners, at))
        if len(crossings) > 1:
            yield svg.polyline([crossings[0], crossings[-1]])
        at += gap


def _crossings(corners: Sequence[Point], at: float) -> Iterator[Point]:
    """Where the stroke on which x + y is `at` meets the outline."""
    for start, end in pairwise([*corners, corners[0]]):
        from_start, to_end = at - sum(start), sum(end) - sum(start)
        if to_end and 0 <= from_start / to_end <= 1:
            share = from_start / to_end
            yield (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _balloon(place: Place, layout: Layout) -> str:
    """The part's number over it; ticked once it was scanned, ringed twice while it is asked for."""
    part = place.part
    top = layout.axis - max(radius for _, radius in place.outline)
    centre = (place.middle, layout.axis - layout.outer - ROOM * (0.8 + place.level))
    strokes = [
        svg.line((centre[0], centre[1] + BALLOON), (centre[0], top), class_="fb-leader"),
        svg.circle(centre, BALLOON, class_="fb-balloon"),
        svg.text((centre[0], centre[1] + 6), str(part.position), class_="fb-balloon-number", size=svg.SMALL),
    ]
    if part.light is Light.ASKED:
        strokes.append(svg.circle(centre, BALLOON + 4, class_="fb-asked-ring", width=svg.THICK))
    if part.light is Light.THERE:
        strokes.append(tick((centre[0] + BALLOON - 2, centre[1] - BALLOON - 2)))
    return "".join(strokes)


def tick(at: Point) -> str:
    """The sign that something was scanned."""
    x, y = svg.number(at[0]), svg.number(at[1])
    return svg.path(f"M{x} {y}l4 5l8 -11", class_="fb-tick", width=3)


def _arrow(place: Place, layout: Layout) -> str:
    """Which way the part faces, under it."""
    side = facing(place.part.attitude)
    if side is None:
        return ""
    sign, direction = (-1, 180) if side == "ram" else (1, 0)
    y, x = layout.axis + layout.outer + BESIDE, place.middle
    half = max(SHORTEST, min(LONGEST, (place.right - place.left) / 2 - 2))
    shaft = svg.line(
        (x - sign * half, y), (x + sign * (half - 2), y), class_=f"fb-faces-{side}", width=svg.MEDIUM
    )
    return shaft + svg.arrow_head((x + sign * half, y), direction)


def stop_thickness(layout: Layout) -> Place | None:
    """The stop part, if the workshop named it and knows its thickness."""
    return next(
        (place for place in layout.places if place.part.tool is Labelled.STOP and place.knows_thickness), None
    )
