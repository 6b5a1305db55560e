"""Photos of tools: each a file named by its SHA-256, which stands in the record."""

import hashlib
import io
import os
import tempfile
from pathlib import Path

from django.conf import settings
from PIL import Image, ImageOps, UnidentifiedImageError

from shop.tooling.refusals import NotAPhoto, PhotoDamaged

LONGEST_SIDE_PX = 2000  # shows a chipped die, and is a quarter of a megabyte
QUALITY = 85


def keep_photo(content: bytes) -> str:
    """Write the photo anew as JPEG and keep it; returns its SHA-256.

    Writing it anew leaves behind where and with what it was taken, and whatever else the file carried.
    To be called before the transaction that records it commits: a file without a record is only litter.
    Raises `NotAPhoto`.
    """
    try:
        with Image.open(io.BytesIO(content)) as image:
            upright = ImageOps.exif_transpose(image).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as error:
        raise NotAPhoto() from error
    upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    written = io.BytesIO()
    upright.save(written, "JPEG", quality=QUALITY)
    sha256 = hashlib.sha256(written.getvalue()).hexdigest()
    path = _path(sha256)
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".writing-", delete=False) as file:
        file.write(written.getvalue())
        file.flush()
        os.fsync(file.fileno())
    Path(file.name).replace(path)
    return sha256


def kept_photo(sha256: str) -> bytes:
    """The photo's bytes. Raises `PhotoDamaged` if they are gone or are no longer those that were kept."""
    path = _path(sha256)
    content = path.read_bytes() if path.exists() else b""
    if hashlib.sha256(content).hexdigest() != sha256:
        raise PhotoDamaged(sha256=sha256[:8])
    return content


def _path(sha256: str) -> Path:
    return Path(settings.MEDIA_ROOT) / "photos" / f"{sha256}.jpg"
