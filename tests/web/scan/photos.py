"""Photos of a tag as a phone would take them."""

import io
import random
from pathlib import Path

from PIL import Image, ImageFilter

from shop.assemblies.models import Tag
from shop.documents.tag import render_tag
from tests.documents.reading import printed

UPRIGHT_IS_ON_ITS_SIDE = 6  # EXIF: turn by 90° to see it upright
ORIENTATION = 0x0112


def tag_picture(tag: Tag, folder: Path) -> Image.Image:
    """The tag as printed, about 12 dots to a millimetre."""
    return printed(render_tag(tag), folder, dpi=300).convert("RGB")


def photographed(picture: Image.Image, *, blur: float = 2.0, on_its_side: bool = False) -> bytes:
    """The picture on a grey bench, askew, out of focus and with less contrast, as a JPEG."""
    width, height = picture.size
    scene = Image.new("RGB", (1600, 1200), (92, 86, 80))
    askew = picture.transform(
        (width, height),
        Image.Transform.QUAD,
        # Where the corners of what is seen lie on the tag: one side is farther away, and it is turned.
        data=(-60, -40, 20, height + 90, width + 120, height + 30, width + 30, -120),
        resample=Image.Resampling.BICUBIC,
        fillcolor=(92, 86, 80),
    )
    scene.paste(askew, (180, 260))
    scene = scene.filter(ImageFilter.GaussianBlur(blur)).point(lambda value: 40 + value * 150 // 255)
    noise = random.Random(3)  # noqa: S311  # the same photo every time
    for _ in range(4000):
        at = (noise.randrange(1600), noise.randrange(1200))
        scene.putpixel(at, (noise.randrange(40, 190),) * 3)
    exif = Image.Exif()
    if on_its_side:
        scene = scene.transpose(Image.Transpose.ROTATE_90)
        exif[ORIENTATION] = UPRIGHT_IS_ON_ITS_SIDE
    return as_jpeg(scene, exif)


def as_jpeg(picture: Image.Image, exif: Image.Exif | None = None) -> bytes:
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=80, exif=exif or Image.Exif())
    return file.getvalue()
