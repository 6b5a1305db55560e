"""Chains, their entries, what write-once tables have in common, and the seals over chains."""

import json
from collections.abc import Collection
from datetime import datetime
from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from shop.ledger.canonical import GENESIS, entry_hash, hashed_text, instant
from shop.ledger.registry import find_verb
from shop.ledger.sealing.statements import KnownKey, Sealed

HOME = "home"  # the site of a workshop's first chain


class Chain(models.Model):
    """One row per chain, with its end. A site has a chain, and so has a van that works on its own."""

    site = models.SlugField(unique=True, error_messages={"unique": "Another chain has this name."})
    length = models.PositiveBigIntegerField(default=0)
    head = models.CharField(max_length=64, default=GENESIS)

    def __str__(self) -> str:
        return self.site


class Entry(models.Model):
    """Who did what to which, when it happened and when it was written down. Written once.

    `actor_number` wrote it down; `done_by` is who did it, where that was somebody else.
    """

    chain = models.ForeignKey(Chain, models.PROTECT, related_name="entries")
    number = models.PositiveBigIntegerField()
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    actor_number = models.PositiveIntegerField()
    done_by = models.PositiveIntegerField(null=True)
    verb = models.CharField(max_length=80)
    subject = models.CharField(max_length=120)
    version = models.PositiveSmallIntegerField()
    facts = models.TextField()
    previous = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = "entries"
        indexes = [
            models.Index(fields=["subject", "id"], name="ledger_entry_of_subject"),  # history()
            models.Index(fields=["verb", "id"], name="ledger_entry_of_verb"),
            models.Index(fields=["verb", "happened_at"], name="ledger_entry_by_time"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["chain", "number"],
                name="ledger_number_once_per_chain",
                violation_error_message="This chain already has an entry with this number.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.chain.site} {self.number}"

    def compute_hash(self, site: str) -> str:
        """The hash that fits what the entry says now; `hash` is the one it was written with."""
        return entry_hash(site=site, previous=self.previous, parts=vars(self))

    def hashed_text(self, site: str) -> str:
        """What that hash is over, to the letter."""
        return hashed_text(site=site, previous=self.previous, parts=vars(self))

    @property
    def doer_number(self) -> int:
        """The staff number of the person who did it."""
        return self.actor_number if self.done_by is None else self.done_by

    @property
    def told(self) -> dict[str, Any]:
        """The facts, parsed."""
        facts: dict[str, Any] = json.loads(self.facts)
        return facts

    @property
    def says(self) -> str:
        """What was done, in words: 'cut from a piece'."""
        return find_verb(self.verb).says

    def private(self, name: str) -> str | None:
        """A text that stands beside the chain: None if it was never given or has been erased."""
        for text in self.private_texts.all():
            if text.name == name:
                return text.value
        return None


class PrivateText(models.Model):
    """What may have to be erased one day: free text, names, contacts.

    The chain holds only `private_hash(salt, value)`. Erasing empties salt and value, since whoever
    has the salt can try out names until the hash fits; the database allows no other change.
    """

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="private_texts")
    name = models.CharField(max_length=80)
    salt = models.CharField(max_length=64, null=True)  # noqa: DJ001  # NULL is 'erased', '' would be a salt
    value = models.TextField(null=True)  # noqa: DJ001  # NULL is 'erased', '' would be a text
    erased_by = models.ForeignKey(Entry, models.PROTECT, null=True, related_name="erased_texts")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["entry", "name"],
                name="private_text_once_per_entry",
                violation_error_message="This entry already has a private text of this name.",
            ),
            models.CheckConstraint(
                name="private_text_kept_or_erased",
                condition=Q(erased_by=None, salt__isnull=False, value__isnull=False)
                | Q(erased_by__isnull=False, salt=None, value=None),
                violation_error_message="A private text is either kept whole or erased whole.",
            ),
            models.CheckConstraint(
                name="private_text_erased_by_a_later_entry",
                condition=Q(erased_by=None) | Q(erased_by__gt=F("entry")),
                violation_error_message="A private text can only be erased by an entry after its own.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} of {self.entry}"


class Record(models.Model):
    """A row that is written once, together with the ledger entry that tells the same.

    `KIND` names it in the golden files. `FIELDS` gives, per schema version, the columns that an
    entry of that version tells; the newest lists every column but `entry`. An old version's list is
    never edited: a column that came later is NULL on older rows.
    """

    KIND: ClassVar[str]
    FIELDS: ClassVar[dict[int, tuple[str, ...]]]

    entry = models.OneToOneField(
        Entry, models.PROTECT, primary_key=True, related_name="+", editable=False, verbose_name="ledger entry"
    )

    class Meta:
        abstract = True

    def clean_fields(self, exclude: Collection[str] | None = None) -> None:
        """Check each column, without asking again whether the rows are there that the record was given.

        They were read from the database, which checks the keys itself when the record is written.
        """
        given = {
            field.name
            for field in self._meta.concrete_fields
            if isinstance(field, models.ForeignKey)
            and field.is_cached(self)
            and getattr(self, field.attname) is not None
        }
        super().clean_fields(exclude={*(exclude or ()), *given})

    @classmethod
    def newest_version(cls) -> int:
        """The version of the entries that are written today."""
        return max(cls.FIELDS)

    @property
    def happened_at(self) -> datetime:
        """When it was done (UTC)."""
        return self.entry.happened_at

    @property
    def recorded_at(self) -> datetime:
        """When it was written down (UTC)."""
        return self.entry.recorded_at

    @property
    def actor_number(self) -> int:
        """The staff number of the person who did it, whoever wrote it down."""
        return self.entry.doer_number

    def private(self, name: str) -> str | None:
        """A text that stands beside the chain: None if it was never given or has been erased."""
        return self.entry.private(name)


class KeyReason(models.TextChoices):
    """Why a key was made."""

    FIRST = "first", "the workshop's first"
    ROTATED = "rotated", "in turn"
    LOST = "lost", "the one before was lost"
    EXPOSED = "exposed", "the one before may be in other hands"


class SealingKey(Record):
    """A key that seals are signed with: its public half, and why it took the place of the one before.

    A key that is replaced in turn vouches for the next with its signature. One that is lost can't, and
    one that may be in other hands is worth nothing.
    """

    KIND = "sealing_key"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("number", "public_key", "reason", "vouched")}

    number = models.PositiveIntegerField(
        unique=True, error_messages={"unique": "There is a key of this number already."}
    )
    public_key = models.CharField(
        max_length=64, unique=True, error_messages={"unique": "This key is there already."}
    )
    reason = models.CharField(max_length=10, choices=KeyReason)
    vouched = models.CharField(max_length=128, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="sealing_key_vouched_for_in_turn",
                condition=Q(reason=KeyReason.ROTATED) & ~Q(vouched="")
                | ~Q(reason=KeyReason.ROTATED) & Q(vouched=""),
                violation_error_message="Only a key that is replaced in turn vouches for the next.",
            ),
        ]

    def __str__(self) -> str:
        return f"key {self.number}"

    @property
    def fingerprint(self) -> str:
        """What people compare: the first 64 bits of the SHA-256 of the public key, hexadecimal."""
        return self.known.fingerprint

    @property
    def known(self) -> KnownKey:
        """What an exported seal says of the key."""
        return KnownKey(
            number=self.number, public_key=self.public_key, reason=self.reason, vouched=self.vouched
        )


class LedgerSeal(Record):
    """The signed root of the tree over the first `last` entries of a chain.

    `first` is the entry behind the seal before, so seals follow one another without a gap. `frontier`
    holds the roots of the tree's perfect subtrees, from which the next seal goes on.
    """

    KIND = "ledger_seal"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("chain", "first", "last", "root", "frontier", "sealed_at", "key", "signature"),
    }

    chain = models.ForeignKey(Chain, models.PROTECT, related_name="seals")
    first = models.PositiveBigIntegerField()
    last = models.PositiveBigIntegerField()
    root = models.CharField(max_length=64)
    frontier = models.JSONField()
    sealed_at = models.DateTimeField()
    key = models.ForeignKey(SealingKey, models.PROTECT, related_name="seals")
    signature = models.CharField(max_length=128)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["chain", "last"],
                name="ledger_sealed_once_per_length",
                violation_error_message="This chain is sealed up to there already.",
            ),
            models.CheckConstraint(
                name="ledger_seal_covers_an_entry",
                condition=Q(first__gte=1, last__gte=F("first")),
                violation_error_message="A seal covers at least one entry.",
            ),
        ]

    def __str__(self) -> str:
        return f"seal over entries {self.first} to {self.last} of {self.chain.site}"

    @property
    def plain(self) -> Sealed:
        """What is signed, with its signature."""
        return Sealed(
            chain=self.chain.site,
            first=self.first,
            last=self.last,
            root=self.root,
            sealed_at=instant(self.sealed_at),
            key=self.key.public_key,
            signature=self.signature,
        )
