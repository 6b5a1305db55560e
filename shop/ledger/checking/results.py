"""What a check finds and how far it has come."""

from collections.abc import Mapping
from dataclasses import dataclass

from shop.ledger.restores import LostRange


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that is not as it was recorded. `what` is a sentence; the rest says where, if anywhere."""

    what: str
    chain: str | None = None
    number: int | None = None
    field: str | None = None

    def __str__(self) -> str:
        if self.chain is None:
            return self.what
        entry = "" if self.number is None else f", entry {self.number}"
        return f"Chain {self.chain}{entry}: {self.what}"


@dataclass(frozen=True, slots=True)
class ChainEnd:
    """A chain's end, as its own row and its entries tell it at one moment."""

    key: int
    site: str
    length: int
    head: str
    last: int
    count: int


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """An entry up to which a chain was found right, with the hash that it had."""

    number: int
    hash: str


@dataclass(frozen=True, slots=True)
class Progress:
    """How many of the entries have been checked, and how far each chain by its site."""

    done: int
    total: int
    reached: Mapping[str, Checkpoint]


@dataclass(frozen=True, slots=True)
class CheckResult:
    """`faults` holds the first fault, or nothing: what follows a fault may only follow from it.

    `seals` is how many of the ledger's own were compared. `lost` are entries that a restored backup did
    not hold: known, recorded and no fault. `notices` are sentences about what is no fault but worth
    knowing.
    """

    faults: tuple[Fault, ...]
    entries: int
    seals: int
    reached: Mapping[str, Checkpoint]
    lost: tuple[LostRange, ...]
    notices: tuple[str, ...]

    @property
    def is_right(self) -> bool:
        """Whether nothing is wrong."""
        return not self.faults
