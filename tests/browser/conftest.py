"""A real browser: Debian's chromium on pages that the test serves itself."""

import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect, sync_playwright

# Playwright's loop runs in this thread; Django would refuse the ORM beside it.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

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
axe = Axe()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the whole run."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()


@dataclass
class Person:
    """Somebody at a screen, with what a person does there."""

    page: Page
    address: str
    looked_at: list[str] = field(default_factory=list)
    found: list[str] = field(default_factory=list)

    def go(self, path: str) -> None:
        """Open a page of the workshop."""
        self.page.goto(self.address + path)

    def fill(self, label: str, text: str) -> None:
        """Type into the field of that label."""
        self.page.get_by_label(label).fill(text)

    def choose(self, label: str, option: str) -> None:
        """Pick from a list."""
        self.page.get_by_label(label).select_option(label=option)

    def press(self, name: str) -> None:
        """Press the button of that name."""
        self.page.get_by_role("button", name=name, exact=True).click()

    def follow(self, name: str) -> None:
        """Follow the link of that name."""
        self.page.get_by_role("link", name=name).first.click()

    def reads(self, text: str) -> None:
        """What stands on the page."""
        expect(self.page.get_by_text(text).first).to_be_visible()

    def look(self) -> None:
        """Check the page at hand for what keeps people out: axe, and scrolling sideways."""
        path = self.page.url.removeprefix(self.address).split("?")[0]
        self.looked_at.append(path)
        for violation in axe.run(self.page).response["violations"]:
            places = ", ".join(node["target"][0] for node in violation["nodes"])
            self.found.append(f"{path}: {violation['help']} ({places})")
        wider = self.page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        if wider > 0:
            self.found.append(f"{path} is {wider} px wider than the screen")
        if "FERRULEBOOK_SCREENS" in os.environ:
            name = path.strip("/").replace("/", "-") or "home"
            folder = Path(os.environ["FERRULEBOOK_SCREENS"])
            folder.mkdir(parents=True, exist_ok=True)
            width = self.page.viewport_size["width"]  # type: ignore[index]  # always set below
            self.page.screenshot(path=folder / f"{width}-{len(self.looked_at):02}-{name}.png", full_page=True)


@pytest.fixture(params=list(SIZES))
def person(request: pytest.FixtureRequest, chromium: Browser, live_server: object) -> Iterator[Person]:
    """A person at a desktop, a tablet and a phone; the test fails on what `look` found."""
    width, height = SIZES[request.param]
    context = chromium.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    outside: list[str] = []
    errors: list[str] = []
    address = str(live_server)
    page.on(
        "request",
        lambda sent: None if sent.url.startswith((address, "data:", "blob:")) else outside.append(sent.url),
    )
    page.on("pageerror", lambda error: errors.append(str(error)))
    someone = Person(page, address)
    yield someone
    context.close()
    assert someone.found == []
    assert outside == [], "a page asked somebody outside the workshop"
    assert errors == []
