import re
from decimal import Decimal
from xml.etree import ElementTree

import pytest
import zxingcpp
from PIL import Image

from shop.drawings.qr import QrPath, draw_qr, qr_path
from tests.drawings.reading import Drawn

TAG = "HTTPS://TAGS.EXAMPLE/A1B2C3D4E5F6G7"


def picture(symbol: QrPath, module: int = 6) -> Image.Image:
    """The symbol's strokes filled in, as a printer would, with its quiet zone."""
    edge = (symbol.side_modules + 8) * module
    image = Image.new("L", (edge, edge), 255)
    x = y = 0
    assert symbol.d.startswith("M0 .5m")
    for right, down, run in re.findall(r"m(-?\d+) (-?\d+)h(\d+)", symbol.d):
        x, y = x + int(right), y + int(down)
        corner = ((x + 4) * module, (y + 4) * module)
        image.paste(0, (*corner, corner[0] + int(run) * module, corner[1] + module))
        x += int(run)
    return image


@pytest.mark.parametrize("text", [TAG, "https://tags.example/a?b=1&c=2", "0"])
def test_the_strokes_are_read_back_as_the_text(text: str) -> None:
    found = zxingcpp.read_barcode(picture(qr_path(text)))
    assert found is not None
    assert found.text == text
    assert found.ec_level == "Q"


def test_upper_case_takes_fewer_modules_than_lower_case() -> None:
    # 35 characters at level Q: version 3 (29 modules) as alphanumeric, version 4 (33) as bytes.
    assert (qr_path(TAG).side_modules, qr_path(TAG.lower()).side_modules) == (29, 33)


def test_the_drawing_has_the_size_asked_for_and_a_quiet_zone_of_four_modules() -> None:
    root = Drawn(draw_qr(TAG, Decimal(20))).root
    side = qr_path(TAG).side_modules
    assert root.attrib["viewBox"] == f"0 0 {side + 8} {side + 8}"
    assert float(root.attrib["width"].removesuffix("mm")) * side / (side + 8) == pytest.approx(20, abs=0.01)


def test_it_is_one_stroked_path_and_no_heap_of_rectangles() -> None:
    root = ElementTree.fromstring(draw_qr(TAG, Decimal(20)))  # noqa: S314 our own drawing
    assert [e.tag.rpartition("}")[2] for e in root] == ["title", "rect", "path"]
    assert len(draw_qr(TAG, Decimal(20))) < 3000
