"""Taking a package out: sealed before, written to a file that nobody else sees, and noted in the ledger."""

import base64
import tempfile
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from importlib import resources
from typing import IO

from django.conf import settings
from django.db import transaction
from django.template.loader import render_to_string
from django.utils import timezone

from shop.assemblies.models import Assembly, Recall
from shop.documents import verbs
from shop.documents.evidence.choosing import Asked, entries_about, in_batches
from shop.documents.evidence.packing import Package, packing
from shop.documents.evidence.sheets import render_sheet
from shop.documents.evidence.telling import KeptFile, tell
from shop.documents.pdf import require_pdf
from shop.documents.refusals import EvidenceFileDamaged
from shop.ledger.canonical import Json, canonical, instant
from shop.ledger.models import Chain, Entry, KeyReason, LedgerSeal, SealingKey
from shop.ledger.sealing.statements import key_statement
from shop.ledger.services import newest_key, newest_seal, note, seal_ledger
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import get_workshop

VERIFIER = "verify.py"
BEFORE_ED25519 = bytes.fromhex(
    "302a300506032b6570032100"
)  # RFC 8410: what stands before the 32 bytes of a key


@dataclass(frozen=True)
class Taken:
    """A package, ready to be read from its beginning; it is gone once the file is closed."""

    file: IO[bytes]
    name: str


def take_evidence(
    *, actor: User, about: Assembly | Recall, people: bool = False, customers: bool = False
) -> Taken:
    """Pack all that the ledger holds of an assembly, or of a recall with its members.

    What is in no seal yet is sealed first. Names of people and customers go in only if asked for. Raises
    `PdfNotInstalled`, `EvidenceDamaged`, `EvidenceFileDamaged`, `PackageTooLarge`, and what `seal_ledger`
    and `prove_entries` raise.
    """
    require(actor, Permission.AUDIT)
    require_pdf()
    asked = Asked(people=people, customers=customers)
    keys = entries_about(about, asked)
    seals = _seals_over(keys) or _seals_over(keys, sealed_by=actor)
    file = tempfile.TemporaryFile(dir=settings.DATA_DIR)  # noqa: SIM115  # who reads it closes it
    try:
        with packing(file) as package:
            manifest = _pack(package, about, asked, keys, seals)
        with transaction.atomic():
            facts = {"manifest": manifest, "entries": len(keys), "people": people, "customers": customers}
            note(actor=actor, verb=verbs.EVIDENCE_TAKEN, subject=about, facts=facts)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return Taken(file, f"evidence-{str(about).replace(' ', '-')}.zip")


def verifier() -> bytes:
    """The program that checks a package, as it lies in each."""
    return resources.files(__package__).joinpath(VERIFIER).read_bytes()


def _seals_over(keys: Collection[int], *, sealed_by: User | None = None) -> list[LedgerSeal]:
    """The newest seal of each chain that has one of the entries; empty if one is under none yet.

    With `sealed_by`, the ledger is sealed first.
    """
    if sealed_by is not None:
        seal_ledger(actor=sealed_by)
    last: dict[int, int] = {}
    for batch in in_batches(keys):
        for chain, number in Entry.objects.filter(pk__in=batch).values_list("chain", "number"):
            last[chain] = max(number, last.get(chain, 0))
    chains = Chain.objects.filter(pk__in=last).order_by("site")
    seals = [seal for chain in chains if (seal := newest_seal(chain)) is not None]
    covered = {seal.chain_id for seal in seals if last[seal.chain_id] <= seal.last}
    return seals if covered == set(last) else []


def _pack(
    package: Package, about: Assembly | Recall, asked: Asked, keys: Collection[int], seals: list[LedgerSeal]
) -> str:
    """Write every file in its order; returns the manifest's SHA-256."""
    key = newest_key()
    assert key is not None, "the seals were signed with one"
    kept: dict[str, KeptFile] = {}
    context = {"about": about, "asked": asked, "seals": seals, "key": key, "workshop": get_workshop()}
    package.add("README.txt", [render_to_string("documents/evidence/readme.txt", context).encode()])
    package.add("entries.jsonl", _lines(keys, asked, seals, kept))
    for name, one in sorted(kept.items()):
        package.add(name, [_kept_bytes(one)])
    known = list(SealingKey.objects.order_by("number"))
    package.add("keys.json", [canonical([_known(one) for one in known]).encode()])
    package.add("record.pdf", [render_sheet(about, asked)])
    for name, content in sorted(_signatures(known, seals)):
        package.add(name, [content])
    package.add(VERIFIER, [verifier()])
    made_at = instant(timezone.now())
    facts: dict[str, Json] = {"about": str(about), "made_at": made_at}
    return package.sign(key, facts | {"people": asked.people, "customers": asked.customers})


def _lines(
    keys: Collection[int], asked: Asked, seals: list[LedgerSeal], kept: dict[str, KeptFile]
) -> Iterator[bytes]:
    for line in tell(keys, asked, seals):
        kept.update({one.name: one for one in line.kept})
        yield line.text.encode() + b"\n"


def _kept_bytes(one: KeptFile) -> bytes:
    path = one.shelf.path(one.sha256)
    size = path.stat().st_size if path.exists() else 0
    if damage := one.shelf.damage_of(one.sha256, size):
        raise EvidenceFileDamaged(name=one.name, damage=damage)
    return path.read_bytes()


def _known(key: SealingKey) -> dict[str, Json]:
    return {"number": key.number, "public_key": key.public_key, "reason": key.reason}


def _signatures(known: Iterable[SealingKey], seals: Iterable[LedgerSeal]) -> Iterator[tuple[str, bytes]]:
    """The public keys for OpenSSL, and what was signed with its signatures, each as a file of its own."""
    folder, before = "signatures", ""
    for key in known:
        pem = base64.b64encode(BEFORE_ED25519 + bytes.fromhex(key.public_key)).decode()
        yield (
            f"{folder}/key-{key.number}.pem",
            f"-----BEGIN PUBLIC KEY-----\n{pem}\n-----END PUBLIC KEY-----\n".encode(),
        )
        if key.reason == KeyReason.ROTATED:
            statement = key_statement(before, key.number, key.public_key)
            yield f"{folder}/key-{key.number}-follows.json", statement.encode()
            yield f"{folder}/key-{key.number}-follows.sig", bytes.fromhex(key.vouched)
        before = key.public_key
    for seal in seals:
        yield f"{folder}/seal-{seal.chain.site}.json", seal.plain.statement.encode()
        yield f"{folder}/seal-{seal.chain.site}.sig", bytes.fromhex(seal.signature)
