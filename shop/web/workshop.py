"""The workshop as the pages know it: read once per request, however many figures a page shows."""

from collections.abc import Callable
from contextvars import ContextVar

from django.http import HttpRequest, HttpResponse

from shop.policy.models import Workshop

_of_this_request: ContextVar[list[Workshop | None] | None] = ContextVar("workshop", default=None)


def find_workshop() -> Workshop | None:
    """The workshop of this installation; None before there is one."""
    kept = _of_this_request.get()
    if kept is None:
        return Workshop.objects.first()
    if not kept:
        kept.append(Workshop.objects.first())
    return kept[0]


def workshop_or_default() -> Workshop:
    """The workshop, or one with default units and UTC, so that figures can be shown before it begins."""
    return find_workshop() or Workshop()


class WorkshopOnce:
    """Middleware: `find_workshop` asks the database once per request, and never keeps it longer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        token = _of_this_request.set([])
        try:
            return self.get_response(request)
        finally:
            _of_this_request.reset(token)
