"""Finding out who somebody is, by password or by badge and PIN, from a device at `address`."""

from django.contrib.auth import authenticate

from shop.core.refusals import Refusal
from shop.people.models import User
from shop.people.pins import find_badge, person_with
from shop.people.refusals import NotTheirPin
from shop.web.door.throttle import (
    count_wrong_password,
    count_wrong_pin,
    forget_wrong_passwords,
    forget_wrong_pins,
    require_calm,
    require_few_pins,
)


class NotTheirPassword(Refusal):
    says = "Name and password don't go together."
    do = "Type both again."


def by_password(username: str, password: str, address: str) -> User:
    """Who signs in so; raises `NotTheirPassword`, `TooManyTries`."""
    require_calm(username, address)
    person = authenticate(username=username, password=password)
    if not isinstance(person, User):
        count_wrong_password(username, address)
        raise NotTheirPassword
    forget_wrong_passwords(username, address)
    forget_wrong_pins(person.code, address)
    return person


def by_badge(badge: str, pin: str, address: str) -> User:
    """Whose badge and PIN they are; raises `NotTheirPin`, `TooManyPins`."""
    whose = find_badge(badge)
    code = badge if whose is None else whose.code
    require_few_pins(code, address)
    try:
        person = person_with(code, pin)
    except NotTheirPin:
        count_wrong_pin(code, address)
        raise
    forget_wrong_pins(code, address)
    return person
