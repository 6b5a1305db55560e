"""However many strangers look at public pages, the workshop's own people are served."""

import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from shop.web import few_at_a_time
from shop.web.few_at_a_time import AGAIN_AFTER_S, IN_LINE, Environ, FewStrangersAtATime, StartResponse

PATIENCE_S = 30.0
TAG, BENCH = "/T/A-1", "/bench/"


class Kitchen:
    """An application whose pages are made when the test lets them."""

    def __init__(self) -> None:
        self.begun: list[str] = []
        self.came = threading.Condition()
        self.may_end = threading.Event()

    def __call__(self, environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        with self.came:
            self.begun.append(environ["PATH_INFO"])
            self.came.notify_all()
        assert self.may_end.wait(PATIENCE_S)
        start_response("200 OK", [])
        return [b"done"]

    def wait_for(self, *begun: str) -> None:
        with self.came:
            assert self.came.wait_for(lambda: self.begun == list(begun), timeout=PATIENCE_S), self.begun


def ask(server: FewStrangersAtATime, path: str) -> tuple[str, dict[str, str]]:
    """Status and headers of the answer."""
    said: list[Any] = []
    server({"PATH_INFO": path}, lambda *answer: said.extend(answer))
    status, headers = said
    return status, dict(headers)


@contextmanager
def asking(server: FewStrangersAtATime, *paths: str) -> Iterator[None]:
    threads = [threading.Thread(target=ask, args=(server, path)) for path in paths]
    for thread in threads:
        thread.start()
    yield
    for thread in threads:
        thread.join()


@pytest.fixture
def kitchen() -> Kitchen:
    return Kitchen()


@pytest.fixture
def server(kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch) -> FewStrangersAtATime:
    monkeypatch.setattr(few_at_a_time, "COURTESY_S", PATIENCE_S)
    return FewStrangersAtATime(kitchen)


def until(it_is_so: Callable[[], bool]) -> None:
    """Look until it is so."""
    end = time.monotonic() + PATIENCE_S
    while not it_is_so():
        assert time.monotonic() < end
        time.sleep(0.001)


@pytest.mark.parametrize("page", [TAG, TAG.lower(), f"{TAG}/failed/"])
def test_one_page_for_strangers_is_made_at_a_time_and_a_bench_is_served_beside_it(
    server: FewStrangersAtATime, kitchen: Kitchen, page: str
) -> None:
    with asking(server, *[page] * IN_LINE):
        kitchen.wait_for(page)
        with asking(server, BENCH):
            kitchen.wait_for(page, BENCH)
            kitchen.may_end.set()
    assert kitchen.begun.count(page) == IN_LINE


def test_who_finds_all_places_taken_is_asked_to_come_again_and_told_nothing_of_the_hose(
    server: FewStrangersAtATime, kitchen: Kitchen
) -> None:
    with asking(server, *[TAG] * IN_LINE):
        kitchen.wait_for(TAG)
        until(lambda: server._places._value == 0)
        status, headers = ask(server, TAG)
        kitchen.may_end.set()
    assert status == "503 Service Unavailable"
    assert headers["Retry-After"] == headers["Refresh"] == str(AGAIN_AFTER_S)
    assert headers["Cache-Control"] == "no-store"
    assert ask(server, TAG)[0] == "200 OK", "there are places again"


def test_a_stranger_waits_until_nobody_of_the_workshop_does(
    server: FewStrangersAtATime, kitchen: Kitchen
) -> None:
    with asking(server, BENCH):
        kitchen.wait_for(BENCH)
        with asking(server, TAG):
            until(lambda: bool(server._changed._waiters) or TAG in kitchen.begun)
            assert kitchen.begun == [BENCH]
            kitchen.may_end.set()
    assert kitchen.begun == [BENCH, TAG]


def test_a_stranger_waits_for_a_moment_only(
    server: FewStrangersAtATime, kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(few_at_a_time, "COURTESY_S", 0.01)
    with asking(server, BENCH):
        kitchen.wait_for(BENCH)
        with asking(server, TAG):
            kitchen.wait_for(BENCH, TAG)
            kitchen.may_end.set()
