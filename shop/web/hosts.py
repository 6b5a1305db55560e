"""Under which names the workshop's machine answers.

A page from anywhere can point a name of its own at an address inside the workshop, and then read
what the machine answers to the browser that shows that page (DNS rebinding). It can't do so with a
bare number or with a name that is not its own.
"""

from collections.abc import Callable
from ipaddress import ip_address
from urllib.parse import urlsplit

from django.conf import settings
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port

from shop.policy.reading import find_workshop


class KnownHost:
    """Middleware: answer to any address by number, to the machine's names and to the address on the tags."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        host, _ = split_domain_port(request.get_host())
        if not (_is_number(host) or host in settings.HOST_NAMES or host == _host_of_tags()):
            raise DisallowedHost(f"This machine is not known as {host!r}: see FERRULEBOOK_HOSTS.")
        return self.get_response(request)


def _is_number(host: str) -> bool:
    try:
        ip_address(host.strip("[]"))
    except ValueError:
        return False
    return True


def _host_of_tags() -> str | None:
    """Where the tags send a phone is a name of this machine, for all that its owner wants."""
    workshop = find_workshop()
    return urlsplit(workshop.base_address).hostname if workshop is not None else None
