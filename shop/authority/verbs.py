"""What people do to the list of authorities."""

from shop.ledger.registry import register_verb

AUTHORITY_SAVED = register_verb("authority.saved", "wrote an authority")
