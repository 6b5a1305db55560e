"""Sealing the chains, and changing the key that seals are signed with.

The ledger knows people by number only: whoever calls these has asked whether the person may.
"""

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from shop.ledger.actors import Actor
from shop.ledger.canonical import instant
from shop.ledger.merkle import Frontier
from shop.ledger.models import HOME, Chain, Entry, KeyReason, LedgerSeal, SealingKey
from shop.ledger.refusals import KeyIsHere, NoKeyYet, NothingToSeal, SealedMeanwhile
from shop.ledger.sealing import keys
from shop.ledger.sealing.leaves import leaves, tree_as_sealed
from shop.ledger.sealing.statements import key_statement, seal_statement
from shop.ledger.services.entries import write_record
from shop.ledger.verbs import KEY_MADE, SEALED


def newest_key() -> SealingKey | None:
    """The key that seals are signed with today."""
    return SealingKey.objects.order_by("-pk").first()


def newest_seal(chain: Chain) -> LedgerSeal | None:
    """The seal over most of the chain."""
    return LedgerSeal.objects.filter(chain=chain).select_related("chain", "key").order_by("-last").first()


def unsealed(chain: Chain, newest: LedgerSeal | None) -> QuerySet[Entry]:
    """The entries of the chain behind its newest seal. Seals don't count: one is no reason for the next."""
    entries = Entry.objects.filter(chain=chain, number__gt=newest.last if newest is not None else 0)
    return entries.exclude(verb=SEALED.name)


def seal_ledger(*, actor: Actor) -> list[LedgerSeal]:
    """Seal every chain in which something but a seal was recorded since its newest one.

    The first seal makes the key. Reading and hashing hold nobody up: only the finished seal is written in
    a transaction, which asks again. Raises `NothingToSeal`, `SealedMeanwhile`, `ChainDamaged`,
    `SealDamaged`, `KeyLost`, `KeyUnreadable`.
    """
    chains = Chain.objects.order_by("site")
    waiting = [chain for chain in chains if unsealed(chain, newest_seal(chain)).exists()]
    if not waiting:
        raise NothingToSeal
    key = newest_key() or _make_first_key(actor)
    return [_seal(actor, chain, key) for chain in waiting]


def replace_key(*, actor: Actor, reason: KeyReason) -> SealingKey:
    """Make a new key in the place of the one before, and forget the private half of that.

    Replaced in turn, the key before signs that the new one follows. Raises `NoKeyYet`, `KeyIsHere` if it
    is said to be lost and isn't, `KeyLost` and `KeyUnreadable` if it should sign and can't,
    `SealedMeanwhile`.
    """
    before = newest_key()
    if before is None:
        raise NoKeyYet
    if reason == KeyReason.LOST and keys.is_here(before.public_key):
        raise KeyIsHere
    with transaction.atomic():
        _lock_against(key=before)
        number, public_key = before.number + 1, keys.make_key()
        vouched = ""
        if reason == KeyReason.ROTATED:
            vouched = keys.sign(before.public_key, key_statement(before.public_key, number, public_key))
        new = SealingKey(number=number, public_key=public_key, reason=reason, vouched=vouched)
        made = write_record(actor=actor, verb=KEY_MADE, record=new)
        transaction.on_commit(lambda: keys.forget(before.public_key))
    return made


def _make_first_key(actor: Actor) -> SealingKey:
    with transaction.atomic():
        _lock_against(key=None)
        first = SealingKey(number=1, public_key=keys.make_key(), reason=KeyReason.FIRST)
        return write_record(actor=actor, verb=KEY_MADE, record=first)


def _seal(actor: Actor, chain: Chain, key: SealingKey) -> LedgerSeal:
    newest = newest_seal(chain)
    tree = tree_as_sealed(newest) if newest is not None else Frontier()
    chain.refresh_from_db()
    first = tree.size + 1
    for leaf in leaves(chain.pk, chain.site, after=tree.size, up_to=chain.length):
        tree.add(leaf)
    seal = LedgerSeal(
        chain=chain,
        first=first,
        last=tree.size,
        root=tree.root().hex(),
        frontier=[root.hex() for root in tree.roots],
        sealed_at=timezone.now(),
        key=key,
    )
    statement = seal_statement(
        chain.site, first, seal.last, seal.root, instant(seal.sealed_at), key.public_key
    )
    seal.signature = keys.sign(key.public_key, statement)
    with transaction.atomic():
        _lock_against(key=key)
        if newest_seal(chain) != newest:
            raise SealedMeanwhile
        return write_record(actor=actor, verb=SEALED, record=seal)


def _lock_against(key: SealingKey | None) -> None:
    """Keep everybody else from writing, and make sure that the key is still the newest."""
    Chain.objects.select_for_update().get_or_create(site=HOME)
    if newest_key() != key:
        raise SealedMeanwhile
