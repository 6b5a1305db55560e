"""A form that is sent twice is carried out once."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from shop.assemblies.models import Submission
from shop.assemblies.refusals import SentDifferently
from shop.ledger.canonical import canonical, sha256
from shop.people.models import User


def once(*, nonce: UUID, actor: User, step: str, subject: str, payload: Mapping[str, Any]) -> bool:
    """Whether this form comes for the first time; called inside the service's transaction.

    False: the very same was carried out before. A form that was refused leaves no trace and may be
    sent again with other values. `payload` is anything that JSON can hold. Raises `SentDifferently`
    for a nonce that came with another payload, person, step or subject.
    """
    sent = {
        "person": actor,
        "step": step,
        "subject": subject,
        "payload_hash": sha256(canonical(dict(payload))),
    }
    before, is_first = Submission.objects.get_or_create(nonce=nonce, defaults=sent)
    if any(getattr(before, name) != value for name, value in sent.items()):
        raise SentDifferently
    return is_first


def was_sent(*, nonce: str, person: User) -> bool:
    """Whether the person's form by that nonce was carried out; one that is no nonce never was."""
    try:
        known = UUID(nonce)
    except ValueError:
        return False
    return Submission.objects.filter(nonce=known, person=person).exists()
