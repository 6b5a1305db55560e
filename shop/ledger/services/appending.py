"""The one place where a chain grows.

The head of the chain is the last row that a transaction locks: domain rows come first, by id, and
with `select_for_update(no_key=True)`. A plain lock would stand in the way of the foreign key that
another bench's record has on the same row while that bench holds the head, and PostgreSQL would have
to end one of the two.
"""

import secrets
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import connection
from django.utils import timezone

from shop.ledger import heads
from shop.ledger.actors import Actor
from shop.ledger.canonical import lasting, private_hash
from shop.ledger.facts import PRIVATE, record_subject
from shop.ledger.misuse import NotRecordable, OutsideTransaction
from shop.ledger.models import HOME, Chain, Entry, PrivateText, Record
from shop.ledger.refusals import HappenedInTheFuture
from shop.ledger.registry import Verb


def append(
    *,
    actor: Actor,
    verb: Verb,
    subject: str | type[Record],
    facts: Mapping[str, Any],
    private: Mapping[str, str | None],
    happened_at: datetime | None = None,
    done_by: Actor | None = None,
    version: int = 1,
) -> Entry:
    """Lock the head, write the entry after it, move the head.

    A `subject` that is a type stands for the record of that type which this entry will have. An
    empty private text leaves no hash but null: there was nothing to say.
    """
    if not connection.in_atomic_block:
        raise OutsideTransaction("Write the entry in the same transaction.atomic() as what it tells of.")
    texts = [PrivateText(name=name, value=text, salt=_salt()) for name, text in private.items() if text]
    chain = _lock_head()
    number = chain.length + 1
    recorded_at = timezone.now()
    if happened_at is not None and happened_at > recorded_at:
        raise HappenedInTheFuture(happened_at=happened_at)
    entry = Entry(
        chain=chain,
        number=number,
        happened_at=happened_at or recorded_at,
        recorded_at=recorded_at,
        actor_number=actor.number,
        done_by=None if done_by is None or done_by.number == actor.number else done_by.number,
        verb=verb.name,
        subject=subject if isinstance(subject, str) else record_subject(subject, chain.site, number),
        version=version,
        facts=lasting(_with_hashes(facts, private, texts)),
        previous=chain.head,
    )
    entry.hash = entry.compute_hash(chain.site)
    entry.save(force_insert=True)
    for text in texts:
        text.entry = entry
    PrivateText.objects.bulk_create(texts)
    chain.length, chain.head = entry.number, entry.hash
    chain.save(update_fields=["length", "head"])
    heads.follow_after_commit(chain)
    return entry


def _lock_head() -> Chain:
    chain, _ = Chain.objects.select_for_update().get_or_create(site=HOME)
    return chain


def _salt() -> str:
    return secrets.token_hex(32)


def _with_hashes(
    facts: Mapping[str, Any], private: Mapping[str, str | None], texts: list[PrivateText]
) -> Mapping[str, Any]:
    if PRIVATE in facts:
        raise NotRecordable(f"{PRIVATE!r} is the ledger's own name for the hashes of private texts.")
    if not private:
        return facts
    hashes = {text.name: private_hash(str(text.salt), str(text.value)) for text in texts}
    return {**facts, PRIVATE: {name: hashes.get(name) for name in private}}
