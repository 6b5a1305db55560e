from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core import checks
from django.core.management.base import BaseCommand, CommandError

from shop.core.refusals import Refusal
from shop.ledger.backups import restore_backup


class Command(BaseCommand):
    requires_system_checks = (checks.Tags.models,)  # a fault in a page must not stand in the way
    help = "Brings back the workshop from a file that `backup` wrote. Stop the workshop's server first."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the file that `backup` wrote")
        parser.add_argument("--replace", action="store_true", help="replace the workshop that is here")

    def handle(self, *, file: Path, replace: bool, **_: Any) -> None:
        try:
            lost = restore_backup(file, replace=replace)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"The workshop is as it was in {file}. Run `manage.py check_ledger` now.")
        for one in lost:
            self.stdout.write(
                f"Lost, because they came after the backup: {one}. The ledger says so. Tags given out since "
                "belong to no record, and private texts erased since are back: erase them again."
            )
