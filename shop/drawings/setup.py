"""What must be in a crimper together, in section and to one scale, with the end in its dies.

The ram is on the left, the hose leaves to the right. What the workshop typed is drawn along and across
the axis to one scale; what it did not type is dashed and has the size of a symbol. The dies are drawn
closed, at the end of the stroke. An arrow is drawn only where the words say without doubt which way a
part faces; the words stand beside the drawing as they were typed, and in its title.
"""

from collections.abc import Iterator

from shop.drawings import svg
from shop.drawings.setup_end import draw_dimensions, draw_end_in_dies
from shop.drawings.setup_layout import MARGIN, WIDTH, Layout, lay_out
from shop.drawings.setup_parts import draw_part, tick
from shop.drawings.setup_things import (
    Dies,
    EndInDies,
    Labelled,
    Light,
    PartDrawing,
    SetUpDrawing,
    StopValue,
    facing,
    title_of,
)

__all__ = [
    "Dies",
    "EndInDies",
    "Labelled",
    "Light",
    "PartDrawing",
    "SetUpDrawing",
    "StopValue",
    "draw_setup",
    "facing",
    "title_of",
]

RAM_HALF, HOSE_HALF, GAP = 44.0, 14.0, 10.0
SIGN = 13.0  # half the size of the sign of a dial or a key pad
COLUMNS = 50


def draw_setup(drawing: SetUpDrawing) -> str:
    """The set-up as SVG; a numbered balloon stands over each part."""
    layout = lay_out(drawing)
    body = [
        svg.line((MARGIN - 10, layout.axis), (WIDTH - 8, layout.axis), class_="fb-axis", dash=svg.CHAIN),
        _ram(drawing.ram, layout),
        *(draw_part(place, layout) for place in layout.places),
    ]
    if drawing.end is not None and layout.dies is not None:
        body.append(draw_end_in_dies(drawing.end, layout.dies, layout))
    else:
        body.append(_hose(layout))
    if drawing.stop is not None:
        body.append(_stop_value(drawing.stop))
    dimensions, bottom = draw_dimensions(drawing, layout)
    body.append(dimensions)
    for words in _not_to_scale(drawing, layout):
        bottom += 22
        body.append(svg.text((WIDTH / 2, bottom - 6), words, class_="fb-note", size=svg.SMALL))
    return svg.document(WIDTH, bottom, title_of(drawing), body, class_="fb-setup")


def _not_to_scale(drawing: SetUpDrawing, layout: Layout) -> Iterator[str]:
    """What is only a symbol, in words."""
    if not all(place.is_whole for place in layout.places):
        yield "broken outline: not known, not to scale"
    if drawing.end is not None and drawing.end.ferrule_mm is None:
        # Its broken outline lies along the dies and the hose, and so is hardly seen.
        yield "ferrule, drawn without section: its length is not known"


def _ram(light: Light, layout: Layout) -> str:
    """The ram of the crimper, open to the left since it goes on."""
    right, axis = layout.left - GAP, layout.axis
    corners = [(MARGIN, -RAM_HALF), (right, -RAM_HALF), (right, RAM_HALF), (MARGIN, RAM_HALF)]
    width = svg.MEDIUM if light is Light.OFF else svg.THICK
    middle = ((MARGIN + right) / 2, axis - RAM_HALF - 8)
    strokes = [
        svg.path(svg.polyline([(x, axis + y) for x, y in corners]), class_="fb-ram", width=width),
        svg.text(middle, "ram", class_="fb-note", size=svg.SMALL),
    ]
    if light is Light.THERE:
        strokes.append(tick((middle[0] + 18, middle[1] - 4)))
    return svg.element("g", "".join(strokes), class_=f"fb-press fb-{light}" if light else "fb-press")


def _hose(layout: Layout) -> str:
    """The hose where it leaves, as a symbol, if no end lies in the dies."""
    left, right, axis = layout.right + GAP, WIDTH - MARGIN, layout.axis
    corners = [(right, -HOSE_HALF), (left, -HOSE_HALF), (left, HOSE_HALF), (right, HOSE_HALF)]
    return svg.path(svg.polyline([(x, axis + y) for x, y in corners]), class_="fb-hose") + svg.text(
        ((left + right) / 2, axis - HOSE_HALF - 10), "hose", class_="fb-note", size=svg.SMALL
    )


def _stop_value(stop: StopValue) -> str:
    """The sign of a dial or a key pad, and what it is told."""
    centre = (MARGIN + SIGN, 20.0)
    if stop.is_dial:
        hand = (centre[0] + SIGN * 0.5, centre[1] - SIGN * 0.6)
        sign = svg.circle(centre, SIGN, class_="fb-dial") + svg.line(
            centre, hand, class_="fb-dial-hand", width=svg.THICK
        )
    else:
        corner = (centre[0] - SIGN, centre[1] - SIGN)
        keys = "".join(
            svg.circle((centre[0] + x * 7, centre[1] + y * 7), 2, class_="fb-key", width=svg.THIN)
            for x in (-1, 0, 1)
            for y in (-1, 0, 1)
        )
        sign = svg.rectangle(corner, 2 * SIGN, 2 * SIGN, class_="fb-key-pad") + keys
    lines = svg.wrapped(stop.words, COLUMNS)
    return sign + svg.paragraph((MARGIN + 2 * SIGN + 12, 26), lines, class_="fb-stop-value", bold=True)
