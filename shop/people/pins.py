"""Badge and PIN: who is at the tablet, told with gloves on.

A badge can be photographed, so it is never enough; a PIN is short, so it is good for the bench only, and
wrong ones are counted where it is asked for.
"""

import re

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction

from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.ledger.services import note
from shop.people import verbs
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NotTheirPin, PinNotUsable

SHORTEST, LONGEST = 4, 8
_UPWARDS = "01234567890"
_DIGITS = re.compile(rf"[0-9]{{{SHORTEST},{LONGEST}}}")


@transaction.atomic
def set_pin(*, actor: User, person: User, pin: str) -> User:
    """Give a person a PIN, by the person or by who keeps the list; the one before stops working.

    Raises `NotAllowed`, `PinNotUsable`.
    """
    if actor != person:
        require(actor, Permission.KEEP_PEOPLE)
    require_usable_pin(person, pin)
    locked = User.objects.select_for_update(no_key=True).get(pk=person.pk)
    locked.pin = make_password(pin)
    locked.save(update_fields=["pin"])
    note(actor=actor, verb=verbs.PIN_SET, subject=locked)
    return locked


def require_usable_pin(person: User, pin: str) -> None:
    """Raise `PinNotUsable` for a PIN that a colleague would try first, or that is none."""
    if not _DIGITS.fullmatch(pin):
        raise PinNotUsable(why=f"A PIN has {SHORTEST} to {LONGEST} digits and nothing else.")
    if len(set(pin)) == 1:
        raise PinNotUsable(why="The same digit all along is the first that anybody tries.")
    if pin in _UPWARDS or pin[::-1] in _UPWARDS:
        raise PinNotUsable(why="Digits in their order are the first that anybody tries.")
    if pin.lstrip("0") == str(person.number):
        raise PinNotUsable(why="Your staff number stands in every record.")


def person_with(badge: str, pin: str) -> User:
    """Who has that badge and that PIN; raises `NotTheirPin` without saying which of them is wrong."""
    person = find_badge(badge)
    if person is None or not person.is_active or not check_password(pin, person.pin):
        raise NotTheirPin
    return person


def find_badge(badge: str) -> User | None:
    """Whose badge it is, as scanned or typed; None if it is nobody's."""
    try:
        code = read_code(badge)
    except NotUnderstood:
        return None
    return User.objects.filter(code=code.text).first()
