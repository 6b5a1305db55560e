"""The workshop's entry, read once for a request however many figures, days and times are asked of it."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from shop.policy.models import Workshop

_known: ContextVar[list[Workshop] | None] = ContextVar("workshop", default=None)


def find_workshop() -> Workshop | None:
    """The workshop of this installation; None before there is one."""
    known = _known.get()
    if known:
        return known[0]
    workshop = Workshop.objects.first()
    if known is not None and workshop is not None:
        known.append(workshop)
    return workshop


@contextmanager
def workshop_read_once() -> Iterator[None]:
    """Ask the database for the workshop once at most while this lasts, and never keep it longer."""
    token = _known.set([])
    try:
        yield
    finally:
        _known.reset(token)
