"""Bringing a backup back, and recording what it did not hold."""

import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.db.migrations.loader import MigrationLoader

from shop.ledger import heads
from shop.ledger.actors import PROGRAM
from shop.ledger.backups import archives
from shop.ledger.backups.databases import load_database, set_damaged_file_aside
from shop.ledger.models import HOME, Chain, Entry
from shop.ledger.refusals import NotABackup, WorkshopInTheWay
from shop.ledger.restores import LostRange, lost_ranges
from shop.ledger.sealing.keys import keys_folder
from shop.ledger.services import note
from shop.ledger.verbs import RESTORED


@dataclass(frozen=True, slots=True)
class _Before:
    """What the ledger that is to be replaced says of earlier restores."""

    restores: tuple[tuple[str, int, str], ...] = ()  # site, number and hash of the entries that tell of them
    lost: tuple[LostRange, ...] = ()


def restore_backup(path: Path, *, replace: bool = False) -> tuple[LostRange, ...]:
    """Put the backup in the place of what is here, and record which entries it did not hold.

    Everything is read and checked before anything is replaced. The schema is brought to this
    program's version and the triggers are installed. Raises `NotABackup`, `WorkshopInTheWay` (without
    `replace`), `HeadsUnreadable`, `ToolMissing`, `CopyFailed`.
    """
    with tempfile.TemporaryDirectory(prefix="restore-", dir=settings.DATA_DIR) as name:
        folder = Path(name)
        manifest = archives.unpack(path, folder)
        _refuse_foreign(path, manifest)
        copy = heads.read_copy()
        before = _make_way(replace)
        load_database(folder / archives.DATABASE)
        call_command("migrate", interactive=False, verbosity=0)
        _put_files_back(folder)
    lost = _lost(copy, before)
    home, _ = Chain.objects.get_or_create(site=HOME)
    with transaction.atomic():
        facts = {"made_at": manifest.made_at, "lost": [asdict(one) for one in lost]}
        note(actor=PROGRAM, verb=RESTORED, subject=home, facts=facts)
    heads.replace_copy({chain.site: heads.Head(chain.length, chain.head) for chain in Chain.objects.all()})
    return lost


def _refuse_foreign(path: Path, manifest: archives.Manifest) -> None:
    if manifest.vendor != connection.vendor:
        raise NotABackup(
            path=path, reason=f"it is of a {manifest.vendor} database, here is {connection.vendor}"
        )
    known = set(MigrationLoader(None).disk_migrations)
    if any((app, name) not in known for app, name in manifest.migrations):
        raise NotABackup(path=path, reason="a newer version of the program made it")


def _make_way(replace: bool) -> _Before:
    """Refuse to replace a workshop unasked; tell what its ledger says of earlier restores."""
    try:
        tables = connection.introspection.table_names()
        there = Entry._meta.db_table in tables
        entries = Entry.objects.count() if there else None
        before = _before() if there else _Before()
    except DatabaseError as error:  # broken beyond reading, which is what backups are for
        if not replace:
            raise WorkshopInTheWay(contents="a database that can't be read") from error
        if connection.vendor == "sqlite":
            set_damaged_file_aside()
        return _Before()
    if tables and entries is None and not replace:
        raise WorkshopInTheWay(contents="tables, but no ledger")
    if entries and not replace:
        raise WorkshopInTheWay(contents=f"a workshop with {entries} entries in its ledger")
    return before


def _before() -> _Before:
    restores = Entry.objects.filter(verb=RESTORED.name).order_by("pk")
    return _Before(tuple(restores.values_list("chain__site", "number", "hash")), lost_ranges())


def _put_files_back(folder: Path) -> None:
    """Files that came after the backup stay where they are: nothing refers to them, nothing is lost."""
    if (folder / archives.FILES).exists():
        shutil.copytree(folder / archives.FILES, settings.MEDIA_ROOT, dirs_exist_ok=True)
    if (folder / archives.KEY).exists():
        key = Path(settings.DATA_DIR) / "secret_key"
        shutil.copy(folder / archives.KEY, key)
        key.chmod(0o600)
    if (folder / archives.SEALING_KEYS).exists():
        keys_folder().mkdir(mode=0o700, exist_ok=True)
        for sealing_key in (folder / archives.SEALING_KEYS).iterdir():
            shutil.copy(sealing_key, keys_folder())
            (keys_folder() / sealing_key.name).chmod(0o600)


def _lost(copy: Mapping[str, heads.Head], before: _Before) -> tuple[LostRange, ...]:
    """What was known and is not in the restored database.

    Known are the heads in the copy outside the database, and what earlier restores have lost. Two
    lines of history part at a restore: where the copy's line is not the one that was brought back, it
    is lost from its first restore that the other doesn't know.
    """
    lost = []
    for site, head in sorted(copy.items()):
        parted = [
            number for one, number, digest in before.restores if one == site and not _has(one, number, digest)
        ]
        length = _length(site)
        beyond = [length + 1] if head.number > length else []
        lost.append(LostRange(site, min([*parted, *beyond], default=1), head.number, head.hash))
    for one in before.lost:
        length = _length(one.chain)
        first = max(one.first, length + 1) if one.last > length else one.first
        lost.append(LostRange(one.chain, first, one.last, one.hash))
    return tuple(one for one in lost if not _has(one.chain, one.last, one.hash))


def _length(site: str) -> int:
    return Entry.objects.filter(chain__site=site).count()


def _has(site: str, number: int, digest: str) -> bool:
    return Entry.objects.filter(chain__site=site, number=number, hash=digest).exists()
