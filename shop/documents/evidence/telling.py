"""Each entry as it was hashed, with its record, its texts and its path to the seal, as one line."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from shop.assemblies.models import ProofTest
from shop.assemblies.testing import CURVES
from shop.core.kept import Shelf
from shop.documents.evidence.choosing import Asked, in_batches
from shop.documents.keeping import PAPERS
from shop.documents.models import Paper
from shop.documents.refusals import EvidenceDamaged
from shop.ledger.canonical import Json, canonical
from shop.ledger.facts import PRIVATE, row_facts
from shop.ledger.models import Entry, LedgerSeal, Record
from shop.ledger.registry import find_verb
from shop.ledger.sealing.proofs import Inclusion, prove_entries
from shop.tooling.models import ToolCheck
from shop.tooling.photos import PHOTOS

PROVEN_AT_ONCE = 20_000  # paths in memory; each time all hashes of the chain are gone over, which may be many
# Where the files lie that records name by their SHA-256.
SHELVES: Mapping[type[Record], Shelf] = {Paper: PAPERS, ProofTest: CURVES, ToolCheck: PHOTOS}


@dataclass(frozen=True)
class KeptFile:
    """A file that a record names, and the shelf that it lies on."""

    sha256: str
    shelf: Shelf

    @property
    def name(self) -> str:
        """Its name in the package."""
        return f"kept/{self.sha256}{self.shelf.suffix}"


@dataclass(frozen=True)
class Line:
    """One entry as a line of the package, and the files that its record names."""

    text: str
    kept: tuple[KeptFile, ...]


def tell(keys: Collection[int], asked: Asked, seals: Sequence[LedgerSeal]) -> Iterator[Line]:
    """The entries in the order of their chains, a few hundred in memory at a time, with paths of more.

    Raises `EvidenceDamaged` for what the ledger's check would find, `NotSealedYet`, `ChainDamaged`,
    `SealDamaged`.
    """
    for seal in seals:
        numbers = _numbers(keys, seal)
        for some in in_batches(numbers, PROVEN_AT_ONCE):
            proven = prove_entries(seal.chain, some, seal=seal)
            paths = {inclusion.number: inclusion for inclusion in proven.entries}
            for batch in in_batches(some):
                yield from _tell_batch(seal, batch, paths, asked, keys)


def _numbers(keys: Collection[int], seal: LedgerSeal) -> list[int]:
    numbers: list[int] = []
    for batch in in_batches(keys):
        rows = Entry.objects.filter(pk__in=batch, chain=seal.chain)
        numbers += rows.values_list("number", flat=True)
    return sorted(numbers)


def _tell_batch(
    seal: LedgerSeal,
    numbers: Sequence[int],
    paths: Mapping[int, Inclusion],
    asked: Asked,
    keys: Collection[int],
) -> Iterator[Line]:
    entries = list(
        Entry.objects.filter(chain=seal.chain, number__in=numbers)
        .order_by("number")
        .prefetch_related("private_texts__erased_by__chain")
    )
    tables = {entry.pk: find_verb(entry.verb).record for entry in entries}
    rows: dict[int, Record] = {}
    for table in {table for table in tables.values() if table is not None}:
        rows |= table._base_manager.in_bulk([key for key, its in tables.items() if its is table])
    for entry in entries:
        row = rows.get(entry.pk)
        if tables[entry.pk] is not None and row is None:
            raise EvidenceDamaged(entry=entry)
        yield _tell_one(seal.chain.site, entry, row, paths[entry.number], asked, keys)


def _tell_one(
    site: str, entry: Entry, row: Record | None, proven: Inclusion, asked: Asked, keys: Collection[int]
) -> Line:
    facts = entry.told
    hashes = facts.pop(PRIVATE, {})
    columns = None if row is None else row_facts(row, row.FIELDS.get(entry.version, ()))
    if entry.compute_hash(site) != entry.hash or (
        columns is not None and canonical(columns) != canonical(facts)
    ):
        raise EvidenceDamaged(entry=entry)
    texts: dict[str, Json] = {} if not hashes else _texts(entry, asked, keys)
    line = {
        "hash": entry.hash,
        "hashed": entry.hashed_text(site),
        "path": list(proven.path),
        "private": texts,
        "record": columns,
    }
    return Line(canonical(line), (*_kept(row, facts), *_photos(texts)))


def _texts(entry: Entry, asked: Asked, keys: Collection[int]) -> dict[str, Json]:
    """Each text beside the entry: whole, withheld, or the entry by which it was erased."""
    told: dict[str, Json] = {}
    for text in entry.private_texts.all():
        act = text.erased_by
        if act is not None:
            if act.pk not in keys:
                raise EvidenceDamaged(entry=entry)
            told[text.name] = {"erased_by": str(act)}
        elif asked.takes_texts_of(entry.verb):
            told[text.name] = {"salt": text.salt, "value": text.value}
        else:
            told[text.name] = "withheld"
    return told


def _kept(row: Record | None, facts: Mapping[str, Json]) -> Iterator[KeptFile]:
    for name, value in facts.items():
        if row is not None and name.endswith("sha256") and value:
            yield KeptFile(str(value), SHELVES[type(row)])


def _photos(texts: Mapping[str, Json]) -> Iterator[KeptFile]:
    """Photos whose hashes stand beside the chain, as they may have to be erased: they go with the texts."""
    told = texts.get("photos")
    if isinstance(told, Mapping) and "value" in told:
        yield from (KeptFile(sha256, PHOTOS) for sha256 in str(told["value"]).split())
