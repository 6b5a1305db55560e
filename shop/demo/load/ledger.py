"""How fast a ledger is checked: beside a plain loop that reads the same rows and hashes them."""

import hashlib
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from decimal import Decimal
from itertools import cycle, islice

from django.conf import settings
from django.db import models, transaction

from shop.demo.catalogue import write_catalogue
from shop.demo.people import begin
from shop.ledger.canonical import canonical
from shop.ledger.checking import check_ledger
from shop.ledger.facts import row_facts
from shop.ledger.models import Entry, PrivateText
from shop.ledger.services import seal_ledger
from shop.ledger.triggers import record_models
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import count_piece, receive_hose

PIECES = 50  # at a time
COUNTS = 20  # of each
FIRST_MM = Decimal(900_000)
BATCH = 1000  # rows in memory at a time
ROUNDS = 3


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


class Scratch:
    """A scratch workshop that receives hose and counts it, over and over."""

    def __init__(self) -> None:
        self.cast = begin()
        self.parts = write_catalogue(self.cast)

    def grow_to(self, entries: int) -> None:
        """Go on until the ledger has so many entries, then seal it."""
        while (missing := entries - Entry.objects.count()) > 0:
            with transaction.atomic():
                lot = Lot(hose=self.parts.cascade, batch="R1", made_printed=f"1Q{today().year}")
                pieces = receive_hose(actor=self.cast.bench, lot=lot, lengths_mm=[FIRST_MM] * PIECES)
                for piece in islice(cycle(pieces), min(missing, PIECES * COUNTS)):
                    count_piece(actor=self.cast.bench, piece=piece, measured_mm=piece.length_left - 1)
        seal_ledger(actor=self.cast.auditor)


def peak_of_a_check() -> int:
    """The most memory that `manage.py check_ledger` takes in a process of its own, in bytes (Linux).

    Raises `LedgerNotRight` if it finds a fault.
    """
    command = [sys.executable, "manage.py", "check_ledger"]
    process = subprocess.Popen(command, cwd=settings.BASE_DIR, stdout=subprocess.DEVNULL)  # noqa: S603  # ourselves
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise LedgerNotRight("manage.py check_ledger found a fault.")
    return usage.ru_maxrss * 1024


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
        names = [field.name for field in table._meta.concrete_fields]
        for row in table._default_manager.order_by("pk").iterator(BATCH):
            total.update(canonical(row_facts(row, names)).encode())
    return total.hexdigest()
