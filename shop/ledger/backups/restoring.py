"""Bringing a backup back, and recording what it did not hold."""

import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.db.migrations.loader import MigrationLoader

from shop.ledger import heads
from shop.ledger.backups import archives
from shop.ledger.backups.databases import load_database, set_damaged_file_aside
from shop.ledger.models import HOME, Chain, Entry
from shop.ledger.refusals import NotABackup, WorkshopInTheWay
from shop.ledger.restores import LostRange
from shop.ledger.services import note
from shop.ledger.verbs import RESTORED
from shop.people.models import User

Restores = list[tuple[str, int, str]]  # site, number and hash of entries that recorded a restore


def restore_backup(path: Path, *, replace: bool = False) -> tuple[LostRange, ...]:
    """Put the backup in the place of what is here, and record which entries it did not hold.

    Everything is read and checked before anything is replaced. The schema is brought to this
    program's version and the triggers are installed. Raises `NotABackup`, `WorkshopInTheWay` (without
    `replace`), `ToolMissing`, `CopyFailed`.
    """
    with tempfile.TemporaryDirectory(prefix="restore-", dir=settings.DATA_DIR) as name:
        folder = Path(name)
        manifest = archives.unpack(path, folder)
        _refuse_foreign(path, manifest)
        earlier = _make_way(replace)
        load_database(folder / archives.DATABASE)
        call_command("migrate", interactive=False, verbosity=0)
        _put_files_back(folder)
    lost = _lost(heads.read_copy(), earlier)
    home, _ = Chain.objects.get_or_create(site=HOME)
    with transaction.atomic():
        facts = {"made_at": manifest.made_at, "lost": [asdict(one) for one in lost]}
        note(actor=User.objects.system(), verb=RESTORED, subject=home, facts=facts)
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


def _make_way(replace: bool) -> Restores:
    """Refuse to replace entries unasked; tell which restores the ledger here has recorded."""
    try:
        if Entry._meta.db_table not in connection.introspection.table_names():
            return []
        entries = Entry.objects.count()
        restores = Entry.objects.filter(verb=RESTORED.name).values_list("chain__site", "number", "hash")
        earlier = list(restores.order_by("pk"))
    except DatabaseError as error:  # broken beyond reading, which is what backups are for
        if not replace:
            raise WorkshopInTheWay(entries="unreadable") from error
        if connection.vendor == "sqlite":
            set_damaged_file_aside()
        return []
    if entries and not replace:
        raise WorkshopInTheWay(entries=entries)
    return earlier


def _put_files_back(folder: Path) -> None:
    """Files that came after the backup stay where they are: nothing refers to them, nothing is lost."""
    if (folder / archives.FILES).exists():
        shutil.copytree(folder / archives.FILES, settings.MEDIA_ROOT, dirs_exist_ok=True)
    if (folder / archives.KEY).exists():
        key = Path(settings.DATA_DIR) / "secret_key"
        shutil.copy(folder / archives.KEY, key)
        key.chmod(0o600)


def _lost(copy: Mapping[str, heads.Head], earlier: Restores) -> tuple[LostRange, ...]:
    """What the copy of the heads outside the database knows and the restored database lacks.

    Two lines of history part at a restore. So where the copy's line is not the one that was brought
    back, it is lost from its first restore that the other doesn't know.
    """
    lost = []
    for site, head in sorted(copy.items()):
        entries = Entry.objects.filter(chain__site=site)
        if entries.filter(number=head.number, hash=head.hash).exists():
            continue
        length = entries.count()
        parted = [
            number
            for one, number, digest in earlier
            if one == site and not entries.filter(number=number, hash=digest).exists()
        ]
        beyond = [length + 1] if head.number > length else []
        lost.append(LostRange(site, min([*parted, *beyond], default=1), head.number, head.hash))
    return tuple(lost)
