"""People at benches as the server meets them: they sign in, and send each step until it is answered."""

import json
import re
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException, HTTPResponse
from http.cookies import SimpleCookie
from itertools import cycle
from urllib.parse import urlencode
from uuid import uuid4

from shop.demo.load.work import Fields, Sending, Shift
from shop.demo.people import PASSWORD
from shop.web.few_at_a_time import AGAIN_AFTER_S

ANSWERED_WITHIN_S = 20.0
SENT_TWICE = 7  # every so many steps the answer is thrown away, and the step is sent once more


class NotSignedIn(Exception):
    """The server didn't let the bench in."""


@dataclass
class Visitor:
    """One browser: a connection that stays open, and its cookies."""

    host: str
    port: int
    cookies: SimpleCookie = field(default_factory=SimpleCookie)

    def __post_init__(self) -> None:
        self._connection = HTTPConnection(self.host, self.port, timeout=ANSWERED_WITHIN_S)

    def ask(self, method: str, path: str, fields: Fields | None = None, **headers: str) -> tuple[int, str]:
        """Send one request; status and text of the answer. Raises `OSError` and `HTTPException`."""
        body = None if fields is None else urlencode(fields, doseq=True)
        if fields is not None:
            headers |= {"Content-Type": "application/x-www-form-urlencoded", "X-CSRFToken": self._token}
        headers["Cookie"] = "; ".join(f"{name}={one.value}" for name, one in self.cookies.items())
        try:
            self._connection.request(method, path, body, headers)
            answer = self._connection.getresponse()
            text = answer.read().decode()
        except (OSError, HTTPException):
            self._connection.close()  # the next request opens it anew
            raise
        self._take_cookies(answer)
        return answer.status, text

    def sign_in(self, username: str) -> None:
        """Raises `NotSignedIn`."""
        self.ask("GET", "/sign-in/")
        status, text = self.ask("POST", "/sign-in/", {"username": username, "password": PASSWORD})
        if status != 302:
            raise NotSignedIn(_words(text))

    @property
    def _token(self) -> str:
        return self.cookies["csrftoken"].value

    def _take_cookies(self, answer: HTTPResponse) -> None:
        for line in answer.headers.get_all("Set-Cookie", []):
            self.cookies.load(line)


@dataclass
class Bench:
    """One person's shift, and what came of it."""

    shift: Shift
    visitor: Visitor
    taken: list[Sending] = field(default_factory=list)
    nonces: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    def work(self, steps: Iterator[Sending], begin: float, end: float) -> None:
        """Send a step each second from `begin` to `end`, by the monotonic clock, until the first refusal."""
        due = begin
        while due < end and not self.refused:
            time.sleep(max(0.0, due - time.monotonic()))
            self._take(next(steps))
            # Who was kept waiting doesn't catch up: the next step is a second after this one, or at once.
            due = max(due + 1.0, time.monotonic())

    def _take(self, step: Sending) -> None:
        nonce = str(uuid4())
        begun = time.monotonic()
        status, text = self._until_answered(step, nonce)
        self.seconds.append(time.monotonic() - begun)
        if len(self.seconds) % SENT_TWICE == 0:
            status, text = self._until_answered(step, nonce)
        if status == 200 and "to" in json.loads(text):
            self.taken.append(step)
            self.nonces.append(nonce)
        else:
            self.refused.append(f"{step.path}: {status} {_words(text)}")

    def _until_answered(self, step: Sending, nonce: str) -> tuple[int, str]:
        for pause in cycle((0.5, 1.0, 2.0)):
            try:
                status, text = self.visitor.ask(
                    "POST",
                    step.path,
                    {**step.fields, "nonce": nonce},
                    **{"X-Ferrulebook-Person": str(self.shift.person.number)},
                )
            except (OSError, HTTPException):
                time.sleep(pause)  # as a tablet does: it is sent until there is an answer
            else:
                return status, text
        raise AssertionError("a cycle has no end")


@dataclass
class Passers:
    """Strangers who look at a public page as fast as they are answered, or come again later if asked to."""

    visitors: list[Visitor]
    path: str
    looks: int = 0
    turned_away: int = 0
    _stop: threading.Event = field(default_factory=threading.Event)

    def start(self) -> list[threading.Thread]:
        threads = [threading.Thread(target=self._look, args=(visitor,)) for visitor in self.visitors]
        for thread in threads:
            thread.start()
        return threads

    def stop(self) -> None:
        self._stop.set()

    def _look(self, visitor: Visitor) -> None:
        while not self._stop.is_set():
            status, _ = visitor.ask("GET", self.path)
            if status == HTTPStatus.SERVICE_UNAVAILABLE:
                self.turned_away += 1
                self._stop.wait(AGAIN_AFTER_S)
            else:
                self.looks += 1


def _words(html: str) -> str:
    """What a page says that was not expected, from its content on."""
    content = html.partition("<main")[2] or html
    return re.sub(r"(<[^>]*>|\s)+", " ", content)[:1000]
