"""Somebody at a screen, with what a person does there and what would keep a person out."""

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Error, Page, expect

axe = Axe()
# Off by default in axe, but of WCAG 2.2 AA: targets are large enough to hit.
OPTIONS = {"rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"]}


@dataclass
class Person:
    """Reads, types and taps on one screen. Each page that is met is looked at."""

    page: Page
    address: str
    has_script: bool = True
    looks_closely: bool = True  # not where only the hands are of interest
    looked_at: list[str] = field(default_factory=list)
    found: list[str] = field(default_factory=list)

    def goes_to(self, path: str) -> None:
        """Open a page of the workshop."""
        self.page.goto(self.address + path)
        self.looks()

    def follows(self, name: str) -> None:
        """Follow the first link of that name."""
        self.page.get_by_role("link", name=name, exact=True).first.click()
        self.looks()

    def presses(self, name: str) -> None:
        """Press the button of that name."""
        self.page.get_by_role("button", name=name, exact=True).click()
        self.looks()

    def fills_in(self, answers: Mapping[str, str | bool], under: str | None = None) -> None:
        """Answer questions by their labels: type, choose or tick, whatever the question takes."""
        around = self.page.locator("main")  # beside it waits the question who is at the tablet
        if under is not None:
            around = around.get_by_role("group", name=under)
        for label, answer in answers.items():
            question = around.get_by_label(_label(label))
            if isinstance(answer, bool):
                question.set_checked(answer)
            elif question.evaluate("field => field.tagName") == "SELECT":
                question.select_option(label=answer)
            else:
                question.fill(answer)

    def ticks_everything(self) -> None:
        """Tick every box of the page, once each was done and seen."""
        for box in self.page.locator("main").get_by_role("checkbox").all():
            box.check()

    def types(self, text: str) -> None:
        """Type into whatever has the focus: a page gives it to its first box only once it is drawn."""
        expect(self.page.locator(":focus")).to_have_count(1)
        self.page.keyboard.type(text)

    def scans(self, code: str) -> None:
        """What a keyboard wedge does: it types into whatever has the focus, then Enter."""
        self.types(code)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        self.looks()

    def reads(self, *texts: str) -> None:
        """Each of the texts stands on the page."""
        for text in texts:
            expect(self.page.locator("body")).to_contain_text(text)

    def does_not_read(self, *texts: str) -> None:
        """None of the texts stands on the page."""
        for text in texts:
            expect(self.page.locator("body")).not_to_contain_text(text)

    def goes_back(self) -> None:
        """The back button, to a page that was sent: the browser asks, and the person lets it send again."""
        with pytest.raises(Error, match="ERR_CACHE_MISS"):
            self.page.go_back()
        # The browser's own page about it comes a moment later, and only then can it be sent again.
        expect(self.page.get_by_text("ERR_CACHE_MISS")).to_be_visible()
        self.page.reload()

    def loses_the_connection(self) -> None:
        """The network is gone; pages that are open stay."""
        self.page.context.set_offline(True)

    def finds_the_connection(self) -> None:
        """The network is back."""
        self.page.context.set_offline(False)

    @property
    def path(self) -> str:
        """The page at hand, without its questions."""
        return self.page.url.removeprefix(self.address).split("?")[0]

    def code_in(self, words: str) -> str:
        """The code that follows these words on the page."""
        match = re.search(rf"{words} (\w{{4}}(?:-\w{{2,4}}){{3}})", self.page.locator("main").inner_text())
        assert match, f"no code of a {words} on {self.path}"
        return match[1]

    def value_of(self, name: str) -> str:
        """What stands beside a name in a list of values."""
        value = self.page.locator("dt", has_text=re.compile(f"^{re.escape(name)}$")).locator("+ dd")
        return value.first.inner_text().strip()

    def looks(self) -> None:
        """Check the page at hand for what keeps people out: axe, and scrolling sideways."""
        path = self.path
        self.looked_at.append(path)
        if not self.has_script:
            return  # axe is one; the pages are the same with and without
        self.waits_for_the_answer()
        if not self.looks_closely:
            return
        for violation in axe.run(self.page, options=OPTIONS).response["violations"]:
            places = ", ".join(node["target"][0] for node in violation["nodes"])
            self.found.append(f"{path}: {violation['help']} ({places})")
        wider = self.page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        if wider > 0:
            self.found.append(f"{path} is {wider} px wider than the screen")
        if "FERRULEBOOK_SCREENS" in os.environ:
            self._photograph(path, Path(os.environ["FERRULEBOOK_SCREENS"]))

    def waits_for_the_answer(self) -> None:
        """A step is sent while its page stays; the next page comes with the answer."""
        self.page.wait_for_function("() => !document.querySelector('form[data-sent]:not([data-waits=told])')")
        self.page.wait_for_load_state()

    def _photograph(self, path: str, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        assert self.page.viewport_size is not None, "every screen here has a size"
        width, name = self.page.viewport_size["width"], path.strip("/").replace("/", "-") or "home"
        self.page.screenshot(path=folder / f"{width}-{len(self.looked_at):03}-{name}.png", full_page=True)


def _label(text: str) -> re.Pattern[str]:
    """A question's label, whatever it adds about its unit and whether an answer is needed."""
    return re.compile(rf"^\s*{re.escape(text)}( in \S+)?\s*(\(needed\))?\s*$")
