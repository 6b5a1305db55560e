"""Who acts, as far as the ledger knows: a staff number, and nothing that may have to be erased."""

from dataclasses import dataclass
from typing import Protocol

PROGRAM_NUMBER = 0


class Actor(Protocol):
    """Anybody with a staff number."""

    @property
    def number(self) -> int: ...


@dataclass(frozen=True, slots=True)
class _Program:
    number: int = PROGRAM_NUMBER


# What the program does by itself, such as writing down that a backup was restored.
PROGRAM: Actor = _Program()
