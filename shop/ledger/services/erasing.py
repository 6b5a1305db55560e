"""Erasing what may have to be erased, by an act that is recorded itself."""

from collections.abc import Iterable

from django.db import models, transaction

from shop.ledger.actors import Actor
from shop.ledger.facts import subject_of
from shop.ledger.models import Entry, PrivateText
from shop.ledger.refusals import NothingToErase
from shop.ledger.services.entries import note
from shop.ledger.verbs import ERASED


@transaction.atomic
def erase_private(
    *,
    actor: Actor,
    subject: models.Model,
    names: Iterable[str] | None = None,
    elsewhere: models.Q | None = None,
    reason: str = "",
) -> Entry:
    """Erase the private texts (of these names, or all) of every entry about the subject.

    `elsewhere` finds texts that are the subject's beside entries about something else. The entry of the act
    lists what was erased, and the reason stands beside it; hashes stay in the chain and still fit. The
    caller has asked whether the actor may, and empties the same values in the subject's own row. Raises
    `NothingToErase`.
    """
    its = models.Q(entry__subject=subject_of(subject))
    if names is not None:
        its &= models.Q(name__in=list(names))
    texts = PrivateText.objects.filter(its if elsewhere is None else its | elsewhere, erased_by=None)
    chosen = list(texts.select_related("entry__chain").select_for_update(of=["self"]).order_by("pk"))
    if not chosen:
        raise NothingToErase(subject=subject)
    erased = [[text.entry.chain.site, text.entry.number, text.name] for text in chosen]
    private = {"reason": reason} if reason else None
    entry = note(actor=actor, verb=ERASED, subject=subject, facts={"erased": erased}, private=private)
    PrivateText.objects.filter(pk__in=[text.pk for text in chosen]).update(
        salt=None, value=None, erased_by=entry
    )
    return entry
