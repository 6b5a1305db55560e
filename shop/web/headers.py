"""What every page tells the browser it may do."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

# Pages take everything from this machine and have neither script nor style inside them, so that a
# script which somebody managed to type into a name is not run.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


class ContentPolicy:
    """Middleware: pages load and send nothing elsewhere. Papers are for the browser's own viewer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if response.headers.get("Content-Type", "").startswith("text/html"):
            response.headers["Content-Security-Policy"] = POLICY
        return response
