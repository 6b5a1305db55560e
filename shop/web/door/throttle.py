"""Slowing down whoever tries out passwords, and stopping whoever tries out PINs.

Counted in the server's memory: guessing must not be able to write to the database that the benches
write to. A count is per sign-in name and address, so nobody can lock a colleague out from another
machine.
"""

from shop.core.refusals import Refusal
from shop.web.counted import count, counted, forget

TRIES = 10
MINUTES = 5  # until a try counts no more


PIN_TRIES = 5
PIN_HOURS = 12  # a shift; signing in with the password ends it sooner
_PASSWORDS, _PINS = "wrong-passwords", "wrong-pins"


class TooManyPins(Refusal):
    says = "Too many wrong PINs for this badge from this device."
    do = "Sign in with name and password: then the PIN is good here again."


class TooManyTries(Refusal):
    says = "Too many wrong passwords for this name from this device."
    do = "Wait {minutes} minutes and type it again. If it is forgotten, have the owner set a new one."


def require_calm(username: str, address: str) -> None:
    """Raise `TooManyTries` if there were too many wrong passwords; then not even the right one is tried."""
    if counted(_PASSWORDS, address, username.casefold()) >= TRIES:
        raise TooManyTries(minutes=MINUTES)


def count_wrong_password(username: str, address: str) -> None:
    """Remember a wrong password; the time runs from the first of them."""
    count(_PASSWORDS, address, username.casefold(), seconds=MINUTES * 60)


def forget_wrong_passwords(username: str, address: str) -> None:
    """The person has signed in."""
    forget(_PASSWORDS, address, username.casefold())


def pins_are_used_up(badge: str, address: str) -> bool:
    """Whether only a password brings the owner of that badge in from this device."""
    return counted(_PINS, address, badge) >= PIN_TRIES


def require_few_pins(badge: str, address: str) -> None:
    """Raise `TooManyPins` if there were too many wrong ones; then not even the right one is tried."""
    if pins_are_used_up(badge, address):
        raise TooManyPins


def count_wrong_pin(badge: str, address: str) -> None:
    """Remember a wrong PIN."""
    count(_PINS, address, badge, seconds=PIN_HOURS * 60 * 60)


def forget_wrong_pins(badge: str, address: str) -> None:
    """The person has come in, by PIN or by password."""
    forget(_PINS, address, badge)
