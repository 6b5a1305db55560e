"""Keeping the list of people."""

from django.db import transaction

from shop.ledger.actors import Actor
from shop.ledger.services import note, save_noted
from shop.people import verbs
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission, Role
from shop.people.refusals import LastOwner


@transaction.atomic
def save_person(*, actor: User, person: User, password: str = "") -> User:
    """Add a person, or change one; an empty password leaves the one that is set.

    Raises `NotAllowed`, `LastOwner` if nobody would be left to keep the list, `ValidationError`.
    """
    require(actor, Permission.KEEP_PEOPLE)
    return write_person(actor=actor, person=person, password=password)


@transaction.atomic
def write_person(*, actor: Actor, person: User, password: str = "") -> User:
    """What `save_person` does once it is allowed; the very first owner is written by the program."""
    still_owner = person.is_active and Role.OWNER in person.roles
    others = [p for p in User.objects.exclude(pk=person.pk) if p.is_active and Role.OWNER in p.roles]
    if person.pk and not still_owner and not others:
        raise LastOwner(name=person.name)
    if password:
        person.set_password(password)
    elif not person.password:
        person.set_unusable_password()
    saved = save_noted(actor=actor, verb=verbs.PERSON_SAVED, instance=person)
    if password:
        saved.save(update_fields=["password"])
        note(actor=actor, verb=verbs.PASSWORD_SET, subject=saved)
    return saved
