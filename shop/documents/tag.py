"""The tag that goes on a hose: 100 × 50 mm, black on white, for a label printer."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from shop.assemblies.independence import independently_checked
from shop.assemblies.models import Assembly, Tag
from shop.assemblies.standing import standing_of
from shop.documents.pdf import render_pdf
from shop.drawings.qr import draw_qr, qr_path
from shop.engineering.lengths import LengthUnit
from shop.engineering.pressures import Pressure, PressureUnit, show_bar, show_psi
from shop.policy.services import get_workshop
from shop.trace.cautions import ON_THE_TAG
from shop.trace.identity import Identity, identity_of

TEMPLATE = "documents/tag.html"
DOT_MM = Decimal("25.4") / 203  # of a label printer with 203 dots per inch
LEAST_DOTS = 4  # per module: about 0.5 mm, above the 0.396 mm that GS1 asks for at a point of sale
LEAST_EDGE_MM = Decimal(20)
# Type size in points, characters in a line of that size, lines that there is room for.
WHAT_SIZES = ((7.5, 42, 4), (6.0, 50, 5), (4.5, 66, 8))


@dataclass(frozen=True, slots=True)
class TagSheet:
    """What one tag says, ready to be set."""

    tag: Tag
    workshop: str
    qr: str
    code_lines: tuple[str, str]
    serial: int
    figures: tuple[tuple[str, str], ...]  # in bar and in psi: figure, unit
    printed: str  # the rating as its document prints it, where that is in another unit
    what: Identity
    remarks: tuple[str, ...]
    cautions: tuple[str, ...] = ON_THE_TAG

    @property
    def workshop_pt(self) -> float:
        """Type size of the workshop's name, so that a long one takes two lines at most."""
        return 8.5 if len(self.workshop) <= 28 else 5

    @property
    def what_pt(self) -> float:
        """Type size of what the assembly is: the largest that leaves room for the cautions."""
        lines = (f"{self.what.hose}, {self.what.length}", self.what.end_a, self.what.end_b)
        for size, columns, most in WHAT_SIZES:
            if sum(math.ceil(len(line) / columns) for line in lines) <= most:
                return size
        return WHAT_SIZES[-1][0]


def symbol_edge_mm(address: str) -> Decimal:
    """The edge of the tag's QR symbol: whole dots per module, at least four, and 20 mm or more."""
    side = qr_path(address).side_modules
    wanted = (LEAST_EDGE_MM / side / DOT_MM).to_integral_value(ROUND_CEILING)
    return max(Decimal(LEAST_DOTS), wanted) * DOT_MM * side


def lay_out_tag(tag: Tag) -> TagSheet:
    """What the tag says, from its record and from what the assembly was made to."""
    assembly = tag.assembly
    workshop = get_workshop()
    rating = Pressure(Decimal(tag.rating_value), PressureUnit(tag.rating_unit))
    bar, psi = show_bar(rating), show_psi(rating)
    groups = assembly.printed_code.split("-")
    return TagSheet(
        tag=tag,
        workshop=workshop.name,
        qr=draw_qr(tag.address, symbol_edge_mm(tag.address)),
        code_lines=("-".join(groups[:2]) + "-", "-".join(groups[2:])),
        serial=assembly.serial,
        figures=tuple((figure, unit) for figure, _, unit in (bar.partition(" "), psi.partition(" "))),
        printed="" if str(rating) in (bar, psi) else str(rating),
        what=identity_of(assembly, LengthUnit(workshop.length_unit)),
        remarks=tuple(_remarks(assembly)),
    )


def _remarks(assembly: Assembly) -> Iterator[str]:
    """What somebody should know who goes by the tag alone."""
    if standing_of(assembly).concession is not None:
        yield "made under concession"
    if not independently_checked(assembly):
        yield "not independently checked"


def render_tag(tag: Tag) -> bytes:
    """The tag as PDF. Raises `PdfNotInstalled`."""
    return render_pdf(TEMPLATE, {"sheet": lay_out_tag(tag), "tag": tag})
