"""`manage.py benchmark`, in a scratch workshop.

`bench` lets many benches loose on the real server and says what became of each step. `ledger` checks a
long ledger, beside a plain loop over the same rows. `trace` asks what pages ask among very many assemblies,
beside SQL by hand.
"""

import os
import platform
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from shop.assemblies.models import Assembly
from shop.demo.load.asking import ask_all, faults_of
from shop.demo.load.ledger import ENTRIES_OF_AN_ASSEMBLY, measure, peak_of_a_check
from shop.demo.load.many.building import ManyAssemblies
from shop.demo.load.running import Course, lost_and_doubled, run_benches, server, slowest_from
from shop.demo.load.work import prepare_shifts
from shop.ledger.actors import PROGRAM
from shop.ledger.services import seal_ledger
from shop.policy.models import Workshop

SCRATCH = "FERRULEBOOK_BENCHMARK"  # set by this command for itself, once the data folder is a scratch one
LONGEST_S = 900
SHORTER = 10  # times shorter is the first ledger that is checked
LEAST_SHARE = 0.5  # of the speed of a plain loop
MOST_GROWTH = 1.2  # of the memory, for ten times the entries


class Command(BaseCommand):
    help = (
        "In a scratch workshop. bench: lets benches record a step every second while public pages are "
        "flooded, and counts what was lost or recorded twice. ledger: checks a long ledger of copied work "
        "and says how fast that is beside a plain loop over its rows, and what memory it takes at two "
        "lengths. trace: makes very many assemblies and asks of them what pages ask, beside SQL by hand, at "
        "two sizes. Exit code 1 if anything was lost, if the check has less than half the speed, if its "
        "memory grows, or if an answer takes more time than the SQL allows or than among a tenth of the "
        "assemblies."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("what", choices=["bench", "ledger", "trace"])
        parser.add_argument("--seconds", type=int, default=300, help="how long; default %(default)s")
        parser.add_argument("--benches", type=int, default=8, help="how many; default %(default)s")
        parser.add_argument("--passers", type=int, default=4, help="on a public page; default %(default)s")
        parser.add_argument(
            "--idle", type=int, default=15, help="seconds of one bench alone; default %(default)s"
        )
        parser.add_argument(
            "--entries", type=int, default=20_000, help="of the longer ledger; default %(default)s"
        )
        parser.add_argument(
            "--assemblies", type=int, default=20_000, help="that are made; default %(default)s"
        )
        parser.add_argument("--database", help="address of an empty database; it is left as it is afterwards")

    def handle(self, *, what: str, seconds: int, benches: int, idle: int, **options: Any) -> None:
        if min(seconds, idle, benches) < 1 or seconds > LONGEST_S:
            raise CommandError(f"Take from 1 to {LONGEST_S} seconds, and one bench or more.")
        if SCRATCH not in os.environ:
            sys.exit(_in_a_scratch_folder(options["database"]))
        call_command("migrate", verbosity=0)
        if Workshop.objects.exists():
            raise CommandError("There is a workshop in that database. Give the address of an empty one.")
        if what == "ledger":
            done = self._check_ledgers(options["entries"])
        elif what == "trace":
            done = self._ask(options["assemblies"])
        else:
            done = self._run_benches(seconds, benches, options["passers"], idle)
        if not done:
            sys.exit(1)

    def _check_ledgers(self, entries: int) -> bool:
        """Check a ledger and one ten times as long; whether that is as fast and small as it has to be."""
        assemblies = entries // ENTRIES_OF_AN_ASSEMBLY
        many, peaks = ManyAssemblies(assemblies), []
        for number in (assemblies // SHORTER, assemblies):
            many.grow_to(number, self.stdout.write)
            peaks.append(peak_of_a_check())
        seal_ledger(actor=PROGRAM)
        pace = measure()
        self.stdout.write(
            f"{pace.entries} entries on {connection.vendor}: checked in {pace.checking_s:.1f} s, "
            f"{pace.entries / pace.checking_s:.0f} a second"
        )
        self.stdout.write(f"a plain loop that reads and hashes the same rows takes {pace.looping_s:.1f} s")
        self.stdout.write(f"so the check has {100 * pace.share:.0f} % of its speed")
        shown = [f"{peak / 1e6:.0f} MB" for peak in peaks]
        self.stdout.write(f"memory at the most: {shown[0]} for the tenth of the entries, {shown[1]} for all")
        return pace.share >= LEAST_SHARE and peaks[1] <= MOST_GROWTH * peaks[0]

    def _ask(self, assemblies: int) -> bool:
        """Ask everything among a tenth of the assemblies and among all; whether no limit was broken."""
        many, asked = ManyAssemblies(assemblies), []
        for number in (assemblies // SHORTER, assemblies):
            many.grow_to(number, self.stdout.write)
            asked.append(ask_all())
            self.stdout.write(f"among {Assembly.objects.count()} assemblies on {connection.vendor}:")
            for one in asked[-1]:
                self.stdout.write(str(one))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
        self.stdout.write(f"memory at the most, making them included: {peak:.0f} MB")
        faults = faults_of(*asked)
        for fault in faults:
            self.stdout.write(fault)
        return not faults

    def _run_benches(self, seconds: int, benches: int, passers: int, idle: int) -> bool:
        """Let benches work; whether no step was lost, recorded twice or refused."""
        self.stdout.write(f"Planning work for {benches} benches …")
        load = "other work on the machine at its start {:.1f}, {:.1f}, {:.1f}".format(*os.getloadavg())
        shifts = prepare_shifts(benches, seconds + idle)
        public_path = f"/T/{Assembly.objects.earliest('pk').code}"
        connection.close()
        with server() as port:
            course = run_benches(
                shifts, port, seconds=seconds, idle=idle, passers=passers, public_path=public_path
            )
        self.stdout.write(f"{platform.machine()} with {os.cpu_count()} cores, {load}")
        return self._report(course, seconds)

    def _report(self, course: Course, seconds: int) -> bool:
        """Say what was measured; whether no step was lost, recorded twice or refused."""
        lost, doubled = lost_and_doubled(course.benches)
        refused = [sentence for bench in course.benches for sentence in bench.refused]
        taken = sum(len(bench.taken) for bench in course.benches)
        sent = sum(len(bench.seconds) for bench in course.benches)
        self.stdout.write(
            f"{len(course.benches)} benches on {connection.vendor}: {sent} steps sent, {taken} taken"
        )
        self.stdout.write(
            f"{course.looks / seconds:.0f} looks a second at a public page meanwhile, "
            f"{course.turned_away} asked to come again"
        )
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
