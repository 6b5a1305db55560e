"""A run of the benches against the real server in a process of its own, and the count afterwards."""

import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from django.conf import settings

from shop.assemblies.models import Submission
from shop.demo.load.benches import Bench, Passers, Visitor
from shop.demo.load.work import Shift
from shop.ledger.models import Entry

HOST = "127.0.0.1"
STARTS_WITHIN_S = 60


class ServerFailed(Exception):
    """The server did not start, or an error of the program came up."""


@dataclass(frozen=True)
class Course:
    """How it went: seconds until a step was answered, of one bench alone and of all under load."""

    benches: Sequence[Bench]
    alone: Sequence[float]
    under_load: Sequence[float]
    looks: int
    turned_away: int


@contextmanager
def server() -> Iterator[int]:
    """The port at which `manage.py serve` shows this database.

    Raises `ServerFailed` with what it said if it didn't start, or if an error of the program came up.
    """
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        port: int = probe.getsockname()[1]
    command = [sys.executable, "manage.py", "serve", "--listen", f"{HOST}:{port}"]
    log = settings.DATA_DIR / "server.log"
    with log.open("w") as said:
        process = subprocess.Popen(command, cwd=settings.BASE_DIR, stdout=said, stderr=said)  # noqa: S603  # ourselves
    try:
        if not _has_started(process, port):
            raise ServerFailed(log.read_text())
        yield port
    finally:
        process.terminate()
        process.wait()
    if "Traceback" in log.read_text():
        raise ServerFailed(log.read_text())


def run_benches(
    shifts: Sequence[Shift], port: int, *, seconds: int, idle: int, passers: int, public_path: str
) -> Course:
    """The first bench works alone for `idle` seconds, then all do for `seconds`, strangers looking on."""
    benches = [Bench(shift, Visitor(HOST, port)) for shift in shifts]
    steps = [iter(bench.shift.steps) for bench in benches]
    for bench in benches:
        bench.visitor.sign_in(bench.shift.person.username)
    now = time.monotonic()
    benches[0].work(steps[0], now, now + idle)
    alone = list(benches[0].seconds)
    flood = Passers([Visitor(HOST, port) for _ in range(passers)], public_path)
    looking = flood.start()
    now = time.monotonic()
    working = [
        # Each begins at another moment of the second, as people do.
        threading.Thread(target=bench.work, args=(steps[n], now + n / len(benches), now + seconds))
        for n, bench in enumerate(benches)
    ]
    for thread in working:
        thread.start()
    for thread in working:
        thread.join()
    flood.stop()
    for thread in looking:
        thread.join()
    under_load = [*benches[0].seconds[len(alone) :], *(s for bench in benches[1:] for s in bench.seconds)]
    return Course(benches, alone, under_load, flood.looks, flood.turned_away)


def lost_and_doubled(benches: Sequence[Bench]) -> tuple[int, int]:
    """How many steps were acknowledged but are not in the ledger, and how many are in it once too often."""
    lost = doubled = 0
    for bench in benches:
        expected = Counter(step.verb for step in bench.taken)
        verbs = {step.verb for step in bench.shift.steps}
        entries = Entry.objects.filter(actor_number=bench.shift.person.number, verb__in=verbs)
        found = Counter(entries.values_list("verb", flat=True))
        lost += (expected - found).total()
        doubled += (found - expected).total()
        lost += len(bench.nonces) - Submission.objects.filter(nonce__in=bench.nonces).count()
    return lost, doubled


def slowest_from(seconds: Sequence[float], share: float) -> float:
    """How long the fastest of that share of the slowest took, in seconds."""
    ranked = sorted(seconds)
    return ranked[-max(1, round(len(ranked) * share))]


def _has_started(process: "subprocess.Popen[bytes]", port: int) -> bool:
    end = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < end and process.poll() is None:
        with socket.socket() as knock:
            if knock.connect_ex((HOST, port)) == 0:
                return True
        time.sleep(0.1)
    return False
