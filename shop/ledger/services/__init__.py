"""Writing into the ledger. Every other app's services end in one of these."""

from shop.ledger.services.entries import history, note, write_record
from shop.ledger.services.erasing import erase_private
from shop.ledger.services.rows import save_noted
from shop.ledger.services.sealing import newest_key, newest_seal, replace_key, seal_ledger, unsealed

__all__ = [
    "erase_private",
    "history",
    "newest_key",
    "newest_seal",
    "note",
    "replace_key",
    "save_noted",
    "seal_ledger",
    "unsealed",
    "write_record",
]
