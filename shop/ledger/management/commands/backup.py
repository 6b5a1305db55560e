from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core import checks
from django.core.management.base import BaseCommand, CommandError

from shop.core.refusals import Refusal
from shop.ledger.backups import write_backup


class Command(BaseCommand):
    requires_system_checks = (checks.Tags.models,)  # a fault in a page must not stand in the way
    help = "Writes the workshop (database, files, key, copy of the ledger's heads) into one file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the file to write, ending in .tar.gz by habit")

    def handle(self, *, file: Path, **_: Any) -> None:
        try:
            write_backup(file)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"The workshop is in {file}. It holds the key: keep it where only you can read it.")
