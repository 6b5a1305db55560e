"""Notes, and records with their entries."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypeVar

from django.db import models

from shop.ledger.actors import Actor
from shop.ledger.facts import row_facts, subject_of
from shop.ledger.misuse import WrongWriter
from shop.ledger.models import Entry, Record
from shop.ledger.registry import Verb, find_verb
from shop.ledger.services.appending import append

R = TypeVar("R", bound=Record)


def note(
    *,
    actor: Actor,
    verb: Verb | str,
    subject: models.Model,
    facts: Mapping[str, Any] | None = None,
    private: Mapping[str, str] | None = None,
    happened_at: datetime | None = None,
) -> Entry:
    """Append an entry that has no record of its own.

    `facts` is anything that JSON can hold; quantities as whole numbers or text. Texts in `private`
    go beside the chain; empty ones are dropped. Raises `HappenedInTheFuture`, and `LedgerMisuse`
    for errors of the program.
    """
    known = find_verb(verb)
    if known.record is not None:
        raise WrongWriter(f"{known.name!r} has a record, {known.record.KIND}: use write_record().")
    return append(
        actor=actor,
        verb=known,
        subject=subject_of(subject),
        facts=facts or {},
        private=_said(private),
        happened_at=happened_at,
    )


def write_record(
    *,
    actor: Actor,
    verb: Verb | str,
    record: R,
    subject: models.Model | None = None,
    private: Mapping[str, str] | None = None,
    happened_at: datetime | None = None,
    done_by: Actor | None = None,
) -> R:
    """Append an entry and insert its record; the entry's facts are the record's columns.

    Without a `subject` the entry is about the record itself. `actor` writes it down; `done_by` is who did
    it, if somebody else. Raises `ValidationError` if the record
    breaks a rule of its model, `HappenedInTheFuture`, and `LedgerMisuse` for errors of the program.
    """
    known = find_verb(verb)
    if known.record is not type(record):
        raise WrongWriter(f"{known.name!r} is not a verb of the record {record.KIND}.")
    record.full_clean(exclude=["entry"])
    version = record.newest_version()
    record.entry = append(
        actor=actor,
        verb=known,
        subject=type(record) if subject is None else subject_of(subject),
        facts=row_facts(record, record.FIELDS[version]),
        private=_said(private),
        happened_at=happened_at,
        done_by=done_by,
        version=version,
    )
    record.save(force_insert=True)
    return record


def history(subject: models.Model) -> models.QuerySet[Entry]:
    """What the ledger tells of the subject, oldest first.

    A record's own history begins with the entry that it was written with, even if that is about
    something else.
    """
    about = models.Q(subject=subject_of(subject))
    if isinstance(subject, Record):
        about |= models.Q(pk=subject.pk)
    return Entry.objects.filter(about).order_by("pk").prefetch_related("private_texts")


def _said(private: Mapping[str, str] | None) -> dict[str, str | None]:
    return {name: text for name, text in (private or {}).items() if text}
