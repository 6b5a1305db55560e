"""Loading the published tables that come with the program.

The files in `fixtures/standards` hold every hose type of EN 853, 856, 857 and SAE J517 and the usual
end forms, each row with its source and whether it was read there or written from memory. Figures stand
as the document prints them: MPa for EN and ISO, psi for SAE. The two aviation tables that circulate
beside them are left out, because hose for aircraft is refused. No row counts before a named person
has confirmed it against the document.
"""

import csv
import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import models, transaction

from shop.engineering.errors import OffTheTable
from shop.engineering.sizes import (
    Bore,
    Size,
    TubeSizedBore,
    read_sizes,
    read_tube_sized,
    true_bore,
)
from shop.ledger.facts import noted_columns, row_facts, subject_of
from shop.ledger.models import Entry
from shop.ledger.services import note
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import get_workshop
from shop.standards import verbs
from shop.standards.models import Connection, HoseRating, Rated


@dataclass(frozen=True)
class Loaded:
    """What loading came to. `kept` rows differ from the file and stand as people wrote them."""

    added: int = 0
    renewed: int = 0
    unchanged: int = 0
    kept: int = 0

    def __add__(self, other: "Loaded") -> "Loaded":
        return Loaded(*(getattr(self, name) + getattr(other, name) for name in self.__dataclass_fields__))

    @property
    def changed_something(self) -> bool:
        """Whether any row was written."""
        return bool(self.added or self.renewed)


def standards_folder() -> Path:
    """Where the tables lie."""
    folder: Path = settings.BASE_DIR / "fixtures" / "standards"
    return folder


@cache
def published_sizes() -> tuple[Size, ...]:
    """The table of sizes; source: sizes.csv, each row with its own."""
    return read_sizes(standards_folder() / "sizes.csv")


@cache
def tube_sized_bores() -> tuple[TubeSizedBore, ...]:
    """The table of hose that is sized by its tube; source: tube_sized_bores.csv, each row with its own."""
    return read_tube_sized(standards_folder() / "tube_sized_bores.csv")


def usual_bore(standard: str, dash: int) -> Bore | None:
    """The bore of a size of a hose type; None if the tables have none for it.

    An empty `standard` is any hose that is sized by its bore.
    """
    try:
        return true_bore(standard, dash, published_sizes(), tube_sized_bores())
    except OffTheTable:
        return None  # makers have sizes that no table has


@transaction.atomic
def load_standards(*, actor: User) -> Loaded:
    """Add what is missing and renew what nobody has touched; again and again to the same end.

    A row that a person wrote or confirmed is never changed. If anything was written, the ledger has an
    entry with the files' SHA-256 and the counts.
    """
    require(actor, Permission.KEEP_CATALOGUE)
    loaded = Loaded()
    hashes = {}
    for name, model, key, read in (
        ("hose_ratings.csv", HoseRating, ("standard", "edition", "dash"), _hose_rating),
        ("connections.csv", Connection, ("system", "size"), _connection),
    ):
        path = standards_folder() / name
        hashes[name] = hashlib.sha256(path.read_bytes()).hexdigest()
        loaded += _load(model, key, map(read, _rows(path)))
    if loaded.changed_something:
        facts = {"files": hashes, "added": loaded.added, "renewed": loaded.renewed, "kept": loaded.kept}
        note(actor=actor, verb=verbs.TABLES_LOADED, subject=get_workshop(), facts=facts)
    return loaded


def _load(model: type[Rated], key: tuple[str, ...], rows: Iterator[Rated]) -> Loaded:
    manager = model._default_manager
    there = {_key(row, key): row for row in manager.select_for_update(no_key=True)}
    touched = set(
        Entry.objects.filter(subject__startswith=f"{model._meta.label_lower}:").values_list(
            "subject", flat=True
        )
    )
    loaded = Loaded()
    for row in rows:
        loaded += _load_row(row, there.get(_key(row, key)), touched)
    return loaded


def _load_row(row: Rated, there: Rated | None, touched: set[str]) -> Loaded:
    columns = noted_columns(type(row))
    if there is not None:
        row.pk = there.pk
        row._state.adding = False
        row.pressure = there.pressure
        if row_facts(row, columns) == row_facts(there, columns):
            return Loaded(unchanged=1)
        if subject_of(there) in touched:
            return Loaded(kept=1)
    row.full_clean()
    row.save()
    return Loaded(added=1) if there is None else Loaded(renewed=1)


def _key(row: models.Model, names: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(getattr(row, name) for name in names)


def _rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def _hose_rating(row: Mapping[str, str]) -> HoseRating:
    return HoseRating(
        standard=row["standard"],
        edition=row["edition"],
        dash=int(row["dash"]),
        dn=row["dn"],
        bend_radius=_if_there(Decimal, row["bend_radius_mm"]),
        temperature_min_c=_if_there(int, row["temperature_min_c"]),
        temperature_max_c=_if_there(int, row["temperature_max_c"]),
        **_printed(row),
    )


def _connection(row: Mapping[str, str]) -> Connection:
    return Connection(
        system=row["system"],
        size=row["size"],
        thread=row["thread"],
        flange_head=_if_there(Decimal, row["flange_head_mm"]),
        note=row["note"],
        **_printed(row),
    )


def _printed(row: Mapping[str, str]) -> dict[str, str]:
    return {name: row[name] for name in ("printed_value", "printed_unit", "source", "basis")}


def _if_there(read: Callable[[str], Any], text: str) -> Any:
    return read(text) if text else None
