"""Writing authorities, and the question that the bench asks before a step."""

import datetime
from collections.abc import Iterable, Sequence

from django.db import transaction

from shop.authority import verbs
from shop.authority.models import AuthorisedStep, Authority
from shop.authority.refusals import NotAuthorised
from shop.catalogue.models import FittingSeries
from shop.ledger.services import save_noted
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling.models import Crimper


@transaction.atomic
def save_authority(*, actor: User, authority: Authority) -> Authority:
    """Write what a person may do and from when; change its last day to end it. Raises `NotAllowed`."""
    require(actor, Permission.KEEP_PEOPLE)
    return save_noted(actor=actor, verb=verbs.AUTHORITY_SAVED, instance=authority)


def require_authority(
    actor: User,
    step: AuthorisedStep,
    series: Iterable[FittingSeries],
    crimper: Crimper | None = None,
    *,
    on: datetime.date | None = None,
) -> None:
    """Raise `NotAuthorised` unless the actor has an authority for the step, for each of the series.

    It has to hold today, or that day.

    Where nobody was ever written down for a step, roles alone decide about it. An authority comes on top
    of the role and never instead of it: `require` has been asked before.
    """
    written = list(Authority.objects.filter(step=step).order_by("pk"))
    if not written:
        return
    day = on or today()
    for one in dict.fromkeys(series):
        fitting = [authority for authority in written if authority.covers(one, crimper)]
        own = [authority for authority in fitting if authority.person_id == actor.pk]
        if not any(authority.holds_on(day) for authority in own):
            at = f" on {crimper}" if crimper is not None else ""
            raise NotAuthorised(
                name=actor.name,
                what=f"{step.label} {one}{at}",
                when="today" if day == today() else f"on {on}",
                why=_why_not(own, day),
                ask=_whom_to_ask(fitting, day),
            )


def authorities_of(person: User) -> list[Authority]:
    """All that were ever written for the person, those that began last first."""
    found = person.authorities.select_related("person", "series", "crimper")
    return list(found.order_by("-valid_from", "-pk"))


def _why_not(own: Sequence[Authority], day: datetime.date) -> str:
    ended = [authority.expires_on for authority in own if authority.expires_on and authority.expires_on < day]
    if ended:
        return f"that authority ran out on {max(ended)}"
    if own:
        return f"that authority begins on {min(authority.valid_from for authority in own)}"
    return "no authority for it is written"


def _whom_to_ask(fitting: Sequence[Authority], day: datetime.date) -> str:
    able = {
        authority.person.name: None
        for authority in fitting
        if authority.holds_on(day) and authority.person.is_active
    }
    if able:
        return f"Ask {' or '.join(able)}, or have an owner write an authority under Quality, Authorities."
    return "Nobody has one today: an owner writes it under Quality, Authorities."
