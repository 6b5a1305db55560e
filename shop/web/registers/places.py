"""The first page of a place: its registers with how many rows each has, and what is open."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from shop.web.registers.register import Register


@dataclass(frozen=True)
class Open:
    """Something that waits for a person: how many, in words, and where."""

    count: int
    words: str
    url: str


@dataclass(frozen=True)
class Shelf:
    """A register as the first page of its place shows it."""

    title: str
    url: str
    count: int
    open: Sequence[Open]


def shelves(registers: Iterable[Register], waiting: Callable[[Register], Sequence[Open]]) -> list[Shelf]:
    """Each register with its rows counted and what `waiting` finds open in it."""
    return [
        Shelf(
            title=register.title,
            url=register.list_url,
            count=register.model._default_manager.count(),
            open=[found for found in waiting(register) if found.count],
        )
        for register in registers
    ]
