"""Photos of tools and of what failed: each a file named by its SHA-256, which is recorded."""

import io

from PIL import Image, ImageOps, UnidentifiedImageError

from shop.core.kept import Shelf, sha256_of
from shop.tooling.refusals import NotAPhoto, PhotoDamaged

LONGEST_SIDE_PX = 2000  # shows a chipped die, and is a quarter of a megabyte
QUALITY = 85
MOST_PIXELS = 50_000_000  # 150 MB while it is written anew; a larger JPEG is read smaller than it is
PHOTOS = Shelf("photos", ".jpg")


def keep_photo(content: bytes) -> str:
    """Write the photo anew as JPEG and keep it; returns its SHA-256.

    Writing it anew leaves behind where and with what it was taken, and whatever else the file carried.
    To be called before the transaction that records it commits: a file without a record is only litter.
    Raises `NotAPhoto`.
    """
    try:
        with Image.open(io.BytesIO(content)) as image:
            image.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
            if image.width * image.height > MOST_PIXELS:
                raise NotAPhoto
            upright = ImageOps.exif_transpose(image).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as error:
        raise NotAPhoto() from error
    upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    written = io.BytesIO()
    upright.save(written, "JPEG", quality=QUALITY)
    return PHOTOS.keep(written.getvalue())


def kept_photo(sha256: str) -> bytes:
    """The photo's bytes. Raises `PhotoDamaged` if they are gone or are no longer those that were kept."""
    path = PHOTOS.path(sha256)
    content = path.read_bytes() if path.exists() else b""
    if sha256_of(content) != sha256:
        raise PhotoDamaged(sha256=sha256[:8])
    return content
