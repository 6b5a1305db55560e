"""What the ledger itself does to the workshop."""

from shop.ledger.registry import register_verb

RESTORED = register_verb("ledger.restored", "restored a backup")
ERASED = register_verb("ledger.erased", "erased private texts of")
