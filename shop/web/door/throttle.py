"""Slowing down whoever tries out passwords.

Counted in the server's memory: guessing must not be able to write to the database that the benches
write to. A count is per sign-in name and address, so nobody can lock a colleague out from another
machine. The server is one process; each further one would allow as many tries again.
"""

import hashlib

from django.core.cache import cache

from shop.core.refusals import Refusal

TRIES = 10
MINUTES = 5  # until a try counts no more


class TooManyTries(Refusal):
    says = "Too many wrong passwords for this name from this device."
    do = "Wait {minutes} minutes and type it again. If it is forgotten, have the owner set a new one."


def require_calm(username: str, address: str) -> None:
    """Raise `TooManyTries` if there were too many wrong passwords; then not even the right one is tried."""
    if cache.get(_key(username, address), 0) >= TRIES:
        raise TooManyTries(minutes=MINUTES)


def count_wrong_password(username: str, address: str) -> None:
    """Remember a wrong password; the time runs from the first of them."""
    key, seconds = _key(username, address), MINUTES * 60
    if cache.add(key, 1, seconds):
        return
    try:
        cache.incr(key)
    except ValueError:  # its time has run out since: this is the first of a new count
        cache.add(key, 1, seconds)


def forget_wrong_passwords(username: str, address: str) -> None:
    """The person has signed in."""
    cache.set(_key(username, address), 0, MINUTES * 60)


def _key(username: str, address: str) -> str:
    """Of one length and plain characters, whatever was typed."""
    return "wrong-passwords:" + hashlib.sha256(f"{address} {username.casefold()}".encode()).hexdigest()
