"""What people do to the list of people."""

from shop.ledger.registry import register_verb

PERSON_SAVED = register_verb("people.saved", "wrote a person's entry in the list of people")
PASSWORD_SET = register_verb("people.password_set", "set a person's password")
PIN_SET = register_verb("people.pin_set", "set a person's PIN")
