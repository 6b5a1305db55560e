"""Slowing down whoever tries out passwords, and stopping whoever tries out PINs.

Counted in the server's memory: guessing must not be able to write to the database that the benches
write to. A count is per sign-in name and address, so nobody can lock a colleague out from another
machine. The server is one process; each further one would allow as many tries again.
"""

import hashlib

from django.core.cache import cache

from shop.core.refusals import Refusal

TRIES = 10
MINUTES = 5  # until a try counts no more


PIN_TRIES = 5
PIN_HOURS = 12  # a shift; signing in with the password ends it sooner


class TooManyPins(Refusal):
    says = "Too many wrong PINs for this badge from this device."
    do = "Sign in with name and password: then the PIN is good here again."


class TooManyTries(Refusal):
    says = "Too many wrong passwords for this name from this device."
    do = "Wait {minutes} minutes and type it again. If it is forgotten, have the owner set a new one."


def require_calm(username: str, address: str) -> None:
    """Raise `TooManyTries` if there were too many wrong passwords; then not even the right one is tried."""
    if cache.get(_key(username, address), 0) >= TRIES:
        raise TooManyTries(minutes=MINUTES)


def count_wrong_password(username: str, address: str) -> None:
    """Remember a wrong password; the time runs from the first of them."""
    _count(_key(username, address), MINUTES * 60)


def forget_wrong_passwords(username: str, address: str) -> None:
    """The person has signed in."""
    cache.set(_key(username, address), 0, MINUTES * 60)


def pins_are_used_up(badge: str, address: str) -> bool:
    """Whether only a password brings the owner of that badge in from this device."""
    used: int = cache.get(_pin_key(badge, address), 0)
    return used >= PIN_TRIES


def require_few_pins(badge: str, address: str) -> None:
    """Raise `TooManyPins` if there were too many wrong ones; then not even the right one is tried."""
    if pins_are_used_up(badge, address):
        raise TooManyPins


def count_wrong_pin(badge: str, address: str) -> None:
    """Remember a wrong PIN."""
    _count(_pin_key(badge, address), PIN_HOURS * 60 * 60)


def forget_wrong_pins(badge: str, address: str) -> None:
    """The person has come in, by PIN or by password."""
    cache.set(_pin_key(badge, address), 0, PIN_HOURS * 60 * 60)


def _count(key: str, seconds: int) -> None:
    if cache.add(key, 1, seconds):
        return
    try:
        cache.incr(key)
    except ValueError:  # its time has run out since: this is the first of a new count
        cache.add(key, 1, seconds)


def _key(username: str, address: str) -> str:
    return "wrong-passwords:" + _plain(f"{address} {username.casefold()}")


def _pin_key(badge: str, address: str) -> str:
    return "wrong-pins:" + _plain(f"{address} {badge}")


def _plain(text: str) -> str:
    """Of one length and plain characters, whatever was typed."""
    return hashlib.sha256(text.encode()).hexdigest()
