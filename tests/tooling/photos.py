"""A photo as a tablet sends it."""

import io

from PIL import Image


def a_photo(width: int = 40, height: int = 20) -> bytes:
    """A red JPEG that says where it was taken and that it lies on its side."""
    image = Image.new("RGB", (width, height), "red")
    exif = Image.Exif()
    exif[0x0112] = 6  # turned by a quarter
    exif[0x010F] = "a maker of tablets"
    file = io.BytesIO()
    image.save(file, "JPEG", exif=exif)
    return file.getvalue()
