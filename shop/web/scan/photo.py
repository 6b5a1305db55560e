"""Reading the code on a photo of a tag or a label. The photo is looked at and not kept."""

from typing import IO

import zxingcpp
from PIL import Image, ImageOps, UnidentifiedImageError

from shop.core.refusals import Refusal
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood

LARGEST_BYTES = 20_000_000
LARGEST_PIXELS = 80_000_000  # beyond any phone's camera; a small file can claim to be far larger
# A tag that fills the photo is read fastest from few pixels; one in a corner needs more of them.
EDGES = (1200, 2400)
FORMATS = ("JPEG", "PNG", "WEBP")


class PhotoTooLarge(Refusal):
    says = "This photo is larger than can be taken: {size}."
    do = "Take it at a lower resolution, or cut out the code."


class NotAPhoto(Refusal):
    says = "This file is no photo that can be read."
    do = "Choose a JPEG, PNG or WebP picture."


class NoCodeOnPhoto(Refusal):
    says = "No code of this workshop can be read on this photo."
    do = "Go closer, square to the tag, without glare; or type the code that is printed beside the squares."


class SeveralCodesOnPhoto(Refusal):
    says = "There are several codes on this photo: {codes}."
    do = "Cover the others, or type the one that you mean."


def code_on_photo(file: IO[bytes], size: int) -> str:
    """The one code of this workshop that is on the photo.

    `size` is that of the file in bytes. Raises `PhotoTooLarge`, `NotAPhoto`, `NoCodeOnPhoto`,
    `SeveralCodesOnPhoto`.
    """
    if size > LARGEST_BYTES:
        raise PhotoTooLarge(size=f"{size / 1e6:.0f} MB, at most {LARGEST_BYTES / 1e6:.0f} MB")
    picture = _open(file)
    for edge in EDGES:
        codes = _codes_on(picture, edge)
        if len(codes) > 1:
            raise SeveralCodesOnPhoto(codes=", ".join(codes))
        if codes:
            return codes[0]
    raise NoCodeOnPhoto


def _open(file: IO[bytes]) -> Image.Image:
    """The photo in grey and upright, no larger than is ever looked at."""
    try:
        picture = Image.open(file, formats=FORMATS)
        width, height = picture.size
        if width * height > LARGEST_PIXELS:
            raise PhotoTooLarge(size=f"{width} × {height} points")
        picture.draft("L", (max(EDGES), max(EDGES)))
        grey = ImageOps.exif_transpose(picture).convert("L")
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PhotoTooLarge(size="more points than a camera has") from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        raise NotAPhoto from error  # Pillow's words for damaged pictures
    grey.thumbnail((max(EDGES), max(EDGES)))
    return grey


def _codes_on(picture: Image.Image, edge: int) -> list[str]:
    smaller = picture.copy()
    smaller.thumbnail((edge, edge))
    symbols = zxingcpp.read_barcodes(smaller, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))
    return sorted({code for symbol in symbols if (code := _own_code(symbol.text))})


def _own_code(text: str) -> str | None:
    try:
        return read_code(text).text
    except NotUnderstood:
        return None
