"""The cast and the data folder of every test."""

from pathlib import Path

import pytest
from pytest_django.fixtures import SettingsWrapper

from shop.people.models import User
from shop.people.permissions import Role


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, settings: SettingsWrapper) -> Path:
    """Each test has a data folder of its own."""
    folder = tmp_path / "data"
    folder.mkdir()
    settings.DATA_DIR = folder
    settings.MEDIA_ROOT = folder / "files"
    return folder


def _person(number: int, name: str, *roles: Role) -> User:
    user = User(number=number, username=name.split()[0].lower(), name=name, roles=list(roles))
    user.set_password("a hose is not a rope")
    user.full_clean()
    user.save()
    return user


@pytest.fixture
def owner(db: None) -> User:
    """Owns the workshop: may do everything but be the second person to herself."""
    return _person(1, "Marit Osei", Role.OWNER)


@pytest.fixture
def counter(db: None) -> User:
    """Writes up what customers need."""
    return _person(2, "Teun Abara", Role.COUNTER)


@pytest.fixture
def bench(db: None) -> User:
    """Cuts, crimps and measures."""
    return _person(3, "Ilse Novak", Role.BENCH)


@pytest.fixture
def inspector(db: None) -> User:
    """Inspects, decides and releases: the second person."""
    return _person(4, "Radu Lindqvist", Role.INSPECTOR)


@pytest.fixture
def auditor(db: None) -> User:
    """Reads and checks everything, changes nothing."""
    return _person(5, "Wanda Eze", Role.AUDITOR)
