"""QR codes as one stroked path.

One path, because a rectangle per module makes a tag's file a dozen times as large and slow to print.
Level Q, because a tag is blotted with oil; upper-case text fits the alphanumeric mode, whose larger
modules a scanner reads from farther away.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from xml.sax.saxutils import escape

import qrcode
from qrcode.constants import ERROR_CORRECT_Q

from shop.drawings import svg

QUIET_ZONE = 4  # modules on each side, ISO/IEC 18004


@dataclass(frozen=True, slots=True)
class QrPath:
    """A symbol without its quiet zone: one unit per module, to be stroked one unit wide in black."""

    side_modules: int
    d: str


def qr_path(text: str) -> QrPath:
    """The symbol for `text`, in alphanumeric mode if its characters allow (digits, A-Z, ` $%*+-./:`)."""
    code = qrcode.QRCode(error_correction=ERROR_CORRECT_Q, border=0)
    code.add_data(text, optimize=0)
    matrix = code.get_matrix()
    return QrPath(len(matrix), _strokes(matrix))


def draw_qr(text: str, size_mm: Decimal) -> str:
    """The symbol as SVG, black on white in any surroundings.

    `size_mm` is the edge of the symbol itself; four modules of quiet zone are added on each side.
    """
    symbol = qr_path(text)
    side = symbol.side_modules + 2 * QUIET_ZONE
    edge = f"{svg.number(float(size_mm) * side / symbol.side_modules)}mm"
    strokes = svg.element("rect", width=side, height=side, fill="#fff") + svg.element(
        "path",
        d=symbol.d,
        transform=f"translate({QUIET_ZONE} {QUIET_ZONE})",
        stroke="#000",
        stroke_width=1,
        fill="none",
    )
    return svg.element(
        "svg",
        svg.element("title", escape(text)) + strokes,
        xmlns="http://www.w3.org/2000/svg",
        class_="fb-qr",
        width=edge,
        height=edge,
        viewBox=f"0 0 {side} {side}",
        role="img",
        aria_label=f"QR code of {text}",
        shape_rendering="crispEdges",
    )


def _strokes(matrix: Sequence[Sequence[bool]]) -> str:
    """Each run of dark modules as a level stroke, reached by a relative move from the end of the last."""
    parts, x, y = ["M0 .5"], 0, 0
    for row, modules in enumerate(matrix):
        column = 0
        while column < len(modules):
            start = column
            while column < len(modules) and modules[column]:
                column += 1
            if column > start:
                parts.append(f"m{start - x} {row - y}h{column - start}")
                x, y = column, row
            column += 1
    return "".join(parts)
