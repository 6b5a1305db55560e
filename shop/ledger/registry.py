"""The closed list of what can stand in the ledger. Each app fills it from its `verbs.py`."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shop.ledger.misuse import UnknownVerb, VerbTaken

if TYPE_CHECKING:
    from shop.ledger.models import Record


@dataclass(frozen=True, slots=True)
class Verb:
    """Something that people do to a subject.

    `says` is a fragment that reads on after the actor: '*7* cut from a piece'. `record` is the
    table that each such entry has exactly one row in, if it has one.
    """

    name: str
    says: str
    record: "type[Record] | None" = None


_verbs: dict[str, Verb] = {}


def register_verb(name: str, says: str, *, record: "type[Record] | None" = None) -> Verb:
    """Add a verb to the registry; raises `VerbTaken` if its name is there already.

    By custom the name is the app's and a past participle: `stock.received`.
    """
    if name in _verbs:
        raise VerbTaken(f"{name!r} is registered already: {_verbs[name].says!r}.")
    _verbs[name] = Verb(name, says, record)
    return _verbs[name]


def find_verb(verb: Verb | str) -> Verb:
    """The registered verb of that name; raises `UnknownVerb`."""
    name = verb if isinstance(verb, str) else verb.name
    if name not in _verbs:
        raise UnknownVerb(f"{name!r} is no verb of the ledger. Register it in the app's verbs.py.")
    return _verbs[name]


def is_registered(name: str) -> bool:
    """Whether a verb has this name."""
    return name in _verbs


def all_verbs() -> tuple[Verb, ...]:
    """Every verb, sorted by name."""
    return tuple(sorted(_verbs.values(), key=lambda verb: verb.name))


def verbs_of(record: "type[Record]") -> frozenset[str]:
    """The names of the verbs whose entries have a row in this table."""
    return frozenset(verb.name for verb in _verbs.values() if verb.record is record)
