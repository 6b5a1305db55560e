"""Counts in the server's memory of what strangers do: nothing of it writes to the database.

The server is one process; each further one would begin to count anew.
"""

import hashlib

from django.core.cache import cache


def counted(kind: str, *who: str) -> int:
    """How often it was counted while that lasts."""
    count: int = cache.get(_key(kind, who), 0)
    return count


def count(kind: str, *who: str, seconds: int) -> None:
    """Count it once more; the time runs from the first."""
    key = _key(kind, who)
    if cache.add(key, 1, seconds):
        return
    try:
        cache.incr(key)
    except ValueError:  # its time has run out since: this is the first of a new count
        cache.add(key, 1, seconds)


def forget(kind: str, *who: str) -> None:
    """Begin to count anew."""
    cache.set(_key(kind, who), 0, timeout=0)


def _key(kind: str, who: tuple[str, ...]) -> str:
    """Of one length and plain characters, whatever was typed."""
    return f"{kind}:{hashlib.sha256(' '.join(who).encode()).hexdigest()}"
