"""A photo is kept without what the camera wrote into it, and shown only if it is what was kept."""

import io
from pathlib import Path

import pytest
from PIL import Image
from pytest_django import Settings

from shop.tooling.photos import LONGEST_SIDE_PX, keep_photo, kept_photo
from shop.tooling.refusals import NotAPhoto, PhotoDamaged
from tests.tooling.photos import a_photo


@pytest.fixture(autouse=True)
def files(tmp_path: Path, settings: Settings) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


def test_it_stands_upright_and_tells_nothing_of_the_camera() -> None:
    sent = a_photo(40, 20)
    assert b"a maker of tablets" in sent
    kept = kept_photo(keep_photo(sent))
    assert b"a maker of tablets" not in kept
    with Image.open(io.BytesIO(kept)) as image:
        assert (image.size, image.format) == ((20, 40), "JPEG")


def test_it_is_made_smaller_and_never_larger() -> None:
    kept = kept_photo(keep_photo(a_photo(3 * LONGEST_SIDE_PX, LONGEST_SIDE_PX)))
    with Image.open(io.BytesIO(kept)) as image:
        assert max(image.size) == LONGEST_SIDE_PX


@pytest.mark.parametrize("sent", [b"", b"%PDF-1.7", a_photo()[:60]])
def test_what_is_no_photo_is_refused(sent: bytes) -> None:
    with pytest.raises(NotAPhoto):
        keep_photo(sent)


def test_a_photo_that_was_changed_or_is_gone_is_not_shown(files: Path) -> None:
    sha256 = keep_photo(a_photo())
    [path] = (files / "photos").iterdir()
    path.write_bytes(b"another")
    with pytest.raises(PhotoDamaged):
        kept_photo(sha256)
    path.unlink()
    with pytest.raises(PhotoDamaged):
        kept_photo(sha256)
