"""Keeping a copy of the whole workshop in one file, and bringing it back."""

from shop.ledger.backups.making import write_backup
from shop.ledger.backups.restoring import restore_backup

__all__ = ["restore_backup", "write_backup"]
