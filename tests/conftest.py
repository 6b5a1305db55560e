"""The cast and the data folder of every test."""

import datetime
import time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import hypothesis
import pytest
from django.core.management.commands import flush
from django.db import connections
from hypothesis import HealthCheck
from pytest_django import Settings

from shop.ledger import triggers
from shop.people.models import User
from shop.people.permissions import Role
from tests.world import ZONE
from tests.world import world as world  # the small workshop, for every test that asks for it

# Properties are tried without a time limit, also on making up their examples: a busy machine is not a
# wrong calculation. They share the workshop of their test; each example adds to it.
hypothesis.settings.register_profile(
    "ferrulebook",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
hypothesis.settings.load_profile("ferrulebook")


def pytest_configure() -> None:
    """Let tests with real transactions empty the tables after them, which the triggers refuse.

    In this hook and not in a fixture: fixtures are undone before the tables are emptied.
    """
    empty_tables = flush.Command.handle

    def without_triggers(self: flush.Command, **options: Any) -> None:
        connection = connections[options["database"]]
        triggers.remove(connection)
        try:
            empty_tables(self, **options)
        finally:
            triggers.install(connection)

    flush.Command.handle = without_triggers  # type: ignore[method-assign]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Begin no test shortly before the workshop's midnight: what is set up today holds for today."""
    now = datetime.datetime.now(ZoneInfo(ZONE))
    to_midnight = datetime.timedelta(days=1) - datetime.timedelta(hours=now.hour, minutes=now.minute)
    if to_midnight <= datetime.timedelta(minutes=5 if item.get_closest_marker("browser") else 1):
        time.sleep(to_midnight.total_seconds())


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, settings: Settings) -> Path:
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
