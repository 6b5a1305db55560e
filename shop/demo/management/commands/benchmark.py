"""`manage.py benchmark bench`: many benches at once against the real server, and what became of each step."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from shop.assemblies.models import Assembly
from shop.demo.load.running import Course, lost_and_doubled, run_benches, server, slowest_from
from shop.demo.load.work import prepare_shifts
from shop.policy.models import Workshop

SCRATCH = "FERRULEBOOK_BENCHMARK"  # set by this command for itself, once the data folder is a scratch one
LONGEST_S = 900


class Command(BaseCommand):
    help = (
        "Lets benches record a step every second while public pages are flooded, in a scratch workshop, and "
        "counts what was lost or recorded twice; exit code 1 if anything was."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("what", choices=["bench"])
        parser.add_argument("--seconds", type=int, default=300, help="how long; default %(default)s")
        parser.add_argument("--benches", type=int, default=8, help="how many; default %(default)s")
        parser.add_argument("--passers", type=int, default=4, help="on a public page; default %(default)s")
        parser.add_argument(
            "--idle", type=int, default=15, help="seconds of one bench alone; default %(default)s"
        )
        parser.add_argument("--database", help="address of an empty database; it is left as it is afterwards")

    def handle(self, *, seconds: int, benches: int, passers: int, idle: int, **options: Any) -> None:
        if min(seconds, idle, benches) < 1 or seconds > LONGEST_S:
            raise CommandError(f"Take from 1 to {LONGEST_S} seconds, and one bench or more.")
        if SCRATCH not in os.environ:
            sys.exit(_in_a_scratch_folder(options["database"]))
        call_command("migrate", verbosity=0)
        if Workshop.objects.exists():
            raise CommandError("There is a workshop in that database. Give the address of an empty one.")
        self.stdout.write(f"Planning work for {benches} benches …")
        shifts = prepare_shifts(benches, seconds + idle)
        public_path = f"/T/{Assembly.objects.earliest('pk').code}"
        connection.close()
        with server() as port:
            course = run_benches(
                shifts, port, seconds=seconds, idle=idle, passers=passers, public_path=public_path
            )
        if not self._report(course, seconds):
            sys.exit(1)

    def _report(self, course: Course, seconds: int) -> bool:
        """Say what was measured; whether no step was lost, recorded twice or refused."""
        lost, doubled = lost_and_doubled(course.benches)
        refused = [sentence for bench in course.benches for sentence in bench.refused]
        taken = sum(len(bench.taken) for bench in course.benches)
        self.stdout.write(f"{taken} steps of {len(course.benches)} benches on {connection.vendor}")
        self.stdout.write(f"{course.looks / seconds:.0f} looks a second at a public page meanwhile")
        self.stdout.write(f"lost {lost}, recorded twice {doubled}, refused {len(refused)}")
        for name, times in (("one bench alone", course.alone), ("all under load", course.under_load)):
            half, tenth, worst = (1000 * slowest_from(times, share) for share in (0.5, 0.1, 0))
            self.stdout.write(
                f"{name}: half from {half:.0f} ms, slowest tenth from {tenth:.0f} ms, slowest {worst:.0f} ms"
            )
        for sentence in refused:
            self.stdout.write(f"refused: {sentence}")
        return not (lost or doubled or refused)


def _in_a_scratch_folder(database: str | None) -> int:
    """Run this very command once more on a scratch data folder; its exit code."""
    with tempfile.TemporaryDirectory(prefix="ferrulebook-") as folder:
        environment = {
            **os.environ,
            SCRATCH: "yes",
            "FERRULEBOOK_DATA": folder,
            "DATABASE_URL": database or f"sqlite:///{Path(folder) / 'scratch.sqlite3'}",
        }
        return subprocess.run([sys.executable, *sys.argv], env=environment, check=False).returncode  # noqa: S603  # ourselves
