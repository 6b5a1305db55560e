"""`manage.py demo`: an invented workshop, ready to click."""

import os
import sys
from typing import Any

from django.conf import settings
from django.contrib.auth import authenticate
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.demo.building import build_demo
from shop.demo.people import OWNER, PASSWORD, PIN
from shop.people.models import User
from shop.policy.models import Workshop


class Command(BaseCommand):
    help = "Makes the demo workshop, in a data folder of its own, and serves it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--listen", default="127.0.0.1:8000", help="address and port; default %(default)s"
        )
        parser.add_argument("--build-only", action="store_true", help="make it and don't serve it")

    def handle(self, *, listen: str, build_only: bool, **_: Any) -> None:
        self._move_to_own_folder()
        call_command("migrate", verbosity=0)
        if not Workshop.objects.exists():
            self.stdout.write("Making the demo workshop …")
            build_demo()
        elif authenticate(username=OWNER, password=PASSWORD) is None:
            raise CommandError(
                "There is a workshop here that is not the demo. Take FERRULEBOOK_DATA and DATABASE_URL out "
                "of the environment, and the demo has a folder of its own; or start this one: manage.py serve"
            )
        self.stdout.write(f"\n{Workshop.objects.get().name}, an invented workshop: http://{listen}/\n")
        self.stdout.write(f"Sign in with one of these names and the password {PASSWORD!r}:\n")
        for person in User.objects.all():
            self.stdout.write(f"  {person.username:<8} {person.role_words:<10} {person.name}")
        self.stdout.write(f"At a tablet the badge, printed under Quality, People, goes with the PIN {PIN}.\n")
        if not build_only:
            call_command("serve", listen=listen)

    def _move_to_own_folder(self) -> None:
        """Start over with the demo's folder as the data folder, unless somebody has said which to take."""
        folder = settings.BASE_DIR / ".data" / "demo"
        if folder == settings.DATA_DIR or "DATABASE_URL" in os.environ or "FERRULEBOOK_DATA" in os.environ:
            return
        os.environ["FERRULEBOOK_DATA"] = str(folder)
        os.execv(sys.executable, [sys.executable, *sys.argv])  # noqa: S606  # this very command again
