"""A copy of the chains' ends outside the database.

Someone who cuts entries off the end of a chain, and patches its head, leaves no trace in the
database; this copy remembers. It is written after commit, so it may lag but never lead, and never
goes back by itself. Whoever can write both files is out of its reach.
"""

import fcntl
import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

from django.conf import settings
from django.db import transaction

from shop.ledger.models import Chain
from shop.ledger.refusals import HeadsUnreadable


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a chain: the number and the hash of its last entry."""

    number: int
    hash: str


def heads_path() -> Path:
    """Where the copy is."""
    return Path(settings.DATA_DIR) / "ledger-heads.json"


def read_copy() -> dict[str, Head]:
    """The end of each chain by its site, as the copy knows it; empty if there is no copy.

    Raises `HeadsUnreadable`.
    """
    path = heads_path()
    try:
        return {site: Head(**head) for site, head in json.loads(path.read_text()).items()}
    except FileNotFoundError:
        return {}
    except (TypeError, AttributeError, ValueError) as error:
        raise HeadsUnreadable(path=path, reason=error) from error


def follow_after_commit(chain: Chain) -> None:
    """Once this transaction is committed, let the copy follow.

    A copy that can't be written must not turn an act that *was* recorded into an error, after which
    a person would do it again: it is logged, and the copy catches up at the next entry.
    """
    site, number = chain.site, chain.length

    def follow() -> None:
        _follow(site, number)

    transaction.on_commit(follow, robust=True)


def replace_copy(heads: Mapping[str, Head]) -> None:
    """Begin the copy anew, which only a restore may do: its entry says what is lost."""
    with _only_one_writer():
        _write(heads)


def _follow(site: str, number: int) -> None:
    with _only_one_writer():
        known = read_copy()
        if site in known and known[site].number >= number:
            return
        # From the database again: of many entries in one transaction only the first writes the file.
        chain = Chain.objects.get(site=site)
        _write({**known, site: Head(chain.length, chain.head)})


@contextmanager
def _only_one_writer() -> Iterator[None]:
    with heads_path().with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # freed when the file is closed, even by a crash
        yield


def _write(heads: Mapping[str, Head]) -> None:
    path = heads_path()
    new = path.with_suffix(".new")
    with new.open("w") as file:
        json.dump({site: asdict(head) for site, head in sorted(heads.items())}, file, indent=1)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)
