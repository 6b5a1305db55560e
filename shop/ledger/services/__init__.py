"""Writing into the ledger. Every other app's services end in one of these."""

from shop.ledger.services.entries import history, note, write_record
from shop.ledger.services.erasing import erase_private
from shop.ledger.services.rows import save_noted

__all__ = ["erase_private", "history", "note", "save_noted", "write_record"]
