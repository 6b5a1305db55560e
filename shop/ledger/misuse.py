"""Errors of the program, not of a person: a service used the ledger in a way that it forbids."""


class LedgerMisuse(RuntimeError):
    """The ledger was used wrongly; nothing was written."""


class OutsideTransaction(LedgerMisuse):
    """An entry and what it tells of must be kept or lost together."""


class UnknownVerb(LedgerMisuse):
    """The verb isn't in the registry."""


class VerbTaken(LedgerMisuse):
    """Two apps want the same verb."""


class WrongWriter(LedgerMisuse):
    """A verb with a record was used for a note, a verb without one (or with another) for a record."""


class NotRecordable(LedgerMisuse):
    """A value that has no canonical form, or a name that the ledger keeps for itself."""


class TriggersMissing(LedgerMisuse):
    """The database would let records be changed."""
