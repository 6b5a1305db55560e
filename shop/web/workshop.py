"""The workshop as the pages know it."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from shop.policy.models import Workshop
from shop.policy.reading import find_workshop, workshop_read_once


def workshop_or_default() -> Workshop:
    """The workshop, or one with default units and UTC, so that figures can be shown before it begins."""
    return find_workshop() or Workshop()


class WorkshopOnce:
    """Middleware: the workshop's entry is read once per request."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with workshop_read_once():
            return self.get_response(request)
