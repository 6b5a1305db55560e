import json
from argparse import ArgumentParser
from dataclasses import asdict
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core import checks
from django.core.management.base import BaseCommand, CommandError

from shop.core.refusals import Refusal
from shop.ledger.checking import Checkpoint, Progress, check_ledger
from shop.ledger.refusals import NothingToResume
from shop.ledger.sealing.files import read_seals


class Command(BaseCommand):
    requires_system_checks = (checks.Tags.models,)  # a fault in a page must not stand in the way
    help = "Checks that nothing recorded was changed; names the first fault and ends with 1 if something was."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--resume", action="store_true", help="pass over what an earlier check has found right"
        )
        parser.add_argument(
            "--seal",
            type=Path,
            metavar="FILE",
            help="exported seals that were kept elsewhere: does the ledger still hold what they sealed?",
        )

    def handle(self, *, resume: bool, seal: Path | None, **_: Any) -> None:
        self.percent = -1
        try:
            start = _read_checkpoints() if resume else None
            kept = read_seals(seal) if seal is not None else None
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        result = check_ledger(resume_from=start, progress=self.show, kept=kept)
        for sentence in result.notices:
            self.stdout.write(f"Note: {sentence}")
        for one in result.lost:
            self.stdout.write(f"Lost when a backup was restored, and recorded: {one}.")
        if not result.is_right:
            raise CommandError(str(result.faults[0]), returncode=1)
        if result.seals:
            self.stdout.write(f"Each of the {result.seals} seals in the ledger holds.")
        for sealed in kept.seals if kept is not None else ():
            self.stdout.write(f"Yes: {sealed}, kept in {seal}, holds.")
        self.stdout.write(f"Right: {result.entries} entries, and every record is as it was written.")

    def show(self, progress: Progress) -> None:
        """Keep how far the check is, and say so at each per cent."""
        _write_checkpoints(progress)
        percent = progress.done * 100 // progress.total
        if percent > self.percent:
            self.percent = percent
            ending = "\r" if self.stdout.isatty() else "\n"
            self.stdout.write(f"{progress.done} of {progress.total} entries ({percent} %)", ending=ending)


def _path() -> Path:
    return Path(settings.DATA_DIR) / "ledger-check.json"


def _write_checkpoints(progress: Progress) -> None:
    new = _path().with_suffix(".new")
    new.write_text(json.dumps({site: asdict(checkpoint) for site, checkpoint in progress.reached.items()}))
    new.replace(_path())


def _read_checkpoints() -> dict[str, Checkpoint]:
    try:
        return {site: Checkpoint(**one) for site, one in json.loads(_path().read_text()).items()}
    except FileNotFoundError as error:
        raise NothingToResume(reason="none has been begun") from error
    except (TypeError, AttributeError, ValueError) as error:
        raise NothingToResume(reason=f"{_path()} can't be understood") from error
