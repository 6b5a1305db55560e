"""`manage.py serve`: the workshop's pages, for every bench and phone in reach."""

from threading import Event, Thread
from typing import Any

import waitress
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.ledger.sealing.daily import seal_daily
from shop.web.few_at_a_time import FewStrangersAtATime

# More than any photo or list that the pages take. The server keeps what is sent in a file before it
# knows who sends it, and would take a gigabyte from anybody.
LARGEST_REQUEST = 40_000_000


class Command(BaseCommand):
    help = "Brings the database up to date, serves the pages, and seals the ledger once a day."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--listen", default="0.0.0.0:8000", help="address and port; default %(default)s")
        parser.add_argument("--threads", type=int, default=12, help="requests at a time; default %(default)s")

    def handle(self, *, listen: str, threads: int, **_: Any) -> None:
        call_command("migrate", verbosity=0)
        from shop.wsgi import application  # after migrating: it refuses to start without the triggers

        try:
            server = waitress.create_server(
                FewStrangersAtATime(application),
                listen=listen,
                threads=threads,
                ident="",
                max_request_body_size=LARGEST_REQUEST,
                **_behind(settings.HTTPS_PROXY),
            )
        except OSError as error:
            raise CommandError(
                f"{listen} can't be served: {error.strerror}. Stop what is there, or choose another: --listen"
            ) from error
        Thread(target=seal_daily, args=(Event(),), name="seals", daemon=True).start()
        self.stdout.write(f"Serving on http://{listen} (Ctrl-C stops).")
        server.run()


def _behind(proxy: str) -> dict[str, Any]:
    """What to believe a proxy: that it was reached by HTTPS, under which name and by whom."""
    if not proxy:
        return {}
    return {
        "trusted_proxy": proxy,
        "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-host", "x-forwarded-proto"},
    }
