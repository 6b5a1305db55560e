"""Labels for reels, bins, tools, badges and orders: 62 × 29 mm, one to a page, for a label printer."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.documents.pdf import render_pdf
from shop.drawings.qr import draw_qr, qr_path
from shop.engineering.codes import group_code

TEMPLATE = "documents/labels.html"
MODULE_MM = 7 * Decimal("25.4") / 203  # seven dots of a printer with 203 dots per inch


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on a label beside its QR: the kind of thing, and two lines that tell it apart.

    The QR holds the bare code and no address: only the tag of an assembly leads anywhere in public.
    """

    code: str
    kind_words: str
    line1: str
    line2: str = ""

    @property
    def printed_code(self) -> str:
        return group_code(self.code)

    @property
    def qr(self) -> str:
        return draw_qr(self.code, MODULE_MM * qr_path(self.code).side_modules)


def label_sheet(items: Sequence[Label]) -> bytes:
    """The labels as PDF, one page each, in their order. Raises `PdfNotInstalled`."""
    return render_pdf(TEMPLATE, {"labels": items})
