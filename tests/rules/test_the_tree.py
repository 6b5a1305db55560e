"""What lies where: the top level, the length of files, and what never belongs in one."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
NOT_OURS = re.compile(r"\.(?!ci$|gitignore$).*|__pycache__|.*\.egg-info")


def _files(folder: Path) -> Iterator[str]:
    """Every file of the project. Not from git: a copy of the tree has to pass as well as a clone."""
    for path in sorted(folder.iterdir()):
        if NOT_OURS.fullmatch(path.name):
            continue
        if path.is_dir():
            yield from _files(path)
        else:
            yield str(path.relative_to(ROOT))


FILES = list(_files(ROOT))
PYTHON = [path for path in FILES if path.endswith(".py") and "/migrations/" not in path]


def test_the_top_level_is_what_a_newcomer_expects() -> None:
    top = {path.split("/")[0] for path in FILES}
    assert {name for name in top if not name.startswith(".")} == {
        "README.md",
        "DEVELOPERS.md",
        "manage.py",
        "pyproject.toml",
        "shop",
        "templates",
        "tests",
        "fixtures",
    }


@pytest.mark.parametrize("path", PYTHON)
def test_no_module_is_too_long_to_read_at_once(path: str) -> None:
    assert len((ROOT / path).read_text().splitlines()) <= 400


def test_no_page_and_no_file_reaches_outside() -> None:
    outside = re.compile(r"""(?:src|href)=["'](?:https?:)?//|@import|url\(["']?https?:""")
    found = [
        path
        for path in FILES
        if path.endswith((".html", ".css", ".js")) and outside.search((ROOT / path).read_text())
    ]
    assert found == []


def test_pages_write_only_through_services() -> None:
    writing = re.compile(r"\.(?:save\((?!commit=False)|update\(|delete\(|bulk_|create\(|get_or_create\()")
    found = [
        f"{path}:{number}"
        for path in PYTHON
        if path.startswith("shop/web/")
        for number, line in enumerate((ROOT / path).read_text().splitlines(), start=1)
        if writing.search(line)
    ]
    assert found == []


def test_no_file_knows_the_machine_that_it_was_written_on() -> None:
    of_a_machine = re.compile(r"/(?:work|root|home)/|py[p]i\.|python[h]osted|npm[j]s\.|index[-_]url")
    found = [
        f"{path}:{number}"
        for path in FILES
        for number, line in enumerate((ROOT / path).read_text().splitlines(), start=1)
        if of_a_machine.search(line)
    ]
    assert found == []
