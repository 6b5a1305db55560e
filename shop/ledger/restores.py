"""What restored backups did not hold: cut off the end of a chain, but by an act that is recorded."""

from dataclasses import dataclass

from shop.ledger.models import Entry
from shop.ledger.verbs import RESTORED


@dataclass(frozen=True, slots=True)
class LostRange:
    """Entries `first` to `last` of a chain were written after the backup; `hash` is that of the last."""

    chain: str
    first: int
    last: int
    hash: str

    def __str__(self) -> str:
        return f"entries {self.first} to {self.last} of the chain {self.chain}"


def lost_ranges() -> tuple[LostRange, ...]:
    """Every range that a restore has recorded as lost, oldest first."""
    entries = Entry.objects.filter(verb=RESTORED.name).order_by("pk")
    return tuple(LostRange(**lost) for entry in entries for lost in entry.told["lost"])
