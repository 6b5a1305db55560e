"""A real browser: Debian's chromium on the workshop's own server."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import pytest
from playwright.sync_api import Browser, BrowserContext, expect, sync_playwright

from tests.assemblies import bench
from tests.browser.beginning import sign_in
from tests.browser.hands import Hands
from tests.browser.person import Person
from tests.browser.serving import served
from tests.ledger.databases import database_url
from tests.world import World

CHROMIUM = "/usr/bin/chromium"
# Without these chromium looks for its maker's servers at every start.
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SIZES = {"desktop": (1280, 800), "tablet": (768, 1024), "phone": (390, 844)}

PATIENCE_MS = 20_000  # for one page of a busy machine, and for what a page shows by and by
expect.set_options(timeout=PATIENCE_MS)

Doors = Callable[[], str]


class Sit(Protocol):
    """Puts a person before a screen of that size, without script or at night if so."""

    def __call__(self, address: str, size: str, *, script: bool = True, at_night: bool = False) -> Person: ...


@dataclass(frozen=True)
class Seats:
    """Seats people at tablets."""

    sit_down: Sit

    def __call__(self, address: str, name: str) -> Hands:
        person = self.sit_down(address, "tablet")
        person.looks_closely = False
        sign_in(person, name)
        return Hands(person)


@pytest.fixture
def empty_workshop(transactional_db: None, data_folder: Path, tmp_path: Path) -> Iterator[str]:
    """The address of a workshop in a database that has nothing in it yet."""
    with (
        database_url(tmp_path, empty=True) as database,
        served(database, data_folder, tmp_path / "server.log") as address,
    ):
        yield address


@pytest.fixture
def open_the_doors(transactional_db: None, data_folder: Path, tmp_path: Path) -> Iterator[Doors]:
    """Serves a copy of the workshop as the test has prepared it; gives the address."""
    with ExitStack() as doors:

        def serve() -> str:
            database = doors.enter_context(database_url(tmp_path))
            return doors.enter_context(served(database, data_folder, tmp_path / "server.log"))

        yield serve


@pytest.fixture
def every_tenth(world: World) -> World:
    """A workshop that measures the first, every tenth and the last piece of a run."""
    bench.choose(world, measured_every=10)
    return world


@pytest.fixture
def sit_down() -> Iterator[Sit]:
    """Puts people before screens; fails on what their looks found.

    The browser starts with the first of them and ends with the test: while it runs, an event loop runs in
    this thread, and Django gives the thread other connections than before.
    """
    with ExitStack() as screens:
        browsers: list[Browser] = []

        def sit(address: str, size: str, **there: bool) -> Person:
            if not browsers:
                playwright = screens.enter_context(sync_playwright())
                browsers.append(playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET))
                screens.callback(browsers[0].close)
            return screens.enter_context(_screen(browsers[0], address, size, **there))

        yield sit


@pytest.fixture
def sit(sit_down: Sit) -> Seats:
    """Puts people before tablets at the bench, where only their hands are looked at."""
    return Seats(sit_down)


@contextmanager
def _screen(
    browser: Browser, address: str, size: str, *, script: bool = True, at_night: bool = False
) -> Iterator[Person]:
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        java_script_enabled=script,
        color_scheme="dark" if at_night else "light",
    )
    context.set_default_timeout(PATIENCE_MS)
    someone = Person(context.new_page(), address, has_script=script)
    outside: list[str] = []
    errors: list[str] = []
    _listen(context, address, outside, errors)
    yield someone
    context.close()
    assert not someone.found, "\n".join(someone.found)
    assert outside == [], "a page asked somebody outside the workshop"
    assert errors == []


def _listen(context: BrowserContext, address: str, outside: list[str], errors: list[str]) -> None:
    context.on(
        "request",
        lambda sent: None if sent.url.startswith((address, "data:", "blob:")) else outside.append(sent.url),
    )
    context.on("weberror", lambda error: errors.append(str(error.error)))
