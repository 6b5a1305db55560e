"""`manage.py serve`, by itself and behind a proxy that speaks HTTPS."""

from typing import Any

import pytest
import waitress
from django.core.management import call_command
from pytest_django import Settings
from waitress.adjustments import Adjustments

from shop.web.scan.photo import LARGEST_BYTES


class _Served(Exception):
    """Raised in the place of serving."""


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the server was asked for."""
    options: dict[str, Any] = {}

    def create_server(_: object, **given: Any) -> None:
        options.update(given)
        raise _Served

    monkeypatch.setattr(waitress, "create_server", create_server)
    return options


@pytest.mark.django_db
@pytest.mark.parametrize("proxy", ["", "192.168.1.2"])
def test_only_the_proxy_that_was_named_is_believed(
    asked: dict[str, Any], settings: Settings, proxy: str
) -> None:
    settings.HTTPS_PROXY = proxy
    with pytest.raises(_Served):
        call_command("serve", listen="127.0.0.1:8000")
    server = Adjustments(**asked)
    assert (server.trusted_proxy or "") == proxy
    assert ("x-forwarded-proto" in server.trusted_proxy_headers) == bool(proxy)
    assert server.clear_untrusted_proxy_headers


@pytest.mark.django_db
def test_a_photo_of_any_telephone_gets_in_and_a_film_does_not(asked: dict[str, Any]) -> None:
    with pytest.raises(_Served):
        call_command("serve", listen="127.0.0.1:8000")
    assert LARGEST_BYTES < Adjustments(**asked).max_request_body_size < 4 * LARGEST_BYTES
