"""How fast a ledger is checked: beside a plain loop that reads the same rows and hashes them."""

import hashlib
import subprocess
import sys
import time
from dataclasses import dataclass

from django.conf import settings
from django.db import models

from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry, PrivateText
from shop.ledger.stored import pages_of
from shop.ledger.triggers import record_models

ENTRIES_OF_AN_ASSEMBLY = 11  # or a little more, on an average of copied work
BATCH = 1000  # rows in memory at a time
ROUNDS = 3
# By a small process in between: Linux counts what a process had in memory before it became another program.
PEAK_OF = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


class LedgerNotRight(Exception):
    """A check of the scratch ledger found a fault."""


@dataclass(frozen=True)
class Pace:
    """Seconds for the whole check, and for the loop that only reads and hashes."""

    entries: int
    checking_s: float
    looping_s: float

    @property
    def share(self) -> float:
        """The speed of the check as a share of the loop's."""
        return self.looping_s / self.checking_s


def peak_of_a_check() -> int:
    """The most memory that `manage.py check_ledger` takes in a process of its own, in bytes (Linux).

    Raises `LedgerNotRight` if it finds a fault.
    """
    command = [sys.executable, "-c", PEAK_OF, sys.executable, "manage.py", "check_ledger"]
    process = subprocess.run(command, cwd=settings.BASE_DIR, stdout=subprocess.PIPE, check=False)  # noqa: S603  # ourselves
    if process.returncode:
        raise LedgerNotRight("manage.py check_ledger found a fault.")
    return int(process.stdout) * 1024


def measure() -> Pace:
    """The fastest of three checks and of three plain loops, in turn: a busy moment hits neither alone.

    Raises `LedgerNotRight` if a check finds a fault.
    """
    checking, looping, entries = [], [], 0
    for _ in range(ROUNDS):
        began = time.perf_counter()
        read_and_hash()
        looped = time.perf_counter()
        result = check_ledger()
        checking.append(time.perf_counter() - looped)
        looping.append(looped - began)
        entries = result.entries
        if not result.is_right:
            raise LedgerNotRight(str(result.faults[0]))
    return Pace(entries, min(checking), min(looping))


def read_and_hash() -> str:
    """One hash over every entry, record and private text, each in canonical form, and nothing compared."""
    total = hashlib.sha256()
    tables: tuple[type[models.Model], ...] = (Entry, PrivateText, *record_models())
    for table in tables:
        names = tuple(field.name for field in table._meta.concrete_fields)
        for page in pages_of(table, names, at_once=BATCH):
            total.update("".join(page.values()).encode())
    return total.hexdigest()
