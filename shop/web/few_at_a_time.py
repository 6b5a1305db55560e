"""However many strangers look at public pages, the benches go on.

Pages for strangers are made one at a time, and begun while nobody of the workshop waits for a page, or after
a moment. A few wait for theirs; who comes on top of them is asked to come again.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from threading import BoundedSemaphore, Condition, Lock
from typing import Any

PUBLIC = ("/T/", "/t/")  # as the QR has it, and as people type it
IN_LINE = 4  # that many threads of the server they may hold at most
COURTESY_S = 0.25  # how long one waits for a moment in which nobody of the workshop waits
AGAIN_AFTER_S = 2

Environ = dict[str, Any]
StartResponse = Callable[..., Any]
Application = Callable[[Environ, StartResponse], Iterable[bytes]]


class FewStrangersAtATime:
    """The server's application, with places for `IN_LINE` public pages."""

    def __init__(self, application: Application) -> None:
        self._application = application
        self._places = BoundedSemaphore(IN_LINE)
        self._one_at_a_time = Lock()
        self._own = 0  # pages of the workshop's own people that are being made
        self._changed = Condition()

    def __call__(self, environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        if not environ["PATH_INFO"].startswith(PUBLIC):
            with self._counted():
                return self._application(environ, start_response)
        if not self._places.acquire(blocking=False):
            return _come_again(start_response)
        try:
            with self._one_at_a_time:
                self._let_the_workshop_go_first()
                return self._application(environ, start_response)
        finally:
            self._places.release()

    @contextmanager
    def _counted(self) -> Iterator[None]:
        with self._changed:
            self._own += 1
        try:
            yield
        finally:
            with self._changed:
                self._own -= 1
                self._changed.notify()

    def _let_the_workshop_go_first(self) -> None:
        with self._changed:
            self._changed.wait_for(lambda: not self._own, timeout=COURTESY_S)


def _come_again(start_response: StartResponse) -> Iterable[bytes]:
    """Not what the hose's state is, but that nobody has looked: a browser asks again by itself."""
    start_response(
        "503 Service Unavailable",
        [
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Cache-Control", "no-store"),
            ("Retry-After", str(AGAIN_AFTER_S)),
            ("Refresh", str(AGAIN_AFTER_S)),
        ],
    )
    return [
        b"Too many people are looking just now. This page asks again by itself in a moment.\n"
        b"Until it says RELEASED, don't put the hose under pressure.\n"
    ]
