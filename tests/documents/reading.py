"""Reading a paper back: as a label printer would print it, and as text."""

import re
import subprocess
from pathlib import Path

import zxingcpp
from PIL import Image

PRINTER_DPI = 203
MM_PER_INCH = 25.4


def printed(pdf: bytes, folder: Path, *, page: int = 1, dpi: int = PRINTER_DPI) -> Image.Image:
    """A page as the printer's dots, in grey."""
    source = folder / "paper.pdf"
    source.write_bytes(pdf)
    subprocess.run(
        [
            "pdftoppm",
            "-r",
            str(dpi),
            "-f",
            str(page),
            "-l",
            str(page),
            "-gray",
            "-png",
            source,
            folder / "page",
        ],
        check=True,
    )
    [picture] = folder.glob("page*.png")
    image = Image.open(picture)
    image.load()
    picture.unlink()
    return image


def thermal(image: Image.Image) -> Image.Image:
    """What a print head without grey makes of it."""
    return image.point(lambda grey: 255 if grey > 127 else 0).convert("1").convert("L")


def symbols(image: Image.Image) -> list[zxingcpp.Barcode]:
    """The QR symbols on it."""
    return zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))


def edge_mm(symbol: zxingcpp.Barcode, dpi: int = PRINTER_DPI) -> float:
    """The shortest edge of a symbol."""
    corners = symbol.position
    points = [corners.top_left, corners.top_right, corners.bottom_right, corners.bottom_left]
    edges = [
        ((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5
        for a, b in zip(points, [*points[1:], points[0]], strict=True)
    ]
    return min(edges) / dpi * MM_PER_INCH


def text_of(pdf: bytes) -> str:
    """All text of a paper, in the order in which it was set."""
    done = subprocess.run(["pdftotext", "-raw", "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()


def pages_of(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of each page, in mm."""
    done = subprocess.run(["pdfinfo", "-l", "-1", "-"], input=pdf, capture_output=True, check=True)
    sizes = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", done.stdout.decode())
    return [(float(w) / 72 * MM_PER_INCH, float(h) / 72 * MM_PER_INCH) for w, h in sizes]
