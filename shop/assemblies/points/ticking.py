"""Which points are asked of a job, and what was ticked of them."""

from collections.abc import Collection

from shop.assemblies.points.kinds import At, Job, Point
from shop.assemblies.points.table import ASKED_BEFORE, POINTS
from shop.assemblies.refusals import NotAPoint, NotTicked


def points_at(at: At) -> tuple[Point, ...]:
    """Every point that may be asked there, in the order in which it is handled."""
    return tuple(point for point in POINTS if point.at is at)


def asked_of(at: At, job: Job) -> tuple[Point, ...]:
    """The points that are asked there for that job."""
    return tuple(point for point in points_at(at) if point.is_asked(job))


def ticked_of(at: At, job: Job, seen: Collection[str]) -> list[str]:
    """The codes of what is asked there and was ticked, in order. Raises `NotAPoint` for any other code."""
    known = {point.code for point in points_at(at)}
    for code in set(seen) - known:
        raise NotAPoint(code=code)
    return [point.code for point in asked_of(at, job) if point.code in seen]


def require_ticked(at: At, job: Job, seen: Collection[str]) -> list[str]:
    """The codes of what is asked there, all of them ticked. Raises `NotTicked`, `NotAPoint`."""
    ticked = ticked_of(at, job, seen)
    missing = [point.words_for(job) for point in asked_of(at, job) if point.code not in ticked]
    if missing:
        raise NotTicked(missing=" ".join(missing))
    return ticked


def told_of(at: At, job: Job, seen: Collection[str]) -> list[str]:
    """What a record says was seen there, in words. What is no code was kept in words already."""
    words = {point.code: point.words_for(job) for point in points_at(at) if point.code in seen}
    return [words.get(code) or ASKED_BEFORE.get((at, code), code) for code in seen]
