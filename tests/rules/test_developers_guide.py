"""The contributor's guide says everything that there is to run, set and depend on."""

import re
import tomllib
from pathlib import Path

import pytest
from django.core.management import get_commands

from shop.ledger.registry import Verb, all_verbs

ROOT = Path(__file__).resolve().parent.parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text()
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
COMMANDS = sorted(name for name, app in get_commands().items() if str(app).startswith("shop."))
SETTINGS = sorted(
    set(re.findall(r"FERRULEBOOK_[A-Z]+|DATABASE_URL", (ROOT / "shop/settings.py").read_text()))
)
PACKAGES = [
    re.split(r"[\[<>=]", requirement)[0]
    for requirement in [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["dev"]]
]
VERBS = [verb for verb in all_verbs() if not verb.name.startswith("drawer.")]  # the drawer is a test's
LAYERS = [folder.name for folder in (ROOT / "shop").iterdir() if (folder / "__init__.py").exists()]


@pytest.mark.parametrize("name", [*COMMANDS, *SETTINGS, *LAYERS])
def test_the_guide_explains_it(name: str) -> None:
    assert f"`{name}`" in GUIDE


@pytest.mark.parametrize("package", PACKAGES)
def test_the_guide_gives_a_reason_for_the_dependency(package: str) -> None:
    assert package in GUIDE.partition("## Dependencies")[2]


@pytest.mark.parametrize("verb", VERBS, ids=lambda verb: verb.name)
def test_the_guide_lists_what_can_stand_in_the_ledger(verb: Verb) -> None:
    record = verb.record.__name__ if verb.record else ""
    assert f"| `{verb.name}` | {verb.says} | {record} |" in GUIDE
