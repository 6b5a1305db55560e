from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core import checks
from django.core.management.base import BaseCommand, CommandError

from shop.core.refusals import Refusal
from shop.ledger.actors import PROGRAM
from shop.ledger.refusals import FileInTheWay, NothingToSeal
from shop.ledger.sealing.files import export_seals
from shop.ledger.services import seal_ledger


class Command(BaseCommand):
    requires_system_checks = (checks.Tags.models,)  # a fault in a page must not stand in the way
    help = (
        "Seals what was recorded since the newest seal; the first seal makes the key. For a timer, each day."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--export", type=Path, metavar="FILE", help="write every seal to this file too")

    def handle(self, *, export: Path | None, **_: Any) -> None:
        try:
            self._seal()
            if export is not None:
                _write(export)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        if export is not None:
            self.stdout.write(f"Every seal is in {export}. Keep it on another machine, or on paper.")

    def _seal(self) -> None:
        try:
            for seal in seal_ledger(actor=PROGRAM):
                self.stdout.write(f"Made the {seal}, signed by {seal.key}.\nIts root is {seal.root}.")
        except NothingToSeal as refusal:
            self.stdout.write(refusal.what)


def _write(path: Path) -> None:
    content = export_seals().text()
    try:
        with path.open("x") as file:
            file.write(content)
    except FileExistsError as error:
        raise FileInTheWay(path=path) from error
