"""The bench's pages as a person at the tablet uses them: what is shown is sent back, with an answer."""

import re
from html import unescape
from html.parser import HTMLParser
from typing import Any

from django.http import HttpResponse
from django.test import Client

from shop.assemblies.models import Assembly, Run


class _Form(HTMLParser):
    """The last form of the page's content: where it goes, its hidden values, its tick boxes."""

    def __init__(self) -> None:
        super().__init__()
        self.action = ""
        self.hidden: dict[str, str] = {}
        self.boxes: dict[str, list[str]] = {}
        self.inputs: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "form" and "bench" in values.get("class", "").split():
            self.action, self._inside = values["action"], True
        elif tag == "input" and self._inside:
            kind = values.get("type", "text")
            if kind == "hidden":
                self.hidden[values["name"]] = values.get("value", "")
            elif kind == "checkbox":
                self.boxes.setdefault(values["name"], []).append(values["value"])
            else:
                self.inputs.append(values["name"])

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = False


class Tablet:
    """One assembly, or a run of equal ones, on the tablet."""

    def __init__(self, client: Client, work: Assembly | Run) -> None:
        self.client = client
        self.place = f"runs/{work.pk}" if isinstance(work, Run) else work.code
        self.page: HttpResponse = self.open()

    def open(self, query: str = "") -> HttpResponse:
        self.page = self.client.get(f"/bench/{self.place}/{query}")
        return self.page

    @property
    def form(self) -> _Form:
        form = _Form()
        form.feed(self.page.content.decode())
        return form

    @property
    def text(self) -> str:
        """What stands on the page, without the marks."""
        return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", self.page.content.decode())))

    def send(self, **answers: Any) -> HttpResponse:
        """Send the form at hand with these answers, and look at what comes."""
        form = self.form
        self.sent = (form.action, form.hidden | answers)
        return self.again()

    def again(self) -> HttpResponse:
        """Send the very same once more, as a double tap does."""
        self.page = self.client.post(*self.sent, follow=True)
        return self.page

    def scan(self, *codes: str) -> None:
        """Scan one thing after the other."""
        for code in codes:
            self.send(scan=code)

    def tick_all_and_take(self, **answers: Any) -> HttpResponse:
        """Tick every box and take the step."""
        return self.send(take="1", **self.form.boxes, **answers)

    def read(self, *readings: str) -> HttpResponse:
        """Type the readings."""
        return self.send(**{f"reading_{n}": reading for n, reading in enumerate(readings, start=1)})
