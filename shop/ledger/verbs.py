"""What the ledger itself does to the workshop."""

from shop.ledger.models import LedgerSeal, SealingKey
from shop.ledger.registry import register_verb

RESTORED = register_verb("ledger.restored", "restored a backup")
ERASED = register_verb("ledger.erased", "erased private texts of")
SEALED = register_verb("ledger.sealed", "sealed the ledger", record=LedgerSeal)
KEY_MADE = register_verb("ledger.key_made", "made a key for seals of the ledger", record=SealingKey)
