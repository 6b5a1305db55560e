"""The workshop comes back from a backup, and what the backup did not hold is told."""

import io
import json
import shutil
import tarfile
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path

import pytest
from django.db import connection

from shop.core.refusals import Refusal
from shop.ledger import heads
from shop.ledger.backups import archives, restore_backup, write_backup
from shop.ledger.models import Entry
from shop.ledger.refusals import FileInTheWay, HeadsUnreadable, NotABackup
from shop.people.models import User
from tests.ledger.databases import database_url, run_sql
from tests.ledger.drawer import keep
from tests.ledger.processes import Environment, environment_of, manage, write

MARKS = ("T1", "T2", "T3", "T4")


@pytest.fixture
def workshop(bench: User, data_folder: Path, tmp_path: Path) -> Iterator[Environment]:
    """A workshop with four entries, a file and a key."""
    for mark in MARKS:
        keep(bench, mark)
    (data_folder / "secret_key").write_text("the key")
    (data_folder / "sealing-keys").mkdir()
    (data_folder / "sealing-keys" / "38d1.pem").write_text("the key of the seals")
    (data_folder / "files" / "2026").mkdir(parents=True)
    (data_folder / "files" / "2026" / "photo.jpg").write_bytes(b"a photo")
    with database_url(tmp_path) as url:
        yield environment_of(url, data_folder)


@pytest.mark.django_db(transaction=True)
def test_the_workshop_comes_back_and_tells_what_was_lost(
    workshop: Environment, data_folder: Path, tmp_path: Path
) -> None:
    backup = str(tmp_path / "monday.tar.gz")
    assert manage(workshop, "backup", backup).returncode == 0
    assert write(workshop, "T1", 3) == [5, 6, 7]
    (data_folder / "files" / "2026" / "photo.jpg").write_bytes(b"scribbled over")
    (data_folder / "secret_key").unlink()
    shutil.rmtree(data_folder / "sealing-keys")

    refused = manage(workshop, "restore", backup)
    assert refused.returncode == 1
    assert "a workshop with 7 entries in its ledger" in refused.stderr

    restored = manage(workshop, "restore", backup, "--replace")
    assert restored.returncode == 0, restored.stderr
    assert "entries 5 to 7 of the chain home" in restored.stdout
    assert (data_folder / "files" / "2026" / "photo.jpg").read_bytes() == b"a photo"
    assert (data_folder / "secret_key").read_text() == "the key"
    sealing_key = data_folder / "sealing-keys" / "38d1.pem"
    assert sealing_key.read_text() == "the key of the seals"
    assert sealing_key.stat().st_mode & 0o777 == 0o600

    check = manage(workshop, "check_ledger")
    assert (check.returncode, check.stderr) == (0, "")
    assert "Right: 5 entries" in check.stdout
    assert "recorded: entries 5 to 7 of the chain home" in check.stdout
    assert write(workshop, "T1", 1) == [6], "entry 5 tells of the restore"
    assert manage(workshop, "check_ledger").returncode == 0


@pytest.mark.django_db(transaction=True)
def test_a_database_broken_beyond_reading_can_be_replaced(workshop: Environment, tmp_path: Path) -> None:
    backup = str(tmp_path / "monday.tar.gz")
    manage(workshop, "backup", backup)
    if connection.vendor == "sqlite":
        file = Path(workshop["DATABASE_URL"].removeprefix("sqlite:///"))
        file.write_bytes(b"coffee" * 4096)
    else:
        run_sql(workshop["DATABASE_URL"], "DROP TABLE ledger_entry CASCADE")
    assert "which restoring would replace" in manage(workshop, "restore", backup).stderr
    restored = manage(workshop, "restore", backup, "--replace")
    assert restored.returncode == 0, restored.stderr
    assert "Right: 5 entries" in manage(workshop, "check_ledger").stdout


@pytest.mark.django_db(transaction=True)
def test_the_workshop_moves_to_a_new_machine(workshop: Environment, tmp_path: Path) -> None:
    backup = str(tmp_path / "monday.tar.gz")
    manage(workshop, "backup", backup)
    (tmp_path / "new").mkdir()
    with database_url(tmp_path, empty=True) as url:
        machine = environment_of(url, tmp_path / "new")
        restored = manage(machine, "restore", backup)
        assert (restored.returncode, restored.stderr) == (0, "")
        assert "Lost" not in restored.stdout
        check = manage(machine, "check_ledger")
        assert "Right: 5 entries" in check.stdout
        assert "Note" not in check.stdout
        assert (tmp_path / "new" / "files" / "2026" / "photo.jpg").read_bytes() == b"a photo"
        assert write(machine, "T1", 1) == [6]


@pytest.mark.django_db(transaction=True)
def test_what_an_earlier_restore_had_lost_is_told_again_when_it_is_undone(
    workshop: Environment, tmp_path: Path
) -> None:
    older, newer = str(tmp_path / "monday.tar.gz"), str(tmp_path / "tuesday.tar.gz")
    manage(workshop, "backup", older)
    write(workshop, "T1", 2)  # 5 and 6
    manage(workshop, "backup", newer)
    write(workshop, "T2", 1)  # 7
    assert "entries 5 to 7" in manage(workshop, "restore", older, "--replace").stdout
    write(workshop, "T3", 1)  # 6 of the line that begins with the restore, its 5
    restored = manage(workshop, "restore", newer, "--replace").stdout
    assert "entries 5 to 6 of the chain home" in restored
    assert "entries 7 to 7 of the chain home" in restored
    assert "Right: 7 entries" in manage(workshop, "check_ledger").stdout


@pytest.mark.django_db(transaction=True)
def test_the_old_workshop_stays_when_the_new_one_can_not_be_loaded(
    workshop: Environment, tmp_path: Path
) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / archives.DATABASE).write_bytes(b"coffee" * 4096)
    archives.pack(tmp_path / "bad.tar.gz", folder, made_at="2026", vendor=connection.vendor, migrations=[])
    refused = manage(workshop, "restore", str(tmp_path / "bad.tar.gz"), "--replace")
    assert refused.returncode == 1
    assert "could not copy the database" in refused.stderr
    assert "Right: 4 entries" in manage(workshop, "check_ledger").stdout
    assert write(workshop, "T1", 1) == [5]


@pytest.mark.django_db
def test_it_refuses_to_write_over_an_older_backup(tmp_path: Path) -> None:
    (tmp_path / "monday.tar.gz").write_bytes(b"older")
    with pytest.raises(FileInTheWay):
        write_backup(tmp_path / "monday.tar.gz")
    assert (tmp_path / "monday.tar.gz").read_bytes() == b"older"


@pytest.mark.django_db(transaction=True)
def test_only_the_owner_of_the_file_can_read_it(bench: User, tmp_path: Path) -> None:
    write_backup(tmp_path / "monday.tar.gz")
    assert (tmp_path / "monday.tar.gz").stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.glob("*.unfinished")) == []


def refusal(path: Path) -> Refusal:
    with pytest.raises(NotABackup) as caught:
        restore_backup(path, replace=True)
    return caught.value


@pytest.fixture
def packed(tmp_path: Path) -> Path:
    """An archive that fails only in the last of all checks: its database is of no kind that is known."""
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / archives.DATABASE).write_bytes(b"rows")
    archives.pack(tmp_path / "packed.tar.gz", folder, made_at="2026", vendor="papyrus", migrations=[])
    return tmp_path / "packed.tar.gz"


def repack(path: Path, name: str, content: bytes) -> None:
    """Put a member into the archive, in the place of the one of its name."""
    with tarfile.open(path) as old:
        members = {m.name: old.extractfile(m).read() for m in old}  # type: ignore[union-attr]  # all plain files
    with tarfile.open(path, "w:gz") as new:
        for member, data in {**members, name: content}.items():
            info = tarfile.TarInfo(member)
            info.size = len(data)
            new.addfile(info, io.BytesIO(data))


@pytest.mark.django_db(transaction=True)
def test_it_replaces_nothing_while_the_copy_of_the_heads_can_not_be_read(bench: User, tmp_path: Path) -> None:
    keep(bench)
    write_backup(tmp_path / "monday.tar.gz")
    heads.heads_path().write_text("{")
    keep(bench, "T2")
    with pytest.raises(HeadsUnreadable):
        restore_backup(tmp_path / "monday.tar.gz", replace=True)
    assert Entry.objects.count() == 2


@pytest.mark.django_db
def test_it_refuses_a_backup_of_another_kind_of_database(packed: Path) -> None:
    assert "it is of a papyrus database" in refusal(packed).what


@pytest.mark.django_db
def test_it_refuses_a_backup_of_a_newer_program(packed: Path, tmp_path: Path) -> None:
    manifest = archives.unpack(packed, tmp_path / "read")
    newer = replace(manifest, vendor=connection.vendor, migrations=[["ledger", "9999_not_yet_written"]])
    repack(packed, archives.MANIFEST, json.dumps(asdict(newer)).encode())
    assert "a newer version of the program made it" in refusal(packed).what


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        (archives.DATABASE, b"other rows", "database in it is damaged or missing"),
        ("files/more.jpg", b"put in", "files/more.jpg in it is damaged or missing"),
        ("../outside", b"evil", "it holds '../outside', which no backup does"),
        ("/outside", b"evil", "it holds '/outside', which no backup does"),
        (archives.MANIFEST, b"{}", "its manifest is not understood"),
        (archives.MANIFEST, b"[", "its manifest is not understood"),
    ],
)
def test_it_refuses_an_archive_that_was_tampered_with(
    packed: Path, tmp_path: Path, name: str, content: bytes, reason: str
) -> None:
    repack(packed, name, content)
    assert reason in refusal(packed).what
    assert not (tmp_path / "outside").exists()


@pytest.mark.django_db
def test_it_refuses_an_archive_of_another_format(packed: Path, tmp_path: Path) -> None:
    manifest = archives.unpack(packed, tmp_path / "read")
    repack(packed, archives.MANIFEST, json.dumps(asdict(replace(manifest, format=2))).encode())
    assert "its format 2 is not known here" in refusal(packed).what


@pytest.mark.django_db
@pytest.mark.parametrize("content", [b"", b"no archive at all"])
def test_it_refuses_a_file_that_is_no_archive(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "other").write_bytes(content)
    assert "it can't be read" in refusal(tmp_path / "other").what
    assert "it can't be read" in refusal(tmp_path / "nowhere").what


@pytest.mark.django_db
def test_it_refuses_an_archive_that_was_cut_short(packed: Path) -> None:
    packed.write_bytes(packed.read_bytes()[:-40])
    assert "it can't be read" in refusal(packed).what


def test_it_refuses_an_archive_in_which_a_byte_was_changed(tmp_path: Path) -> None:
    """Some changes leave nothing that can be decompressed, others something else."""
    folder, path = tmp_path / "folder", tmp_path / "packed.tar.gz"
    folder.mkdir()
    (folder / archives.DATABASE).write_text(" ".join(map(str, range(5000))))
    archives.pack(path, folder, made_at="2026", vendor="papyrus", migrations=[])
    whole = path.read_bytes()
    for place in range(len(whole) // 4, len(whole) // 2, 20):  # amid the database
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0xFF]) + whole[place + 1 :])
        with pytest.raises(NotABackup):
            archives.unpack(path, tmp_path / "read")
