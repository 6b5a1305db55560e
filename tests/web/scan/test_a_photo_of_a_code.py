"""A phone's photo instead of a scanner."""

import io
from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from shop.assemblies.models import Tag
from shop.engineering.codes import new_code
from shop.web.scan.photo import NoCodeOnPhoto, NotAPhoto, PhotoTooLarge, SeveralCodesOnPhoto, code_on_photo
from tests.assemblies import bench
from tests.web.scan.photos import as_jpeg, photographed, tag_picture
from tests.world import World


@pytest.fixture
def tag(world: World) -> Tag:
    return bench.tagged(world).tags.get()


def read(content: bytes) -> str:
    return code_on_photo(io.BytesIO(content), len(content))


@pytest.mark.parametrize("on_its_side", [False, True])
def test_it_reads_a_tag_that_is_askew_and_out_of_focus(tag: Tag, tmp_path: Path, on_its_side: bool) -> None:
    picture = tag_picture(tag, tmp_path)
    assert read(photographed(picture, on_its_side=on_its_side)) == tag.assembly.code


def test_it_reads_a_small_tag_in_a_large_photo(tag: Tag, tmp_path: Path) -> None:
    scene = Image.new("RGB", (4000, 3000), (120, 118, 110))
    scene.paste(tag_picture(tag, tmp_path), (2500, 2200))
    assert read(as_jpeg(scene)) == tag.assembly.code


def test_it_says_when_there_is_no_code(tag: Tag, tmp_path: Path) -> None:
    with pytest.raises(NoCodeOnPhoto):
        read(as_jpeg(Image.new("RGB", (800, 600), (120, 118, 110))))
    with pytest.raises(NoCodeOnPhoto):
        read(photographed(tag_picture(tag, tmp_path), blur=14))


def test_it_asks_which_of_several_codes_is_meant(world: World, tmp_path: Path) -> None:
    scene = Image.new("RGB", (1400, 1600), (255, 255, 255))
    for place in range(2):
        scene.paste(tag_picture(bench.tagged(world).tags.get(), tmp_path), (100, 100 + 750 * place))
    with pytest.raises(SeveralCodesOnPhoto):
        read(as_jpeg(scene))


@pytest.mark.parametrize(
    "content", [b"", b"%PDF-1.7 no photo", b"GIF89a" + b"\0" * 40, b"\xff\xd8\xff\xe0 torn"]
)
def test_it_takes_photos_and_nothing_else(content: bytes) -> None:
    with pytest.raises(NotAPhoto):
        read(content)


def test_a_photo_that_broke_off_is_refused(tag: Tag, tmp_path: Path) -> None:
    content = as_jpeg(tag_picture(tag, tmp_path))
    # Which of the two depends on whether anything in the process has told Pillow to read what there is.
    with pytest.raises((NotAPhoto, NoCodeOnPhoto)):
        read(content[: len(content) // 3])


def test_a_file_that_is_too_large_is_not_even_opened() -> None:
    with pytest.raises(PhotoTooLarge, match="21 MB"):
        code_on_photo(io.BytesIO(b""), 21_000_000)


@pytest.mark.parametrize("edge", [9_300, 14_000])
def test_a_small_file_that_would_fill_the_memory_is_refused(edge: int) -> None:
    file = io.BytesIO()
    Image.new("1", (edge, edge)).save(file, "PNG")
    with pytest.raises(PhotoTooLarge):
        read(file.getvalue())


def test_the_page_goes_to_what_is_on_the_photo(
    client: Client, world: World, tag: Tag, tmp_path: Path
) -> None:
    client.force_login(world.bench)
    upload = SimpleUploadedFile("tag.jpg", photographed(tag_picture(tag, tmp_path)), "image/jpeg")
    answer = client.post("/scan/photo/", {"photo": upload})
    assert answer.headers["Location"] == f"/assembly/{tag.assembly.code}/"
    assert not list(Path(settings.MEDIA_ROOT).rglob("*")), "the photo is not kept"


def test_the_page_says_what_was_wrong_with_a_photo(client: Client, world: World) -> None:
    client.force_login(world.bench)
    upload = SimpleUploadedFile("notes.txt", b"dies 4, ring 2", "image/jpeg")
    answer = client.post("/scan/photo/", {"photo": upload})
    assert NotAPhoto.says in answer.content.decode()
    assert "Choose a JPEG, PNG or WebP picture." in answer.content.decode()


def test_a_photo_of_a_strange_tag_says_that_it_is_not_in_the_book(
    client: Client, world: World, tag: Tag, tmp_path: Path
) -> None:
    strange = Tag(assembly=tag.assembly, address=f"HTTPS://ELSEWHERE.EXAMPLE/T/{new_code('A')}")
    for column in ("number", "is_demo", "rating_value", "rating_unit", "temperature_words", "made"):
        setattr(strange, column, getattr(tag, column))
    client.force_login(world.bench)
    upload = SimpleUploadedFile("tag.jpg", as_jpeg(tag_picture(strange, tmp_path)), "image/jpeg")
    answer = client.post("/scan/photo/", {"photo": upload})
    assert "is nothing in this workshop" in answer.content.decode()
