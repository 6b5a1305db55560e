"""Chains, their entries, and what write-once tables have in common."""

import json
from datetime import datetime
from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from shop.ledger.canonical import GENESIS, entry_hash
from shop.ledger.registry import find_verb

HOME = "home"  # the site of a workshop's first chain


class Chain(models.Model):
    """One row per chain, with its end. A site has a chain, and so has a van that works on its own."""

    site = models.SlugField(unique=True, error_messages={"unique": "Another chain has this name."})
    length = models.PositiveBigIntegerField(default=0)
    head = models.CharField(max_length=64, default=GENESIS)

    def __str__(self) -> str:
        return self.site


class Entry(models.Model):
    """Who did what to which, when it happened and when it was written down. Written once."""

    chain = models.ForeignKey(Chain, models.PROTECT, related_name="entries")
    number = models.PositiveBigIntegerField()
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    actor_number = models.PositiveIntegerField()
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
        """The staff number of the person who did it."""
        return self.entry.actor_number

    def private(self, name: str) -> str | None:
        """A text that stands beside the chain: None if it was never given or has been erased."""
        return self.entry.private(name)
