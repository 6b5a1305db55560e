"""Making a backup."""

import shutil
import tempfile
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from shop.ledger.backups import archives
from shop.ledger.backups.databases import dump_database
from shop.ledger.canonical import instant
from shop.ledger.heads import heads_path
from shop.ledger.refusals import FileInTheWay
from shop.ledger.sealing.keys import keys_folder


def write_backup(path: Path) -> None:
    """Write database, files, keys and the copy of the heads into one file; the workshop may go on.

    The copy of the heads is taken before the database, so that it doesn't lead; files and the keys that
    sign seals after it, so that none that the database knows is missing. Raises `FileInTheWay`,
    `ToolMissing`, `CopyFailed`.
    """
    if path.exists():
        raise FileInTheWay(path=path)
    made_at = instant(timezone.now())
    data = Path(settings.DATA_DIR)
    with tempfile.TemporaryDirectory(prefix="backup-", dir=data) as name:
        folder = Path(name)
        for source, member in ((heads_path(), archives.HEADS), (data / "secret_key", archives.KEY)):
            if source.exists():
                shutil.copy(source, folder / member)
        dump_database(folder / archives.DATABASE)
        if keys_folder().exists():
            shutil.copytree(keys_folder(), folder / archives.SEALING_KEYS)
        if Path(settings.MEDIA_ROOT).exists():
            shutil.copytree(settings.MEDIA_ROOT, folder / archives.FILES)
        applied = sorted(MigrationRecorder(connection).applied_migrations())
        archives.pack(
            path, folder, made_at=made_at, vendor=connection.vendor, migrations=[list(one) for one in applied]
        )
